import type { Rung, StripOut, StripStep } from '../../shared/index.ts';
import { fold, heading, labelled, type Paint } from './lines.ts';

/** Each rung once, in full; the steps name only how far they go and what is barred. */
export function ladderLegend({ steps }: StripOut, paint: Paint): string[] {
  const rungs = new Map<string, Rung>();
  for (const rung of steps.flatMap((step) => step.ladder)) {
    const known = rungs.get(rung.id);
    // A step may add a word of its own to a rung; the shortest is the rule itself.
    if (!known || rung.text.length < known.text.length) rungs.set(rung.id, rung);
  }
  const fixed = [...rungs.values()].filter((rung) =>
    steps.some((step) => step.ladder.length > 1 && step.ladder.some((r) => r.id === rung.id)),
  );
  return [
    ...heading('The ladder, gentle to destructive', paint),
    ...fold(
      '',
      'Never skip back to a gentler one once metal has moved. In each step: the rungs in order, the one to expect in CAPITALS, barred ones behind x.',
    ),
    ...fixed
      .sort((a, b) => a.harshness - b.harshness)
      .flatMap((rung) => [...fold(`  ${rung.short.padEnd(9)}`, plainText(rung.text)), ...whyNot(rung.id, steps)]),
  ];
}

// What a step adds to a rung of its own stands at the step.
const OWN_WORDS = /(?:It is bought new anyway|Only when everything gentler|The nut is lost)/;

function plainText(text: string): string {
  const at = text.search(OWN_WORDS);
  return at < 0 ? text : text.slice(0, at).trimEnd();
}

/** Why a rung is barred somewhere on this sheet: each cause once. */
function whyNot(id: string, steps: readonly StripStep[]): string[] {
  const all = steps.flatMap((step) => step.ladder.filter((rung) => rung.id === id).flatMap((rung) => rung.barred));
  // What lies at the joint itself says more than what is still somewhere in the corner.
  const isFar = (text: string) => text.includes('still fitted');
  const texts = [...all.filter(({ text }) => !isFar(text)), ...all.filter(({ text }) => isFar(text))];
  const whys = new Map<string, string>();
  for (const { text } of texts) {
    const [cause, ...why] = text.split(': ');
    const name = cause!
      .replace(/ (?:at the joint|\(.*?\).*)$/, '')
      .replace(/^(?!Hardened|Class).* is to be kept$/, 'A part that is to be kept');
    if (why.length > 0 && !whys.has(name)) whys.set(name, why.join(': '));
  }
  const words = [...whys].map(([name, why]) => `${lowerFirst(name)} (${why})`);
  return words.length === 0 ? [] : fold(`${' '.repeat(11)}Not with `, words.join('; '), 13);
}

/** The rungs of one step: how far to expect to go, what is barred and by what. */
export function ladderLines({ ladder, expect }: StripStep): string[] {
  if (ladder.length <= 1) return ladder.flatMap((rung) => labelled('Do', rung.text, 7));
  const words = ladder.map((rung) => {
    if (rung.barred.length > 0) return `x${rung.short.replaceAll(' ', '-')}`;
    const name = rung.short.replaceAll(' ', '-');
    return rung.id === expect ? name.toUpperCase() : name;
  });
  const lines = labelled('Ladder', words.join(' > '), 7);
  const reasons = new Map<string, string[]>();
  for (const rung of ladder) {
    if (rung.barred.length === 0) continue;
    const causes = [...new Set(rung.barred.map((reason) => lowerFirst(causeOf(reason.text))))];
    const text = causes.slice(0, MOST_CAUSES).join('; ') + (causes.length > MOST_CAUSES ? '; and more' : '');
    reasons.set(text, [...(reasons.get(text) ?? []), rung.short]);
  }
  for (const [text, names] of reasons) lines.push(...fold(`${' '.repeat(16)}no ${names.join(', ')}: `, text, 18));
  const own = ladder.filter(
    (rung) => /bought new anyway|goes on the shopping list/.test(rung.text) && rung.barred.length === 0,
  );
  const note = own.map((rung) =>
    rung.text.slice(
      Math.max(0, rung.text.search(/(?:It is bought new anyway|Only when everything gentler|The nut is lost)/)),
    ),
  );
  for (const text of new Set(note)) {
    const names = own.filter((rung) => rung.text.endsWith(text)).map((rung) => rung.short);
    lines.push(...fold(`${' '.repeat(16)}${names.join(', ')}: `, text, 18));
  }
  return lines;
}

const MOST_CAUSES = 2;

/** What bars a rung, without the why: that stands in the legend. */
function causeOf(text: string): string {
  return text.split(': ')[0]!;
}

function lowerFirst(text: string): string {
  return /^[A-Z][a-z ]/.test(text) ? text[0]!.toLowerCase() + text.slice(1) : text;
}
