import type {
  ActualsOut,
  Assessment,
  Component,
  Fault,
  Quantiles,
  Range,
  Rubric,
  ThreePoint,
} from '../../shared/index.ts';
import { showFound } from '../../shared/index.ts';
import { cents, operationItems, type PreparedJob, plus, times } from '../engine/index.ts';
import { normalQuantile, pow, Z_90 } from '../standards/index.ts';
import { madeBy, priced, processOf, settingsOf } from './circumstances.ts';
import { quantile, round, sorted } from './quantiles.ts';

const Z_80 = normalQuantile(0.8);

/** What was estimated for one thing that an actual names; null where the estimate has no such side. */
interface Estimate {
  hours: ThreePoint | null;
  money: ThreePoint | null;
}

type Entry = ActualsOut['entries'][number];

/** Everything wrong with what was really spent: an entry must name something that the estimate has. */
export function checkActuals(assessment: Assessment, rubric: Rubric, file = ''): Fault[] {
  const known = new Set<string>([
    'removal',
    'refit',
    ...rubric.operations.map(({ id }) => id),
    ...rubric.charges.processes.map(({ id }) => id),
    ...rubric.charges.shared.map(({ id }) => id),
  ]);
  return assessment.components.flatMap((component, c) => {
    const kind = rubric.kinds.find(({ id }) => id === component.kind);
    const supplies = (component.supplies ?? kind?.supplies ?? []).map(({ id }) => id);
    return (component.actuals ?? []).flatMap((actual, a): Fault[] => {
      const path = `components.${c}.actuals.${a}`;
      const faults: Fault[] = [];
      if (!known.has(actual.on) && !supplies.includes(actual.on))
        faults.push({
          file,
          path: `${path}.on`,
          wanted: `removal, refit, an operation, a process, a shared charge, or a supply of ${component.id} (${supplies.join(', ') || 'it has none'})`,
          found: showFound(actual.on),
        });
      if (actual.hours === undefined && actual.money === undefined)
        faults.push({ file, path, wanted: 'hours or money, or both', found: 'neither' });
      return faults;
    });
  });
}

function estimateOf(component: Component, on: string, job: PreparedJob): Estimate | null {
  const compiled = job.tables.kind(component.kind);
  const { kind } = compiled;
  const count = component.count ?? 1;
  if (on === 'removal') return { hours: times(kind.removalHours, count), money: null };
  if (on === 'refit') return { hours: times(kind.refitHours, count), money: null };
  const supply = (component.supplies ?? kind.supplies).find(({ id }) => id === on);
  if (supply) {
    const price = component.supplies ? supply.price : priced(job, supply.price);
    return { hours: null, money: times(price, count) };
  }
  const { operations, charges } = job.rubric;
  const sum = (items: ReturnType<typeof operationItems>, unit: 'hours' | 'money'): ThreePoint | null => {
    const points = items
      .filter((item) => item.unit === unit && !item.id.startsWith('event.'))
      .map((item) => item.points);
    return points.length > 0 ? plus(...points) : null;
  };
  if (operations.some(({ id }) => id === on)) {
    const items = operationItems(on, component, count, compiled, job.circumstances, true);
    return { hours: sum(items, 'hours'), money: sum(items, 'money') };
  }
  const charge = charges.shared.find(({ id }) => id === on);
  if (charge) return { hours: charge.hours, money: priced(job, charge.money) };
  if (charges.processes.some(({ id }) => id === on)) {
    const process = processOf(job, on);
    return { hours: process.handlingHours, money: priced(job, process.minimum) };
  }
  return null;
}

/** Actual and estimate side by side, without what follows from them. */
export function entriesOf(job: PreparedJob): Entry[] {
  return job.assessment.components.flatMap((component) =>
    (component.actuals ?? []).flatMap((actual): Entry[] => {
      const estimate = estimateOf(component, actual.on, job);
      const side = (spent: number | undefined, points: ThreePoint | null | undefined) =>
        spent === undefined || !points || points[1] === 0
          ? null
          : { actual: spent, estimate: cents(points[1]), ratio: round(spent / points[1], 3) };
      return [
        {
          component: component.id,
          name: component.name,
          on: actual.on,
          date: actual.date,
          hours: side(actual.hours, estimate?.hours),
          money: side(actual.money, estimate?.money),
        },
      ];
    }),
  );
}

/**
 * Optimism learnt from ratios of actual to estimate: the median is the usual factor, the 80 % point sets the spread,
 * log-normal to both sides.
 *
 * @param ratios one or more, above 0
 */
export function learntOptimism(ratios: readonly number[]): Range {
  const rising = sorted(Float64Array.from(ratios));
  const usual = quantile(rising, 0.5);
  const high80 = Math.max(usual, quantile(rising, 0.8));
  const spread = pow(high80 / usual, Z_90 / Z_80);
  return { low: usual / spread, usual, high: usual * spread };
}

/** The optimism in force: the rubric's, or what the owner's own entries say once there are enough of them. */
export function optimismOf(job: PreparedJob, entries: readonly Entry[]): ActualsOut['optimism'] {
  const { optimism, entriesNeeded } = settingsOf(job);
  const isOff = job.assessment.learnFromActuals === false;
  const needed = entriesNeeded.value;
  const of = (side: 'hours' | 'money') => {
    const ratios = entries.flatMap((entry) => (entry[side] && entry[side].ratio > 0 ? [entry[side].ratio] : []));
    const corrected = !isOff && ratios.length >= needed;
    const [low, usual, high] = optimism[side].value;
    const points = corrected ? learntOptimism(ratios) : { low, usual, high };
    return {
      points: { low: round(points.low, 4), usual: round(points.usual, 4), high: round(points.high, 4) },
      corrected,
      entries: ratios.length,
    };
  };
  const hours = of('hours');
  const money = of('money');
  const say = (name: string, side: typeof hours) =>
    side.corrected
      ? `${name}: ${side.entries} of your own entries say that an estimate is really times ${round(side.points.usual, 2)}, and times ${round(side.points.high, 2)} one time in ten`
      : `${name}: times ${round(side.points.usual, 2)} by the rubric (${side.entries} of your own entries${isOff ? ', and learning from them is turned off' : `, ${needed} are needed to correct it`})`;
  return {
    hours,
    money,
    isOff,
    needed,
    text: `${say('Hours', hours)}. ${say('Money', money)}.`,
    because: madeBy(job.rubric, 'settings.planning.optimism', optimism.hours.from),
  };
}

/** The whole section: entries, what is spent, and spent with still to come. */
export function actualsOut(
  job: PreparedJob,
  entries: Entry[],
  optimism: ActualsOut['optimism'],
  toCome: { money: Quantiles; hours: Quantiles },
): ActualsOut {
  const all = job.assessment.components.flatMap((component) => component.actuals ?? []);
  const spent = {
    money: cents(all.reduce((sum, actual) => sum + (actual.money ?? 0), 0)),
    hours: cents(all.reduce((sum, actual) => sum + (actual.hours ?? 0), 0)),
  };
  const shift = ({ p10, p50, p80 }: Quantiles, by: number): Quantiles => ({
    p10: cents(p10 + by),
    p50: cents(p50 + by),
    p80: cents(p80 + by),
  });
  return {
    entries,
    spent,
    atCompletion: { money: shift(toCome.money, spent.money), hours: shift(toCome.hours, spent.hours) },
    optimism,
  };
}
