import type { Component, Process, ThreePoint } from '../../shared/index.ts';
import {
  exactly,
  type Item,
  isRefused,
  meanOf,
  type Option,
  type Prepared,
  type PreparedJob,
  plus,
  product,
  stepsLeft,
  times,
} from '../engine/index.ts';
import { batchOf } from './batch-id.ts';
import { priced, settingsOf } from './circumstances.ts';

/** Something that may happen on a way, in each of `trials` pieces, without ending it. */
export interface WayEvent {
  id: string;
  text: string;
  trials: number;
  /** Chance a trial, one a step of the car's rustiness or the same for all. */
  probability: readonly number[];
  hours: ThreePoint;
  money: ThreePoint;
}

/** That a way takes its pieces to an outside process. */
export interface Visit {
  batch: string;
  process: string;
  operation: string;
  /** Work at the shop's rates, money, all pieces. */
  work: ThreePoint;
  /** A hold point of the route comes after it. */
  beforeHold: boolean;
}

/** One stretch of a way: up to a hold point, or the rest. Points are for all pieces. */
export interface Stretch {
  removal: ThreePoint;
  work: ThreePoint;
  refit: ThreePoint;
  consumables: ThreePoint;
  price: ThreePoint;
  visits: Visit[];
  events: WayEvent[];
  /** Effect bits known at the hold point that ends it; null for the last. */
  knownBits: number | null;
  hold: string | null;
}

/** One option of a group of members, without anything that is shared. */
export interface Way {
  option: Option;
  stretches: Stretch[];
  /** What is left to do and buy once the part is off and something else has failed; null unless it replaces. */
  afterRemoval: Stretch | null;
  /** Sort of order that buys it (`new`, `pattern`, ...), or null. */
  order: string | null;
  leadDays: ThreePoint;
  isRefused: boolean;
}

const ZERO: ThreePoint = [0, 0, 0];

/** Every option of a group, broken into stretches. What has been done and paid already (an actual) is left out. */
export function waysOf(prepared: Prepared, job: PreparedJob): Way[] {
  const { component, c } = prepared;
  const done = new Set((component.actuals ?? []).map(({ on }) => on));
  return c.options.map((option): Way => {
    const { holds, rest, afterRemoval } = option.shared;
    const bills = [...holds.map((hold) => hold.bill.items), rest.items];
    const visits = visitsOf(option, prepared, job, done);
    const stretches = bills.map((items, s): Stretch => {
      const hold = holds[s];
      return {
        ...stretchOf(items, prepared, job, done),
        visits: visits[s] ?? [],
        knownBits: hold?.knownBits ?? null,
        hold: hold?.name ?? null,
      };
    });
    for (const stretch of stretches) stretch.events.push(...lostEvents(stretch.visits, prepared, job));
    const supply = option.supply === null ? null : supplyType(component, option, c.compiled.kind.supplies);
    return {
      option,
      stretches,
      afterRemoval: option.action === 'replace' ? stretchOf(afterRemoval.items, prepared, job, done) : null,
      order: supply,
      leadDays: option.leadDays,
      isRefused: isRefused(option, job.sliders.finish),
    };
  });
}

function supplyType(component: Component, option: Option, supplies: readonly { id: string; type: string }[]): string {
  const type = (component.supplies ?? supplies).find((supply) => supply.id === option.supply)?.type ?? 'made';
  // New parts and the fasteners that stand in for old ones come over the same counter.
  return type === 'substitute' ? 'new' : type;
}

function stretchOf(items: readonly Item[], prepared: Prepared, job: PreparedJob, done: ReadonlySet<string>): Stretch {
  const pieces = prepared.member.count;
  const sums = { removal: ZERO, work: ZERO, refit: ZERO, consumables: ZERO, price: ZERO };
  const events = new Map<string, WayEvent>();
  const add = (key: keyof typeof sums, points: ThreePoint) => {
    sums[key] = plus(sums[key], points);
  };
  for (const item of items) {
    const [sort = '', id = '', rest = ''] = item.id.split('.');
    if (done.has(sort) || done.has(id)) continue;
    switch (sort) {
      case 'removal':
        add('removal', item.points);
        for (const event of settingsOf(job).events)
          events.set(event.id, {
            id: event.id,
            text: event.text,
            trials: 1,
            probability: event.probability,
            hours: event.hours,
            money: priced(job, event.money),
          });
        break;
      case 'refit':
        add('refit', item.points);
        break;
      case 'operation':
        add(item.unit === 'hours' ? 'work' : 'consumables', item.points);
        break;
      case 'event': {
        const event = job.tables.operation(id).events?.find((entry) => entry.id === rest);
        if (event)
          events.set(item.id, {
            id: item.id,
            text: event.text,
            trials: pieces,
            probability: [event.probability],
            hours: event.hours,
            money: priced(job, event.money),
          });
        break;
      }
      case 'supply':
        if (item.unit === 'money') add('price', item.points);
        else if (rest === 'misfit') {
          const points = job.rubric.settings.misfitHours.value;
          events.set(item.id, {
            id: item.id,
            text: item.text,
            trials: 1,
            // The line of the bill is the hours times the chance.
            probability: [points[1] === 0 ? 0 : item.points[1] / points[1]],
            hours: points,
            money: ZERO,
          });
        } else add('refit', item.points);
        break;
      default:
        // Processes and their handling belong to batches.
        break;
    }
  }
  return { ...sums, visits: [], events: [...events.values()], knownBits: null, hold: null };
}

/** Visits to outside processes, one list a stretch. */
function visitsOf(option: Option, prepared: Prepared, job: PreparedJob, done: ReadonlySet<string>): Visit[][] {
  const out: Visit[][] = [[]];
  if (option.route === null) return out;
  const steps = stepsLeft(job.tables.route(option.route), prepared.component);
  // Back from the coater is a look too, but the next thing then is to fit it, not to decide again.
  const lastHold = steps.findLastIndex((step) => 'hold' in step && step.hold !== 'finished');
  for (const [place, step] of steps.entries()) {
    if ('hold' in step) {
      out.push([]);
      continue;
    }
    const { id, process } = job.tables.operation(step.do);
    if (!process || done.has(id) || done.has(process)) continue;
    out.at(-1)!.push({
      batch: batchOf(job, process, prepared),
      process,
      operation: id,
      work: workAt(job.tables.process(process), prepared, job),
      beforeHold: place < lastHold,
    });
  }
  return out;
}

/** Work at a shop's rates for all pieces, money: kilograms, square decimetres and pieces, each at its rate. */
export function workAt(process: Process, prepared: Prepared, job: PreparedJob): ThreePoint {
  const { massKg, areaDm2 } = sizeOf(prepared);
  return priced(
    job,
    plus(
      times(process.perPiece ?? ZERO, prepared.member.count),
      process.perKg ? product(process.perKg, massKg) : ZERO,
      process.perDm2 ? product(process.perDm2, areaDm2) : ZERO,
    ),
  );
}

/** Mass and area of all pieces of a group. */
export function sizeOf({ component, c, member }: Prepared): { massKg: ThreePoint; areaDm2: ThreePoint } {
  const { kind } = c.compiled;
  return {
    massKg: times(component.massKg === undefined ? kind.massKg : exactly(component.massKg), member.count),
    areaDm2: times(component.areaDm2 === undefined ? kind.areaDm2 : exactly(component.areaDm2), member.count),
  };
}

/** A small piece can be lost at a shop: then one is bought. */
function lostEvents(visits: readonly Visit[], prepared: Prepared, job: PreparedJob): WayEvent[] {
  const { component, c, member } = prepared;
  const [, pieceKg] = component.massKg === undefined ? c.compiled.kind.massKg : exactly(component.massKg);
  if (pieceKg > settingsOf(job).smallPartKg.value) return [];
  const prices = c.options.flatMap((option) =>
    option.action === 'replace'
      ? option.alone.rest.items.filter((item) => item.unit === 'money' && item.id.startsWith('supply.'))
      : [],
  );
  const cheapest = [...prices].sort((a, b) => meanOf(a.points) - meanOf(b.points))[0];
  if (!cheapest) return [];
  return visits.map(({ process }) => ({
    id: `lost.${process}`,
    text: 'A piece is lost there and another is bought',
    trials: member.count,
    probability: [job.tables.process(process).lost],
    hours: ZERO,
    money: times(cheapest.points, 1 / member.count),
  }));
}

/** Expected cost of a stretch without what is shared, own time at the figure of an hour. */
export function stretchCost(stretch: Stretch, job: PreparedJob): number {
  const { hourRate } = job.sliders;
  let hours = meanOf(stretch.removal) + meanOf(stretch.work) + meanOf(stretch.refit);
  let money = meanOf(stretch.consumables) + meanOf(stretch.price);
  for (const event of stretch.events) {
    const expected = event.trials * expectedChance(event.probability, job.rustiness);
    hours += expected * meanOf(event.hours);
    money += expected * meanOf(event.money);
  }
  return money + hours * hourRate;
}

function expectedChance(probability: readonly number[], rustiness: readonly number[]): number {
  if (probability.length === 1) return probability[0]!;
  return probability.reduce((sum, p, r) => sum + p * (rustiness[r] ?? 0), 0);
}
