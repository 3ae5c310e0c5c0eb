import { type Because, type ComponentOut, type Look, type Range, type ScoreOut, visible } from '../../shared/index.ts';

const WIDTH = 80;

/** How much of the old part goes back on: all of it, its core, none. The word always stands beside the mark. */
const MARKS = { reuse: '⬢', refinish: '⬣', replace: '⬡' } as const;
const EDGES = { settled: ' ', leaning: '~', open: '?' } as const;

/** The ranked list as lines of at most 80 columns. */
export function scoreTable(score: ScoreOut, paint: (text: string, style: 'bold' | 'dim') => string): string[] {
  const { currency } = score.assessment;
  const lines = [
    paint(visible(score.assessment.name), 'bold'),
    `Wanted finish: ${score.assessment.wantedFinish}. Rubric ${score.rubricVersion}, seed ${score.seed}.`,
    paint('⬢ reuse  ⬣ refinish  ⬡ replace    settled, ~ leaning, ? open', 'dim'),
    '',
    paint(`${pad('  Verdict', 13)}${pad('Part', 32)}${pad('Index', 10)}${`Cost ${currency}`}`, 'bold'),
  ];
  const unseen = score.components.filter(isUnseen);
  for (const component of score.components) if (!isUnseen(component)) lines.push(...rowsOf(component, paint), '');
  lines.push(...unseenRows(unseen, currency, paint));
  if (score.alwaysNew.length > 0) {
    lines.push(paint('Always bought new', 'bold'));
    for (const part of score.alwaysNew) {
      lines.push(
        ...wrap(
          `  ${part.count} x ${visible(part.name)}${part.thread ? `, ${visible(part.thread)}` : ''}: ${rangeText(part.money)}. ${part.because}`,
        ),
      );
    }
    lines.push('');
  }
  if (score.nextLooks.length > 0) {
    lines.push(paint('Look at these next', 'bold'));
    for (const look of score.nextLooks.slice(0, 10)) lines.push(...wrap(`  ${lookText(look, score)}`));
    if (score.nextLooks.length > 10) lines.push(`  and ${score.nextLooks.length - 10} more`);
    lines.push('');
  }
  if (score.looksLeft.length > 0) {
    lines.push(paint('Did not fit in the minutes, and must still be done', 'bold'));
    for (const line of leftTexts(score)) lines.push(...wrap(`  ${line}`));
    lines.push('');
  }
  lines.push(
    paint('The whole of it', 'bold'),
    `  Money ${currency}: ${rangeText(score.totals.money)}`,
    `  Hours: ${rangeText(score.totals.hours)}`,
  );
  for (const note of score.notes) lines.push(...wrap(`  ${visible(note)}`));
  const cautions = new Map(
    score.components.flatMap((c) => c.cautions).map((caution) => [caution.id, caution.text] as const),
  );
  if (cautions.size > 0) {
    lines.push('', paint('Cautions', 'bold'));
    for (const text of cautions.values()) lines.push(...wrap(`  ! ${text}`));
  }
  lines.push('', ...DEFERS);
  return lines;
}

function rowsOf(component: ComponentOut, paint: (text: string, style: 'bold' | 'dim') => string): string[] {
  const { verdict } = component;
  const chosen = cheapestOf(component, verdict.action);
  const name = nameOf(component);
  const index = component.index ? `${Math.round(component.index.low)}-${Math.round(component.index.high)}` : '-';
  const first = `${MARKS[verdict.action]}${EDGES[verdict.firmness]}${pad(verdict.action, 11)}${pad(clip(name, 31), 32)}${pad(index, 10)}${chosen ? rangeText(chosen.money) : ''}`;
  const lines = [paint(first, 'bold')];
  if (verdict.counts)
    lines.push(
      `    Of these: reuse ${verdict.counts.reuse}, refinish ${verdict.counts.refinish}, replace ${verdict.counts.replace}`,
    );
  const reason = verdict.because[0];
  if (reason) lines.push(...wrap(`    ${visible(reason.text)} ${sourceText(reason)}`));
  if (verdict.ifClear) lines.push(`    If that turns out clear: ${verdict.ifClear}`);
  if (verdict.firmness !== 'settled') lines.push(`    ${oddsText(verdict, component.index)}`);
  if (verdict.holdPoint) lines.push(...wrap(`    Held at: ${verdict.holdPoint}`));
  if (verdict.aloneAction !== verdict.action && !verdict.spare)
    lines.push(`    Alone, with the batch's minimum to pay: ${verdict.aloneAction}`);
  if (verdict.override)
    lines.push(
      ...wrap(
        `    Decided otherwise by ${visible(verdict.override.by)}: ${verdict.override.action}. ${visible(verdict.override.reason)}`,
      ),
    );
  for (const distrusted of component.distrusted) lines.push(...wrap(`    Not to be trusted: ${visible(distrusted)}`));
  for (const note of component.roadworthiness)
    lines.push(...wrap(`    Roadworthiness ${note.book} ${note.clause}: ${note.finding}. ${note.text}`));
  const look = component.looks[0];
  if (look) lines.push(...wrap(`    Next: ${look.ask} (${look.minutes} min)`).map((line) => paint(line, 'dim')));
  return lines;
}

/** Has nobody looked at any of it? Such parts share their reason, so they stand in a table of their own. */
function isUnseen({ facts, verdict }: ComponentOut): boolean {
  return verdict.firmness === 'open' && verdict.override === null && facts.every((fact) => fact.state === 'unknown');
}

function unseenRows(
  unseen: readonly ComponentOut[],
  currency: string,
  paint: (text: string, style: 'bold' | 'dim') => string,
): string[] {
  if (unseen.length === 0) return [];
  const rows = unseen.map((component) => {
    const { index, verdict } = component;
    const likely = index ? `${Math.round(index.likelyLow)}-${Math.round(index.likelyHigh)}` : '-';
    const replaced = cheapestOf(component, 'replace');
    return `${MARKS[verdict.action]}? ${pad(clip(nameOf(component), 30), 31)}${pad(likely, 10)}${pad(verdict.ifClear ?? '-', 10)}${pad(`${Math.round(verdict.odds.replace * 100)} in 100`, 11)}${replaced ? rangeText(replaced.money) : ''}`;
  });
  return [
    paint(`Nothing seen of these ${unseen.length} yet: open, not sound`, 'bold'),
    ...wrap(
      '  Each counts as replaced until its open rules are looked at. The likely index and the odds come from what other answers say of the car.',
    ),
    paint(
      `   ${pad('Part', 31)}${pad('Likely', 10)}${pad('If clear', 10)}${pad('Replace', 11)}New ${currency}`,
      'bold',
    ),
    ...rows,
    '',
  ];
}

function nameOf({ name, count }: ComponentOut): string {
  return count > 1 ? `${count} x ${visible(name)}` : visible(name);
}

function cheapestOf({ options }: ComponentOut, action: ComponentOut['verdict']['action']) {
  return options
    .filter((option) => option.action === action && option.allowed !== 'no')
    .sort((a, b) => a.expectedCost - b.expectedCost)[0];
}

function oddsText({ odds }: ComponentOut['verdict'], index: ComponentOut['index']): string {
  const parts = (['reuse', 'refinish', 'replace'] as const)
    .filter((action) => odds[action] >= 0.005)
    .map((action) => `${action} ${Math.round(odds[action] * 100)}`);
  const likely = index ? `. Likely index ${Math.round(index.likelyLow)} to ${Math.round(index.likelyHigh)}` : '';
  return `Odds in 100: ${parts.join(', ')}${likely}`;
}

function sourceText(reason: Because): string {
  return `[${reason.rule}; ${reason.source ?? reason.basis}]`;
}

function lookText(look: Look, score: ScoreOut): string {
  const part = score.components.find((component) => component.id === look.component);
  const worth = look.compulsory ? 'never left out' : `worth ${Math.round(look.value)} ${score.assessment.currency}`;
  return `${visible(part?.name ?? look.component)}: ${look.ask} ${look.minutes} min, ${worth}`;
}

/** Looks that were left, like questions together. */
function leftTexts(score: ScoreOut): string[] {
  const names = new Map(score.components.map((component) => [component.id, visible(component.name)] as const));
  const asked = new Map<string, string[]>();
  for (const { ask, minutes, component } of score.looksLeft) {
    const key = `${ask} (${minutes} min each)`;
    asked.set(key, [...(asked.get(key) ?? []), names.get(component) ?? component]);
  }
  return [...asked].map(([ask, parts]) =>
    parts.length === 1 ? `${parts[0]}: ${ask.replace(' each)', ')')}` : `${parts.join(', ')}: ${ask}`,
  );
}

/** Whole from ten on, tenths below. */
export function figure(value: number): string {
  return Math.abs(value) >= 10 ? String(Math.round(value)) : String(Math.round(value * 10) / 10);
}

/** `12 (8 to 20)`: usual first, then low and high. */
export function rangeText({ low, usual, high }: Range): string {
  return low === high ? figure(usual) : `${figure(usual)} (${figure(low)} to ${figure(high)})`;
}

function pad(text: string, width: number): string {
  return text + ' '.repeat(Math.max(1, width - [...text].length));
}

function clip(text: string, width: number): string {
  const letters = [...text];
  return letters.length <= width ? text : `${letters.slice(0, width - 1).join('')}…`;
}

/** Wraps a line at 80 columns, later lines two further in than the first. */
export function wrap(text: string): string[] {
  const indent = text.length - text.trimStart().length;
  const lines: string[] = [];
  let line = ' '.repeat(indent);
  for (const word of text.trim().split(/\s+/)) {
    if (line.trim() !== '' && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = ' '.repeat(indent + 2);
    }
    line += (line.trim() === '' ? '' : ' ') + word;
  }
  return [...lines, line];
}

/** What every list and plan ends with. */
export const DEFERS: readonly string[] = wrap(
  "Keepworthy never says that a part is safe. The maker's data, local roadworthiness rules and a qualified inspection come first.",
);
