import type { ThreePoint } from '../../shared/index.ts';
import { NOTHING, type PreparedJob, plus } from '../engine/index.ts';
import { endOf, LATE, PASSES, RESTORABLE } from './courses.ts';
import { type ChosenJob, COMES_WITH } from './decide-job.ts';
import { type Figure, figureOf, figureOfAll } from './figure.ts';
import { fallbackOf } from './shared-costs.ts';
import { touches, type Unit } from './units.ts';
import type { Stretch, Visit, Way, WayEvent } from './ways.ts';

/** What really happens to one unit in some of the draws: how far its way goes, and what follows when it fails. */
export interface Outcome {
  key: string;
  /** Hours. */
  removal: Figure;
  /** Own work before the first hold point, after it, and putting back. */
  before: Figure;
  after: Figure;
  refit: Figure;
  /** All own hours but the removal. */
  work: Figure;
  /** Money. */
  consumables: Figure;
  price: Figure;
  visits: Visit[];
  events: WayEvent[];
  /** Taken off or put back. */
  touched: boolean;
  /** Sort of supply that is bought, or null; and whether that is known from the start. */
  order: string | null;
  ordersLater: boolean;
  leadDays: Figure;
  replaced: boolean;
}

/** The outcomes of a unit, and which of them each set of effects leads to (by index into its draws' effects). */
export interface Outcomes {
  list: Outcome[];
  ofEffect: number[];
}

/** Works out what can happen to a unit under the chosen way. */
export function outcomesOf(chosen: ChosenJob, u: number, job: PreparedJob): Outcomes {
  const unit = chosen.units[u]!;
  const { drawn } = unit.prepared;
  const list: Outcome[] = [];
  const at = new Map<string, number>();
  const indexOf = (outcome: Outcome): number => {
    let index = at.get(outcome.key);
    if (index === undefined) {
      index = list.push(outcome) - 1;
      at.set(outcome.key, index);
    }
    return index;
  };
  const way = chosen.ways[u]!;
  if (way === COMES_WITH) return { list: [nothing(true)], ofEffect: drawn.effects.map(() => 0) };
  const made = new Map<string, Outcome>();
  const outcome = (w: number, end: number, held: boolean): Outcome => {
    const key = `${w}|${end}|${held}`;
    let ready = made.get(key);
    if (!ready) {
      ready = outcomeOf(unit, w, end, held, key);
      made.set(key, ready);
    }
    return ready;
  };
  const { finish } = job.sliders;
  const { held } = unit;
  const isOverridden = unit.part.component.override !== undefined;
  const ofEffect = drawn.effects.map((effect) => {
    if (!held || (effect & held.bits) === 0)
      return indexOf(
        outcome(way, isOverridden ? PASSES : endOf(unit.ways[way]!, effect, unit.prepared, finish), false),
      );
    const w = (effect & held.hard) === 0 ? held.soft : held.fired;
    return indexOf(outcome(w, endOf(unit.ways[w]!, effect, unit.prepared, finish), true));
  });
  return { list, ofEffect };
}

const EMPTY: Stretch = {
  removal: NOTHING,
  work: NOTHING,
  refit: NOTHING,
  consumables: NOTHING,
  price: NOTHING,
  visits: [],
  events: [],
  knownBits: null,
  hold: null,
};

function nothing(replaced: boolean): Outcome {
  return { ...outcomeFrom('comes-with', [EMPTY], 1), touched: true, order: null, ordersLater: false, replaced };
}

function outcomeOf(unit: Unit, w: number, end: number, isLater: boolean, key: string): Outcome {
  const way = unit.ways[w]!;
  const walked = end >= 0 ? way.stretches.slice(0, end + 1) : [...way.stretches];
  let bought: Way | undefined = way.option.action === 'replace' ? way : undefined;
  let firstAfter = Math.max(1, way.stretches.findIndex(({ knownBits }) => knownBits !== null) + 1);
  if (end !== PASSES) {
    const refinish = end === RESTORABLE ? bestRoute(unit) : undefined;
    if (refinish) {
      // Reuse turned out barred: it is refinished instead.
      walked.splice(0, walked.length, ...unit.ways[refinish.index]!.stretches);
      firstAfter = 1;
    } else {
      bought = fallbackOf(unit.ways);
      if (end === LATE && way.option.action === 'reuse' && bought) walked.splice(0, walked.length, ...bought.stretches);
      else if (bought?.afterRemoval) walked.push(bought.afterRemoval);
    }
  }
  return {
    ...outcomeFrom(key, walked, firstAfter),
    touched: touches(unit, w) || end !== PASSES,
    order: bought?.order ?? null,
    ordersLater: isLater || end !== PASSES,
    leadDays: bought ? figureOf(bought.leadDays) : figureOf(NOTHING),
    replaced: bought !== undefined,
  };
}

function bestRoute(unit: Unit): { index: number } | undefined {
  const routes = unit.ways.flatMap((way, index) =>
    way.option.action === 'refinish' && !way.isRefused ? [{ index, cost: unit.costs.alone[index]! }] : [],
  );
  const [best] = routes.sort((a, b) => a.cost - b.cost);
  return best && best.cost < unit.costs.bestAfter ? best : undefined;
}

function outcomeFrom(
  key: string,
  stretches: readonly Stretch[],
  firstAfter: number,
): Omit<Outcome, 'touched' | 'order' | 'ordersLater' | 'replaced'> {
  const all = (pick: (stretch: Stretch) => ThreePoint, from = 0, to = stretches.length) =>
    stretches.slice(from, to).map(pick);
  const events = new Map<string, WayEvent>();
  for (const stretch of stretches) for (const event of stretch.events) events.set(event.id, event);
  return {
    key,
    removal: figureOfAll(all((s) => s.removal)),
    before: figureOfAll(all((s) => s.work, 0, firstAfter)),
    after: figureOfAll(all((s) => s.work, firstAfter)),
    refit: figureOfAll(all((s) => s.refit)),
    work: figureOf(plus(...all((s) => s.work), ...all((s) => s.refit))),
    consumables: figureOfAll(all((s) => s.consumables)),
    price: figureOfAll(all((s) => s.price)),
    visits: stretches.flatMap((s) => s.visits),
    events: [...events.values()],
    leadDays: figureOf(NOTHING),
  };
}
