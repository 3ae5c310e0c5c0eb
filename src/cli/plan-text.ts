import { type Made, type PlanOut, type Quantiles, visible } from '../../shared/index.ts';
import { sheetSummary } from '../reports/index.ts';
import { DEFERS, figure as money, wrap } from './table.ts';

type Paint = (text: string, style: 'bold' | 'dim') => string;

const MOST_LINES = 40;
const MOST_DRIVERS = 6;

/** The plan as lines of at most 80 columns: what to set aside first, each line with the rule or rate that made it. */
export function planText(plan: PlanOut, paint: Paint): string[] {
  const { currency } = plan.assessment;
  return [
    paint(visible(plan.assessment.name), 'bold'),
    ...wrap(
      `Wanted finish: ${plan.assessment.wantedFinish}. Money in ${currency}. Rubric ${plan.rubricVersion}, seed ${plan.seed}, ${plan.total.draws} joint draws.`,
    ),
    '',
    ...moneyText(plan, paint),
    ...nextText(plan, paint),
    ...offerText(plan, paint),
    ...lineText(plan, paint),
    ...batchText(plan, paint),
    ...differText(plan, paint),
    ...daysText(plan, paint),
    ...leftText(plan, paint),
    ...actualsText(plan, paint),
    ...sheetSummary(plan, paint),
    ...plan.notes.flatMap((note) => wrap(visible(note))),
    '',
    ...DEFERS,
  ];
}

function made({ rule, source, basis }: Made): string {
  return `[${rule}; ${source ?? basis}]`;
}

function range({ p10, p50, p80 }: Quantiles): string {
  return p10 === p80 ? money(p50) : `${money(p50)} (low ${money(p10)}, set aside ${money(p80)})`;
}

function columns(name: string, figures: readonly string[], width = 42): string {
  const letters = [...visible(name)];
  const clipped = letters.length > width - 1 ? `${letters.slice(0, width - 2).join('')}…` : letters.join('');
  return clipped + ' '.repeat(Math.max(1, width - [...clipped].length)) + figures.map((f) => f.padStart(12)).join('');
}

function moneyText({ total, setAside, assessment: { currency } }: PlanOut, paint: Paint): string[] {
  const row = (name: string, pick: (q: Quantiles) => number, bold = false) => {
    const line = columns(name, [money(pick(total.money)), money(pick(total.hours))]);
    return bold ? paint(line, 'bold') : line;
  };
  const drivers = [...total.money.drivers].slice(0, MOST_DRIVERS);
  return [
    paint(columns('What it takes from here', [currency, 'hours']), 'bold'),
    row('Set aside (four jobs in five come under)', (q) => q.p80, true),
    row('Likely', (q) => q.p50),
    row('Low (one in ten comes under)', (q) => q.p10),
    columns('Contingency: set aside less likely', [money(total.contingency.money), money(total.contingency.hours)]),
    ...wrap(`  ${setAside.text}.`),
    ...wrap(`  ${total.statement}.`),
    ...wrap(
      `  Estimate: ${total.estimateClass.name.toLowerCase()}. ${total.estimateClass.text} ${made(total.estimateClass.because)}`,
    ),
    '',
    ...(drivers.length > 0
      ? [
          paint('What moves the money', 'bold'),
          ...drivers.flatMap((driver) =>
            wrap(
              `  ${String(Math.round(driver.share * 100)).padStart(3)} in 100  ${visible(driver.name)}${driver.text ? `: ${visible(driver.text)}` : ''}`,
            ),
          ),
          '',
        ]
      : []),
  ];
}

function nextText({ nextFive }: PlanOut, paint: Paint): string[] {
  return [
    paint('Do next', 'bold'),
    ...(nextFive.warning ? wrap(`  ! ${nextFive.warning}`) : []),
    ...nextFive.actions.flatMap((action, i) => [
      ...wrap(
        `  ${i + 1}. ${visible(action.text)}${action.minutes === null || action.minutes === 0 ? '' : ` (${time(action.minutes)})`}`,
      ),
      ...wrap(`     ${visible(action.why)} ${made(action.because)}`),
    ]),
    ...(nextFive.actions.length === 0 ? ['  Nothing is left to do'] : []),
    '',
    ...(nextFive.finishOne.length > 0
      ? [
          paint('Finish one: nearest to done', 'bold'),
          ...nextFive.finishOne
            .slice(0, 3)
            .flatMap((part) =>
              wrap(
                `  ${visible(part.name)}: ${money(part.hoursLeft)} hours left${part.waitsFor ? `, waits for ${part.waitsFor}` : ''}. ${visible(part.steps.join('; '))}`,
              ),
            ),
          '',
        ]
      : []),
  ];
}

function time(minutes: number): string {
  return minutes >= 90 ? `${Math.round(minutes / 6) / 10} h` : `${Math.max(1, Math.round(minutes))} min`;
}

function offerText({ offer, parts, assessment: { currency } }: PlanOut, paint: Paint): string[] {
  if (!offer) return [];
  const nameOf = (id: string) => visible(parts.find(({ component }) => component === id)?.name ?? id);
  const figure = (value: number | null) => (value === null ? '-' : money(value));
  return [
    paint('Before buying', 'bold'),
    ...offer.text.flatMap((line) => wrap(`  ${line}`)),
    columns('  Offer, work going as likely', [figure(offer.offerLessP50)]),
    columns('  Offer, with the work set aside', [figure(offer.offerLessP80)]),
    paint(columns('  To put right', ['low', 'likely', 'set aside']), 'dim'),
    columns(`  All of it, ${currency}`, [offer.toPutRight.p10, offer.toPutRight.p50, offer.toPutRight.p80].map(money)),
    ...offer.split.map(({ name, money: q }) => columns(`  ${name}`, [q.p10, q.p50, q.p80].map(money))),
    ...(offer.notSeen.length > 0
      ? wrap(
          `  Not seen: ${offer.notSeen
            .slice(0, 6)
            .map((part) => `${visible(part.name)} (${part.checks.length})`)
            .join(', ')}${offer.notSeen.length > 6 ? ` and ${offer.notSeen.length - 6} more` : ''}`,
        )
      : []),
    ...offer.looks.flatMap((look) =>
      wrap(
        `  ${nameOf(look.component)}: ${visible(look.ask)} (${look.minutes} min) At best set aside ${money(look.best.p80)}, at worst ${money(look.worst.p80)}`,
      ),
    ),
    '',
  ];
}

function lineText({ total }: PlanOut, paint: Paint): string[] {
  const shown = [...total.lines]
    .filter((line) => line.money.p80 > 0 || line.hours.p80 > 0)
    .sort((a, b) => b.money.p80 - a.money.p80 || b.hours.p80 - a.hours.p80);
  return [
    paint(columns('Line by line', ['likely', 'set aside', 'hours']), 'bold'),
    ...shown
      .slice(0, MOST_LINES)
      .flatMap((line) => [
        columns(line.name, [money(line.money.p50), money(line.money.p80), money(line.hours.p50)]),
        ...wrap(`    ${visible(line.text)} ${made(line.because)}`).map((text) => paint(text, 'dim')),
      ]),
    ...(shown.length > MOST_LINES ? [`  and ${shown.length - MOST_LINES} smaller lines`] : []),
    '',
  ];
}

function batchText({ batches, sharedCharges, assessment: { currency } }: PlanOut, paint: Paint): string[] {
  if (batches.length + sharedCharges.length === 0) return [];
  return [
    paint('Paid once for several', 'bold'),
    ...batches.flatMap((batch) => [
      ...wrap(
        `  ${batch.name}${batch.colour ? `, ${visible(batch.colour)}` : ''}, ${batch.metal}: ${batch.pieces} piece${batch.pieces === 1 ? '' : 's'}, ${money(batch.massKg)} kg, ${money(batch.areaDm2)} dm2. Bill ${money(batch.bill.usual)} ${currency} (${money(batch.bill.low)} to ${money(batch.bill.high)}), away ${money(batch.leadDays.usual)} days. ${
          batch.goesAnyway
            ? 'Goes anyway, so only the work is paid.'
            : batch.paysMinimum
              ? `Pays the minimum; room for ${money(batch.slack)} more at no cost.`
              : 'Past the minimum.'
        } ${made(batch.because)}`,
      ),
      ...batch.parts.flatMap((part) =>
        wrap(
          `    ${part.pieces} x ${visible(part.name)}: adds ${money(part.adds)}, alone ${part.pieces > 1 ? 'they' : 'it'} would cost ${money(part.alone)}${part.chance < 0.995 ? ` (goes ${Math.round(part.chance * 100)} times in 100)` : ''}`,
        ),
      ),
      ...wrap(
        `    ${visible(batch.oneMore.text)} would add ${money(batch.oneMore.adds)}, alone ${money(batch.oneMore.alone)}.`,
      ),
      ...(batch.couldJoin.length > 0
        ? wrap(
            `    Could join: ${batch.couldJoin
              .slice(0, 3)
              .map((part) => `${visible(part.name)} for ${money(part.adds)}`)
              .join(', ')}.`,
          )
        : []),
      ...wrap(`    Not taken there: ${visible(batch.refuses)}.`),
    ]),
    ...sharedCharges
      .filter((charge) => charge.covers.length > 1 || charge.money.usual > 0)
      .flatMap((charge) =>
        wrap(
          `  ${charge.name}${charge.where ? `, ${charge.where}` : ''}: ${
            charge.isPaid ? 'paid already' : cost(charge.money.usual, charge.hours.usual, currency)
          } once for ${charge.covers.length}; each for itself ${cost(charge.ifEachPaid.money, charge.ifEachPaid.hours, currency)} ${made(charge.because)}`,
        ),
      ),
    '',
  ];
}

function cost(amount: number, hours: number, currency: string): string {
  const words = [amount > 0 ? `${money(amount)} ${currency}` : '', hours > 0 ? `${money(hours)} h` : ''].filter(
    Boolean,
  );
  return words.length > 0 ? words.join(' and ') : 'nothing';
}

function differText({ verdicts }: PlanOut, paint: Paint): string[] {
  const different = verdicts.filter(({ differs }) => differs);
  if (different.length === 0) return [];
  return [
    paint('Decided otherwise for the whole job than alone', 'bold'),
    ...different.flatMap((verdict) =>
      wrap(
        `  ${verdict.pieces > 1 ? `${verdict.pieces} x ` : ''}${visible(verdict.name)}: ${verdict.joint.action} (${verdict.joint.name.toLowerCase()}), alone ${verdict.alone.action} (${verdict.alone.name.toLowerCase()}). ${visible(verdict.why ?? '')}. ${made(verdict.because)}`,
      ),
    ),
    '',
  ];
}

function daysText({ days }: PlanOut, paint: Paint): string[] {
  const weeks = (value: number) => (value >= 21 ? `${Math.round(value / 7)} weeks` : `${Math.round(value)} days`);
  return [
    paint('How long', 'bold'),
    ...wrap(
      `  Set aside ${weeks(days.p80)}; likely ${weeks(days.p50)}, at best ${weeks(days.p10)}, with ${days.hoursPerWeek} own hours a week${days.hoursAssumed ? " (the rubric's figure)" : ''}.`,
    ),
    ...wrap(`  What it waits for: ${days.text}.`),
    ...days.activities
      .filter(({ days: { usual } }) => usual > 0)
      .map((activity) =>
        columns(
          `  ${activity.critical ? '*' : ' '} ${activity.name}`,
          [
            `${Math.round(activity.start)} to ${Math.round(activity.finish)}`,
            activity.critical ? 'critical' : `${Math.round(activity.slack)} spare`,
          ],
          55,
        ),
      ),
    '',
  ];
}

function leftText({ ifLeft }: PlanOut, paint: Paint): string[] {
  const years = ({ low, high }: { low: number; high: number }) =>
    high === 0 ? 'past its limit today' : `${money(low)} to ${high >= 100 ? 'over 100' : money(high)} years`;
  return [
    ...(ifLeft.parts.length > 0
      ? [
          paint('If it is left', 'bold'),
          ...ifLeft.parts
            .slice(0, 8)
            .flatMap((part) =>
              wrap(
                `  ${visible(part.name)}: ${years(part.years)}${part.withinHorizon >= 0.005 && part.years.high > 0 ? `; ${Math.round(part.withinHorizon * 100)} in 100 while you mean to keep it` : ''}. ${part.because} ${made(part.from)}`,
              ),
            ),
          ...wrap(`  ${ifLeft.caution}`),
          '',
        ]
      : []),
    ...(ifLeft.zinc.length > 0
      ? [
          paint('Life of the zinc in this air', 'bold'),
          ...[...new Set(ifLeft.zinc.map(({ um }) => um))].flatMap((um) => {
            const same = ifLeft.zinc.filter((zinc) => zinc.um === um);
            const names = [...new Set(same.map(({ name }) => visible(name)))].join(', ');
            return wrap(
              `  ${um} um (${names}): ${years(same[0]!.years)} to red rust on an open face ${made(same[0]!.because)}`,
            );
          }),
          '',
        ]
      : []),
    paint(columns('If the money runs out, in this order', ['money', 'so far', 'hours']), 'bold'),
    ...ifLeft.order.flatMap((part) => [
      columns(`  ${part.name}: ${part.action}`, [money(part.money), money(part.moneySoFar), money(part.hoursSoFar)]),
      ...wrap(`      ${visible(part.why)} ${made(part.because)}`).map((text) => paint(text, 'dim')),
    ]),
    '',
  ];
}

function actualsText({ actuals, assessment: { currency } }: PlanOut, paint: Paint): string[] {
  return [
    paint('Estimate and actual', 'bold'),
    ...(actuals.entries.length > 0
      ? [
          ...wrap(
            `  Spent so far ${money(actuals.spent.money)} ${currency} and ${money(actuals.spent.hours)} hours. At the end, with what is to come: ${range(actuals.atCompletion.money)} ${currency}.`,
          ),
          ...actuals.entries
            .slice(-8)
            .flatMap((entry) =>
              wrap(
                `  ${visible(entry.name)}, ${entry.on}: ${[
                  entry.hours ? `${money(entry.hours.actual)} h against ${money(entry.hours.estimate)}` : '',
                  entry.money ? `${money(entry.money.actual)} ${currency} against ${money(entry.money.estimate)}` : '',
                ]
                  .filter(Boolean)
                  .join(', ')}`,
              ),
            ),
        ]
      : []),
    ...wrap(`  ${actuals.optimism.text} ${made(actuals.optimism.because)}`),
    '',
  ];
}
