import type { PlanOut, ReadyItem, StripOut, StripStep } from '../../shared/index.ts';
import { ladderLegend, ladderLines } from './ladder-lines.ts';
import { aligned, fold, heading, hundred, labelled, type Paint, span, ticked, times } from './lines.ts';

/** The strip-down sheet at 80 columns, to print and pin up. */
export function stripSheet(plan: PlanOut, paint: Paint): string[] {
  const { strip, assessment } = plan;
  if (!strip) return [];
  if (strip.steps.length === 0)
    return [paint(`Strip-down: ${assessment.name}`, 'bold'), 'Nothing that is still fitted comes off.'];
  const areas = [...new Set(strip.steps.map((step) => step.area))];
  const onWheels = strip.steps.filter((step) => step.where === 'on-wheels');
  const onStands = strip.steps.filter((step) => step.where === 'on-stands');
  return [
    paint(`Strip-down: ${assessment.name}`, 'bold'),
    ...fold(
      '',
      `Read it through before a spanner is lifted. ${strip.steps.length} steps, ${times(strip.minutes)}. Figures: low, usual, high; a chance is in 100. Rubric ${plan.rubricVersion}.`,
    ),
    '',
    ...strip.cautions.flatMap((caution) => fold('! ', caution.text)),
    ...heading('First of all', paint),
    ...strip.notes.flatMap((note) => ticked(note)),
    ...readyLines(strip, paint),
    ...recordLines(strip, paint),
    ...soakLines(strip, paint),
    ...ladderLegend(strip, paint),
    ...(onWheels.length > 0
      ? [
          ...heading('While it stands on its wheels', paint),
          ...onWheels.flatMap((step) => stepLines(step, plan, paint)),
        ]
      : []),
    ...areas.flatMap((area) => {
      const own = onStands.filter((step) => step.area === area);
      if (own.length === 0) return [];
      return [
        ...heading(area === null ? 'Elsewhere' : areaName(area), paint),
        ...own.flatMap((step) => stepLines(step, plan, paint)),
      ];
    }),
    ...endLines(strip, assessment.currency, paint),
  ];
}

function areaName(id: string): string {
  return id.replaceAll('-', ' ');
}

const SORTS: readonly (readonly [ReadyItem['sort'], string])[] = [
  ['stand', 'Holds'],
  ['tool', 'Tools'],
  ['consumable', 'Used up'],
  ['safety', 'Safety'],
];

function readyLines({ ready }: StripOut, paint: Paint): string[] {
  const words = (item: ReadyItem) =>
    `${item.name}${item.amount === null ? '' : `, ${item.amount}`}${item.note === null ? '' : ` (${item.note})`}`;
  const sure = ready.filter((item) => item.onlyIf === null);
  const maybe = ready.filter((item) => item.onlyIf !== null);
  return [
    ...heading('Have ready', paint),
    ...SORTS.flatMap(([sort, name]) => {
      const own = sure.filter((item) => item.sort === sort);
      return own.length === 0 ? [] : [paint(name, 'bold'), ...own.flatMap((item) => ticked(words(item)))];
    }),
    ...(maybe.length > 0
      ? [
          paint('Only if it comes to it', 'bold'),
          ...maybe.flatMap((item) => ticked(`${words(item)}: ${item.onlyIf}, step ${item.steps.join(', ')}`)),
        ]
      : []),
  ];
}

function recordLines({ records, alignment }: StripOut, paint: Paint): string[] {
  return [
    ...heading('Write down and photograph before anything moves', paint),
    ...grouped(records).flatMap((part) => [
      ...ticked(part.name),
      ...(part.record.length > 0 ? labelled('Write', part.record.join('; '), 4) : []),
      ...(part.photograph.length > 0 ? labelled('Photo', part.photograph.join('; '), 4) : []),
    ]),
    ...(alignment.length > 0
      ? [
          paint('Not to be trusted: goes to the alignment, never copied', 'bold'),
          ...alignment.flatMap((line) => fold('  ', `${line.name}, ${line.what}: ${line.found}. ${line.because}.`)),
        ]
      : []),
  ];
}

/** Parts of which the same is to be written down, on one line. */
function grouped(records: StripOut['records']): StripOut['records'] {
  const out = new Map<string, StripOut['records'][number]>();
  for (const part of records) {
    const key = JSON.stringify([part.record, part.photograph]);
    const known = out.get(key);
    out.set(key, known ? { ...known, name: `${known.name}; ${part.name}` } : part);
  }
  return [...out.values()];
}

function soakLines({ soak, steps }: StripOut, paint: Paint): string[] {
  if (soak.length === 0) return [];
  const number = (id: string) => steps.find((step) => step.id === id)?.n ?? 0;
  return [
    ...heading('Soak beforehand', paint),
    ...fold('', `Brush, then penetrant from both ends, ${soak[0]!.hours} h before and again in between:`),
    ...soak.flatMap((joint) => ticked(`${joint.name} (step ${number(joint.step)}; ${joint.text})`)),
  ];
}

function stepLines(step: StripStep, plan: PlanOut, paint: Paint): string[] {
  const { currency } = plan.assessment;
  const isSecond =
    step.does === 'undo' &&
    step.joint.thread !== null &&
    plan.strip!.steps.some((s) => s.id === step.id && s.does === 'slacken');
  const what =
    step.does === 'slacken' ? `SLACKEN ONLY: ${step.name}` : isSecond ? `${step.name}, slack already` : step.name;
  const number = `${String(step.n).padStart(2)} [ ] `;
  const lines = [
    '',
    ...aligned(`${number}${what}`, times(step.minutes)).map((line, i) => (i === 0 ? paint(line, 'bold') : line)),
  ];
  const add = (label: string, texts: readonly string[]) => {
    if (texts.length > 0) lines.push(...labelled(label, texts.join('. ').replaceAll('..', '.'), 7));
  };
  const addParting = () => {
    add(
      'Parts',
      step.parting.map((p) => p.text),
    );
    add(
      'Scrap',
      step.scrapped.map((s) => `${s.count} x ${s.what.toLowerCase()}`),
    );
  };
  add('What', [jointWords(step)]);
  if (step.does === 'undo') add('Why', [step.why]);
  if (step.clamps !== null) add('About', [step.clamps]);
  if (isSecond) {
    addParting();
    lines.push(...step.cautions.flatMap((caution) => fold('       ! ', caution.text)));
    return lines;
  }
  add('Write', step.record);
  add('Photo', step.photograph);
  add('Found', step.positions.map(positionWords));
  add('Lock', step.lockFirst);
  if (step.joint.thread !== null) {
    add('Seized', [
      `${step.seized.words}, ${hundred(step.seized.chance.usual)} in 100 (${hundred(step.seized.chance.low)} to ${hundred(step.seized.chance.high)}): ${step.seized.reasons
        .slice(0, 3)
        .map((reason) => reason.text)
        .join('; ')}`,
    ]);
    add('Torque', [step.torque.words, ...(step.torque.classNote === null ? [] : [step.torque.classNote])]);
  }
  if (step.counterhold !== null) add('Hold', [step.counterhold]);
  lines.push(...ladderLines(step));
  if (step.earlier.length > 0)
    add(
      'Earlier',
      step.earlier.map((e) => `${e.count} ${e.found}: ${e.text}; ${span(e.hours)} h, ${span(e.money)} ${currency}`),
    );
  add('Hang', step.hang);
  add(
    'Catch',
    step.spills.map((s) => `${s.name}, ${litresWords(s.litres)}. Goes back: ${s.refill}`),
  );
  addParting();
  if (step.ifItBreaks !== null && step.seized.breaks.usual >= 0.05)
    add('Breaks', [
      `${hundred(step.seized.breaks.usual)} in 100. ${step.ifItBreaks.text}: ${span(step.ifItBreaks.hours)} h, ${span(step.ifItBreaks.money)} ${currency}`,
    ]);
  lines.push(...step.cautions.flatMap((caution) => fold('       ! ', caution.text)));
  return lines;
}

function jointWords({ joint, spanners }: StripStep): string {
  if (joint.thread === null) return `${joint.count > 1 ? `${joint.count} x ` : ''}${joint.locking}`;
  const sized = [joint.thread, joint.class, joint.lengthMm === null ? null : `${joint.lengthMm} mm long`].filter(
    (w) => w !== null,
  );
  const spanner = spanners.filter((s) => s.use === 'this').map((s) => s.stamp);
  const others = spanners
    .filter((s) => s.use !== 'this')
    .map((s) => `${s.stamp} ${s.use === 'near fit' ? 'fits' : s.system}`);
  const size =
    spanner.length > 0
      ? `Spanner ${spanner[0]}${others.length > 0 ? ` (also ${others.join(', ')})` : ''}`
      : 'Head size: measure';
  return `${joint.count} x ${sized.join(' ')}, ${joint.locking}. ${size}. ${joint.hand[0]!.toUpperCase()}${joint.hand.slice(1)}`;
}

function positionWords({ what, found, trust, because }: StripStep['positions'][number]): string {
  const words =
    { 'as-found': 'as found', 'matches-data': 'as the data says', 'not-to-be-trusted': 'NOT TO BE TRUSTED' }[trust] ??
    trust;
  return `${what}: ${found} (${words}${because === null ? '' : `: ${because}`})`;
}

function litresWords({ low, usual, high }: { low: number; usual: number; high: number }): string {
  const one = (l: number) => (l < 0.1 ? `${Math.round(l * 1000)} ml` : `${Math.round(l * 10) / 10} l`);
  return `${one(usual)} (${one(low)} to ${one(high)})`;
}

function endLines(strip: StripOut, currency: string, paint: Paint): string[] {
  return [
    ...(strip.beforeItMoves.length > 0
      ? [...heading('Before the car moves again', paint), ...strip.beforeItMoves.flatMap((line) => ticked(line))]
      : []),
    ...(strip.earlier.length > 0
      ? [
          ...heading('Left by an earlier hand, on parts that are off', paint),
          ...strip.earlier.flatMap(({ name, left }) =>
            ticked(
              `${name}: ${left.count} ${left.found}. ${left.text}; ${span(left.hours)} h, ${span(left.money)} ${currency}`,
            ),
          ),
        ]
      : []),
    ...(strip.staysOn.length > 0
      ? [...heading('Stays on', paint), ...strip.staysOn.flatMap((part) => fold('    ', `${part.name}: ${part.why}.`))]
      : []),
    ...(strip.alreadyOff.length > 0
      ? [...heading('Off already', paint), ...fold('    ', `${strip.alreadyOff.map((part) => part.name).join(', ')}.`)]
      : []),
  ];
}
