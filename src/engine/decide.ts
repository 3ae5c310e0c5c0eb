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
  /** Change of one priced item against its mean (by item id), money; for flips and price sliders. */
  shift?: { item: string; money: number };
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
  const { shift } = sliders;
  if (shift) for (const item of bill.items) if (item.id === shift.item) cost += shift.money;
  return cost;
}

function pricedOf(c: Case, option: Option, shared?: boolean): Priced {
  return (shared ?? c.isShared(option)) ? option.shared : option.alone;
}

/** May this option be taken when these effects hold? */
export function isAllowed(c: Case, option: Option, effect: number, finish: number): boolean {
  if (option.refused.length > 0 || option.reaches < finish) return false;
  if (option.action === 'reuse') return (effect & c.compiled.reuseBits[finish]!) === 0;
  if (option.action === 'refinish') return (effect & c.compiled.refinishBits[finish]!) === 0;
  return true;
}

/** Is it refused whatever the missing answers are? */
export function isRefused(option: Option, finish: number): boolean {
  return option.refused.length > 0 || option.reaches < finish;
}

/** Costs of a case under given sliders, ready to be asked for each set of effects. */
export interface Costing {
  /** Cost of taking option `i` when these effects hold; what was spent plus the best left when it turns out barred. */
  costIn(i: number, effect: number): number;
  /** Cost of option `i` when nothing bars it. */
  clear: readonly number[];
}

/**
 * Prices every option of a case.
 *
 * A route that fails at a hold point has cost its way there, and then the best replacement. It is never counted as
 * cheaper than carrying on would have been: a failed hold point is no saving, it only shows that replacing was the better
 * choice from the start (which the cost of replacing says already). That keeps a worse answer from making anything cheaper.
 */
export function costingOf(c: Case, sliders: Sliders, shared?: boolean): Costing {
  const { options, compiled } = c;
  const { finish } = sliders;
  let bestAfter = Number.POSITIVE_INFINITY;
  let bestFull = Number.POSITIVE_INFINITY;
  for (const option of options) {
    if (option.action !== 'replace' || isRefused(option, finish)) continue;
    const priced = pricedOf(c, option, shared);
    bestAfter = Math.min(bestAfter, billCost(priced.afterRemoval, sliders) + option.keepOriginal);
    bestFull = Math.min(bestFull, billCost(priced.rest, sliders) + option.keepOriginal);
  }
  const refinishBits = compiled.refinishBits[finish]!;
  const reuseBits = compiled.reuseBits[finish]!;
  const stepsOf = options.map((option) => {
    const priced = pricedOf(c, option, shared);
    const holds = priced.holds.map((hold) => billCost(hold.bill, sliders));
    return { knownBits: priced.holds.map((hold) => hold.knownBits), holds, rest: billCost(priced.rest, sliders) };
  });
  const clear = options.map((option, i) => {
    const steps = stepsOf[i]!;
    const total = steps.holds.reduce((sum, cost) => sum + cost, 0) + steps.rest;
    if (option.action === 'reuse') return total + (c.failsLater > 0 ? c.failsLater * bestFull : 0);
    return option.action === 'replace' ? total + option.keepOriginal : total;
  });
  const bestLeft = (effect: number): number => {
    let best = bestAfter;
    if ((effect & refinishBits) === 0) {
      options.forEach((option, i) => {
        if (option.action === 'refinish' && !isRefused(option, finish)) best = Math.min(best, clear[i]!);
      });
    }
    return best;
  };
  const costIn = (i: number, effect: number): number => {
    const option = options[i]!;
    if (option.action === 'replace') return clear[i]!;
    if (option.action === 'reuse') return (effect & reuseBits) === 0 ? clear[i]! : clear[i]! + bestLeft(effect);
    const barred = effect & refinishBits;
    if (barred === 0) return clear[i]!;
    const steps = stepsOf[i]!;
    let spent = 0;
    for (let k = 0; k < steps.holds.length; k++) {
      spent += steps.holds[k]!;
      if ((barred & steps.knownBits[k]!) !== 0) return spent + Math.max(bestAfter, clear[i]! - spent);
    }
    // No hold point of this route shows it: found out only when the work is done.
    return clear[i]! + bestAfter;
  };
  return { costIn, clear };
}

/** Expected cost of each option over weighted effects; Infinity when it is refused or barred in all of them. */
export function expectedCosts(c: Case, weighted: Weighted, sliders: Sliders, shared?: boolean): number[] {
  const costing = costingOf(c, sliders, shared);
  return c.options.map((option, i) => {
    if (isRefused(option, sliders.finish)) return Number.POSITIVE_INFINITY;
    let sum = 0;
    let weight = 0;
    let canBe = false;
    weighted.effects.forEach((effect, k) => {
      const count = weighted.counts[k]!;
      sum += count * costing.costIn(i, effect);
      weight += count;
      if (!canBe && isAllowed(c, option, effect, sliders.finish)) canBe = true;
    });
    canBe &&= c.completions.some((effect) => isAllowed(c, option, effect, sliders.finish));
    return canBe ? sum / weight : Number.POSITIVE_INFINITY;
  });
}

/**
 * Index of the option to take: the cheapest; within the tie, the one that keeps more of the old part, then the cheaper by
 * the minor unit, then by id. -1 when nothing is left.
 */
export function cheapest(c: Case, costs: readonly number[]): number {
  const least = Math.min(...costs);
  if (!Number.isFinite(least)) return -1;
  const most = least + Math.abs(least) * c.tie;
  let best = -1;
  costs.forEach((cost, i) => {
    if (cost > most) return;
    if (best < 0 || before(c.options[i]!, cost, c.options[best]!, costs[best]!)) best = i;
  });
  return best;
}

function before(a: Option, costA: number, b: Option, costB: number): boolean {
  const keep = ACTIONS.indexOf(a.action) - ACTIONS.indexOf(b.action);
  if (keep !== 0) return keep < 0;
  const cents = Math.round(costA * 100) - Math.round(costB * 100);
  return cents !== 0 ? cents < 0 : a.id < b.id;
}

/** Action that would be taken if it were known that these effects hold, or null when nothing is allowed. */
export function actionIn(c: Case, costing: Costing, effect: number, finish: number): Action | null {
  const costs = c.options.map((option, i) =>
    isAllowed(c, option, effect, finish) ? costing.clear[i]! : Number.POSITIVE_INFINITY,
  );
  const i = cheapest(c, costs);
  return i < 0 ? null : c.options[i]!.action;
}

/** Shares of draws in which each action would be cheapest if all were known. */
export function oddsOf(c: Case, weighted: Weighted, sliders: Sliders): Odds {
  const costing = costingOf(c, sliders);
  const odds: Odds = { reuse: 0, refinish: 0, replace: 0 };
  let total = 0;
  weighted.effects.forEach((effect, k) => {
    const action = actionIn(c, costing, effect, sliders.finish) ?? 'replace';
    odds[action] += weighted.counts[k]!;
    total += weighted.counts[k]!;
  });
  for (const action of ACTIONS) odds[action] /= total;
  return odds;
}

/** The actions that are best under some completion of the missing answers. */
export function possibleActions(c: Case, effects: readonly number[], sliders: Sliders): Set<Action> {
  const costing = costingOf(c, sliders);
  return new Set(effects.map((effect) => actionIn(c, costing, effect, sliders.finish) ?? 'replace'));
}
