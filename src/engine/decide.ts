import type { Action, Odds } from '../../shared/index.ts';
import { ACTIONS } from '../../shared/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Bill, Option, Priced } from './options.ts';

/** What a person can slide: an hour's worth, the wanted finish, and prices of supplies. */
export interface Sliders {
  /** Worth of one hour, assessment's currency. */
  hourRate: number;
  /** 0 serviceable, 1 smart, 2 show. */
  finish: number;
  /** Change of one priced item against its mean (by item id), money; for flips and settled verdicts. */
  shift?: { item: string; money: number };
  /** Factor on the price of every supply of this case; 1 when left out. */
  supplyFactor?: number;
}

/** What a decision needs to know of one component (or of one group of alike members). */
export interface Case {
  compiled: CompiledKind;
  options: readonly Option[];
  /** Outside processes whose batch goes anyway are priced as shared. */
  isShared: (option: Option) => boolean;
  /** Chance that left as it is it reaches its limit within the owner's horizon. */
  failsLater: number;
  /** Options within this fraction of the cheapest count as equal. */
  tie: number;
  /** Effects under some completion of the answers. Draws allow for a grader's error; what an answer bars stays barred. */
  completions: readonly number[];
}

/** Weighted sets of effect bits: draws, or completions. */
export interface Weighted {
  effects: readonly number[];
  counts: readonly number[];
}

function billCost(bill: Bill, sliders: Sliders): number {
  let cost = bill.money + bill.hours * sliders.hourRate;
  const { shift, supplyFactor } = sliders;
  if (supplyFactor !== undefined) cost += (supplyFactor - 1) * bill.supply;
  if (shift) for (const item of bill.items) if (item.id === shift.item) cost += shift.money;
  return cost;
}

function pricedOf(c: Case, option: Option, shared?: boolean): Priced {
  return (shared ?? c.isShared(option)) ? option.shared : option.alone;
}

/**
 * What a set of effects leaves: 0 everything, 1 no reuse, 2 neither reuse nor refinishing. Whatever bars refinishing bars
 * reuse, so there is no fourth.
 */
export function leftBy(c: Case, effect: number, finish: number): 0 | 1 | 2 {
  if ((effect & c.compiled.reuseBits[finish]!) === 0) return 0;
  return (effect & c.compiled.refinishBits[finish]!) === 0 ? 1 : 2;
}

/** May this option be taken when these effects hold? */
export function isAllowed(c: Case, option: Option, effect: number, finish: number): boolean {
  return isAllowedWith(option, leftBy(c, effect, finish), finish);
}

function isAllowedWith(option: Option, left: 0 | 1 | 2, finish: number): boolean {
  if (isRefused(option, finish)) return false;
  if (option.action === 'reuse') return left === 0;
  return option.action === 'replace' || left < 2;
}

/** Is it refused whatever the missing answers are? */
export function isRefused(option: Option, finish: number): boolean {
  return option.refused.length > 0 || option.reaches < finish;
}

/** Costs of a case under given sliders, before it is known what is barred. */
export interface Costing {
  /** Cost of each option when nothing bars it. */
  clear: readonly number[];
  /** Cost of each option up to each of its hold points. */
  spent: readonly (readonly number[])[];
  /** Cheapest replacement once the part is off. */
  bestAfter: number;
  /** Cheapest refinishing, or Infinity. */
  bestRoute: number;
}

/** Prices every option of a case. */
export function costingOf(c: Case, sliders: Sliders, shared?: boolean): Costing {
  const { options } = c;
  const { finish } = sliders;
  let bestAfter = Number.POSITIVE_INFINITY;
  let bestFull = Number.POSITIVE_INFINITY;
  let bestRoute = Number.POSITIVE_INFINITY;
  const clear = new Array<number>(options.length).fill(0);
  const spent = new Array<readonly number[]>(options.length).fill(NO_HOLDS);
  options.forEach((option, i) => {
    const priced = pricedOf(c, option, shared);
    let total = 0;
    if (priced.holds.length > 0) {
      spent[i] = priced.holds.map((hold) => {
        total += billCost(hold.bill, sliders);
        return total;
      });
    }
    total += billCost(priced.rest, sliders);
    if (option.action === 'replace') {
      total += option.keepOriginal;
      if (!isRefused(option, finish)) {
        bestAfter = Math.min(bestAfter, billCost(priced.afterRemoval, sliders) + option.keepOriginal);
        bestFull = Math.min(bestFull, total);
      }
    } else if (option.action === 'refinish' && !isRefused(option, finish)) bestRoute = Math.min(bestRoute, total);
    clear[i] = total;
  });
  if (c.failsLater > 0)
    options.forEach((option, i) => {
      if (option.action === 'reuse') clear[i]! += c.failsLater * bestFull;
    });
  return { clear, spent, bestAfter, bestRoute };
}

const NO_HOLDS: readonly number[] = [];

/**
 * How an option goes: it passes, or is found barred at one of its hold points, or only when the work is done. Shares of the
 * draws that sum to 1.
 */
interface Course {
  passes: number;
  /** Share found barred at each hold point. */
  failsAt: readonly number[];
  /** Share found barred late: refinishing when the work is done; reuse with nothing left but replacing. */
  failsLate: number;
  /** Reuse barred, refinishing still allowed. */
  restorable: number;
  /** May it be taken under some draw and some completion? */
  canBe: boolean;
}

/** The course of each option over weighted effects: all of an expected cost that no price slider moves. */
export type Courses = readonly Course[];

/** Works out how each option of a case goes over weighted effects, under one wanted finish. */
export function coursesOf(c: Case, { effects, counts }: Weighted, finish: number): Courses {
  const refinishBits = c.compiled.refinishBits[finish]!;
  const shares = [0, 0, 0] as [number, number, number];
  let total = 0;
  effects.forEach((effect, k) => {
    shares[leftBy(c, effect, finish)] += counts[k]!;
    total += counts[k]!;
  });
  const possible = leavingsOf(c, finish);
  const under = (option: Option, left: 0 | 1 | 2) => shares[left] > 0 && isAllowedWith(option, left, finish);
  return c.options.map((option): Course => {
    const canBe =
      (under(option, 0) || under(option, 1) || under(option, 2)) &&
      possible.some((left) => isAllowedWith(option, left, finish));
    if (option.action === 'replace') return { passes: 1, failsAt: [], failsLate: 0, restorable: 0, canBe };
    if (option.action === 'reuse') {
      const [passes, restorable, failsLate] = shares.map((share) => share / total) as [number, number, number];
      return { passes, failsAt: [], failsLate, restorable, canBe };
    }
    const { holds } = option.alone;
    const failsAt = new Array<number>(holds.length).fill(0);
    let failsLate = 0;
    effects.forEach((effect, k) => {
      const barred = effect & refinishBits;
      if (barred === 0) return;
      const at = holds.findIndex((hold) => (barred & hold.knownBits) !== 0);
      if (at >= 0) failsAt[at]! += counts[k]! / total;
      else failsLate += counts[k]! / total;
    });
    return { passes: (shares[0] + shares[1]) / total, failsAt, failsLate, restorable: 0, canBe };
  });
}

/** What may be left under some completion of the missing answers; see `leftBy`. */
export function leavingsOf(c: Case, finish: number): (0 | 1 | 2)[] {
  const seen = [false, false, false];
  for (const effect of c.completions) seen[leftBy(c, effect, finish)] = true;
  return ([0, 1, 2] as const).filter((left) => seen[left]);
}

/**
 * Expected cost of each option; Infinity when it is refused or barred in all of the effects.
 *
 * A route that fails at a hold point has cost its way there, and then the best replacement. It is never counted as
 * cheaper than carrying on would have been: a failed hold point is no saving, it only shows that replacing was the better
 * choice from the start (which the cost of replacing says already). That keeps a worse answer from making anything cheaper.
 */
export function costsAt(c: Case, courses: Courses, costing: Costing, finish: number): number[] {
  const { clear, spent, bestAfter, bestRoute } = costing;
  return c.options.map((option, i) => {
    const { passes, failsAt, failsLate, restorable, canBe } = courses[i]!;
    if (!canBe || isRefused(option, finish)) return Number.POSITIVE_INFINITY;
    if (option.action === 'replace') return clear[i]!;
    let cost = passes * clear[i]!;
    if (failsLate > 0) cost += failsLate * (clear[i]! + bestAfter);
    if (restorable > 0) cost += restorable * (clear[i]! + Math.min(bestAfter, bestRoute));
    for (let k = 0; k < failsAt.length; k++) {
      if (failsAt[k]! > 0) cost += failsAt[k]! * Math.max(spent[i]![k]! + bestAfter, clear[i]!);
    }
    return cost;
  });
}

/** Cost of each option when these effects hold: what was spent, and the best left, when it turns out barred. */
export function costsIn(c: Case, costing: Costing, effect: number, finish: number): number[] {
  const { clear, spent, bestAfter, bestRoute } = costing;
  const left = leftBy(c, effect, finish);
  const barred = effect & c.compiled.refinishBits[finish]!;
  return c.options.map((option, i) => {
    const cost = clear[i]!;
    if (option.action === 'replace' || left === 0) return cost;
    if (option.action === 'reuse') return cost + (left === 1 ? Math.min(bestAfter, bestRoute) : bestAfter);
    if (left === 1) return cost;
    const at = option.alone.holds.findIndex((hold) => (barred & hold.knownBits) !== 0);
    return at < 0 ? cost + bestAfter : Math.max(spent[i]![at]! + bestAfter, cost);
  });
}

/** Expected cost of each option over weighted effects; see `costsAt`. */
export function expectedCosts(c: Case, weighted: Weighted, sliders: Sliders, shared?: boolean): number[] {
  const { finish } = sliders;
  return costsAt(c, coursesOf(c, weighted, finish), costingOf(c, sliders, shared), finish);
}

/**
 * Index of the option to take: the cheapest; within the tie, the one that keeps more of the old part, then the cheaper by
 * the minor unit, then by id. -1 when nothing is left.
 */
export function cheapest(c: Case, costs: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (const cost of costs) if (cost < least) least = cost;
  if (!Number.isFinite(least)) return -1;
  const most = least + Math.abs(least) * c.tie;
  let best = -1;
  for (let i = 0; i < costs.length; i++) {
    if (costs[i]! > most) continue;
    if (best < 0 || before(c.options[i]!, costs[i]!, c.options[best]!, costs[best]!)) best = i;
  }
  return best;
}

function before(a: Option, costA: number, b: Option, costB: number): boolean {
  const keep = ACTIONS.indexOf(a.action) - ACTIONS.indexOf(b.action);
  if (keep !== 0) return keep < 0;
  const cents = Math.round(costA * 100) - Math.round(costB * 100);
  return cents !== 0 ? cents < 0 : a.id < b.id;
}

/** Action that would be taken if it were known what is left, or null when nothing is allowed. */
function actionWith(c: Case, costing: Costing, left: 0 | 1 | 2, finish: number): Action | null {
  const costs = c.options.map((option, i) =>
    isAllowedWith(option, left, finish) ? costing.clear[i]! : Number.POSITIVE_INFINITY,
  );
  const i = cheapest(c, costs);
  return i < 0 ? null : c.options[i]!.action;
}

/** Action that would be taken if it were known that these effects hold, or null when nothing is allowed. */
export function actionIn(c: Case, costing: Costing, effect: number, finish: number): Action | null {
  return actionWith(c, costing, leftBy(c, effect, finish), finish);
}

/** Shares of draws in which each action would be cheapest if all were known. */
export function oddsOf(c: Case, { effects, counts }: Weighted, sliders: Sliders): Odds {
  const costing = costingOf(c, sliders);
  const shares = [0, 0, 0];
  effects.forEach((effect, k) => {
    shares[leftBy(c, effect, sliders.finish)]! += counts[k]!;
  });
  const total = shares.reduce((a, b) => a + b, 0);
  const odds: Odds = { reuse: 0, refinish: 0, replace: 0 };
  for (const left of [0, 1, 2] as const) {
    if (shares[left]! > 0) odds[actionWith(c, costing, left, sliders.finish) ?? 'replace'] += shares[left]! / total;
  }
  return odds;
}

/** The actions that are best under some completion of the missing answers. */
export function possibleActions(c: Case, sliders: Sliders): Set<Action> {
  const costing = costingOf(c, sliders);
  return new Set(
    leavingsOf(c, sliders.finish).map((left) => actionWith(c, costing, left, sliders.finish) ?? 'replace'),
  );
}
