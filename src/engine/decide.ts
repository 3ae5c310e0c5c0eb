import type { Action, Odds } from '../../shared/index.ts';
import { ACTIONS } from '../../shared/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Forms } from './forms.ts';
import type { Option } from './options.ts';

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
  /** Costs as linear forms: with the batches that go anyway, each part alone, or all shared. */
  forms: { now: () => Forms; alone: () => Forms; shared: () => Forms };
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
  /** Cost of each line of the forms: of each option when nothing bars it, and of its way to each hold point. */
  lines: readonly number[];
  forms: Forms;
  /** Cheapest replacement once the part is off. */
  bestAfter: number;
  /** Cheapest refinishing, or Infinity. */
  bestRoute: number;
  /** Part of the cost of putting it back that stands for replacing it within the horizon. */
  later: number;
}

/** Prices every option of a case. @param shared prices of the batch, or of each part alone; as they are when left out */
export function costingOf(c: Case, sliders: Sliders, shared?: boolean): Costing {
  const forms = (shared === undefined ? c.forms.now : shared ? c.forms.shared : c.forms.alone)();
  const { count, action, reach, money, hours, supply } = forms;
  const { hourRate, finish, shift } = sliders;
  const dearer = (sliders.supplyFactor ?? 1) - 1;
  const lines = money.slice();
  for (let k = 0; k < lines.length; k++) lines[k]! += hours[k]! * hourRate;
  if (dearer !== 0) for (let k = 0; k < lines.length; k++) lines[k]! += supply[k]! * dearer;
  if (shift) {
    for (const [k, times] of forms.linesWith(shift.item).entries()) lines[k]! += times * shift.money;
  }
  let bestAfter = Number.POSITIVE_INFINITY;
  let bestFull = Number.POSITIVE_INFINITY;
  let bestRoute = Number.POSITIVE_INFINITY;
  for (let i = 0; i < count; i++) {
    if (reach[i]! < finish) continue;
    const cost = lines[i]!;
    if (action[i] === REPLACE) {
      if (cost < bestFull) bestFull = cost;
      if (lines[count + i]! < bestAfter) bestAfter = lines[count + i]!;
    } else if (action[i] === REFINISH && cost < bestRoute) bestRoute = cost;
  }
  const later = c.failsLater > 0 ? c.failsLater * bestFull : 0;
  if (later > 0) for (let i = 0; i < count; i++) if (action[i] === REUSE) lines[i]! += later;
  return { lines, forms, bestAfter, bestRoute, later };
}

const REUSE = 0;
const REFINISH = 1;
const REPLACE = 2;

/**
 * How the options go over some draws: all of an expected cost that no price slider moves. Four shares an option (it passes;
 * it is found barred late: refinishing when the work is done, reuse with nothing left but replacing; reuse is barred and
 * refinishing is not; 1 when it may be taken under some draw and some completion), then the share found barred at each
 * hold point, in the order of the forms' lines.
 */
export type Courses = Float64Array;

const LATE = 1;
const RESTORABLE = 2;
const CAN_BE = 3;
const PARTS = 4;

/** Works out how each option of a case goes over weighted effects, under one wanted finish. */
export function coursesOf(c: Case, { effects, counts }: Weighted, finish: number): Courses {
  const { count, firstHold, holdBits } = c.forms.alone();
  const refinishBits = c.compiled.refinishBits[finish]!;
  const shares: [number, number, number] = [0, 0, 0];
  let total = 0;
  effects.forEach((effect, k) => {
    shares[leftBy(c, effect, finish)] += counts[k]!;
    total += counts[k]!;
  });
  const possible = leavingsOf(c, finish);
  const courses = new Float64Array(PARTS * count + holdBits.length);
  c.options.forEach((option, i) => {
    const own = courses.subarray(PARTS * i, PARTS * (i + 1));
    const under = (left: 0 | 1 | 2) => shares[left] > 0 && isAllowedWith(option, left, finish);
    if ((under(0) || under(1) || under(2)) && possible.some((left) => isAllowedWith(option, left, finish)))
      own[CAN_BE] = 1;
    if (option.action === 'replace') own[0] = 1;
    else if (option.action === 'reuse') own.set([shares[0] / total, shares[2] / total, shares[1] / total]);
    else {
      own[0] = (shares[0] + shares[1]) / total;
      const [from, to] = [firstHold[i]! - 2 * count, firstHold[i + 1]! - 2 * count];
      effects.forEach((effect, k) => {
        const barred = effect & refinishBits;
        if (barred === 0) return;
        let at = from;
        while (at < to && (barred & holdBits[at]!) === 0) at++;
        if (at < to) courses[PARTS * count + at]! += counts[k]! / total;
        else own[LATE]! += counts[k]! / total;
      });
    }
  });
  return courses;
}

/** Courses of which a share `chance` goes as the first, the rest as the second; what may be taken is as in `whole`. */
export function blend(whole: Courses, first: Courses, second: Courses, chance: number, count: number): Courses {
  return whole.map((share, at) =>
    at < PARTS * count && at % PARTS === CAN_BE ? share : chance * first[at]! + (1 - chance) * second[at]!,
  );
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
export function costsAt(courses: Courses, costing: Costing, finish: number): number[] {
  const { lines, forms, bestAfter, bestRoute, later } = costing;
  const { count, action, reach, firstHold } = forms;
  const costs: number[] = [];
  for (let i = 0; i < count; i++) {
    const own = PARTS * i;
    const clear = lines[i]!;
    if (courses[own + CAN_BE] === 0 || reach[i]! < finish) {
      costs.push(Number.POSITIVE_INFINITY);
      continue;
    }
    if (action[i] === REPLACE) {
      costs.push(clear);
      continue;
    }
    let cost = courses[own]! * clear;
    const late = courses[own + LATE]!;
    if (late > 0) cost += late * (action[i] === REUSE ? barredCost(clear, later, bestAfter) : clear + bestAfter);
    const restorable = courses[own + RESTORABLE]!;
    if (restorable > 0) cost += restorable * barredCost(clear, later, Math.min(bestAfter, bestRoute));
    for (let line = firstHold[i]!; line < firstHold[i + 1]!; line++) {
      const fails = courses[2 * count + line]!;
      if (fails > 0) cost += fails * Math.max(lines[line]! + bestAfter, clear);
    }
    costs.push(cost);
  }
  return costs;
}

/**
 * Cost of putting a part back that turns out barred: the best that is left instead of a replacement later, not both, and
 * never less than carrying on would have been.
 */
function barredCost(clear: number, later: number, best: number): number {
  return clear - later + Math.max(later, best);
}

/** Cost of each option when these effects hold: what was spent, and the best left, when it turns out barred. */
export function costsIn(c: Case, costing: Costing, effect: number, finish: number): number[] {
  const { lines, forms, bestAfter, bestRoute, later } = costing;
  const { count, firstHold, holdBits } = forms;
  const left = leftBy(c, effect, finish);
  const barred = effect & c.compiled.refinishBits[finish]!;
  return c.options.map((option, i) => {
    const cost = lines[i]!;
    if (option.action === 'replace' || left === 0) return cost;
    if (option.action === 'reuse')
      return barredCost(cost, later, left === 1 ? Math.min(bestAfter, bestRoute) : bestAfter);
    if (left === 1) return cost;
    for (let line = firstHold[i]!; line < firstHold[i + 1]!; line++) {
      if ((barred & holdBits[line - 2 * count]!) !== 0) return Math.max(lines[line]! + bestAfter, cost);
    }
    return cost + bestAfter;
  });
}

/** Expected cost of each option over weighted effects; see `costsAt`. */
export function expectedCosts(c: Case, weighted: Weighted, sliders: Sliders, shared?: boolean): number[] {
  const { finish } = sliders;
  return costsAt(coursesOf(c, weighted, finish), costingOf(c, sliders, shared), finish);
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
    isAllowedWith(option, left, finish) ? costing.lines[i]! : Number.POSITIVE_INFINITY,
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
