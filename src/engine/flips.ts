import { ACTIONS, type Action, type Flip, WANTED_FINISHES } from '../../shared/index.ts';
import type { Prepared } from './component-case.ts';
import {
  blend,
  type Case,
  type Courses,
  cheapest,
  costingOf,
  costsAt,
  coursesOf,
  isRefused,
  type Sliders,
  type Weighted,
} from './decide.ts';
import { isSupplyPrice } from './options.ts';
import { meanOf } from './three-points.ts';

// A price or a rate is followed up to this many times its present value; past that a flip is no news.
const FARTHEST = 8;
const STEPS = 60;

/** The action that a case comes to, or null when nothing is left. */
function actionAt(c: Case, courses: Courses, sliders: Sliders): Action | null {
  const i = cheapest(c, costsAt(courses, costingOf(c, sliders), sliders.finish));
  return i < 0 ? null : c.options[i]!.action;
}

/**
 * What would flip the verdict: the value of one circumstance, all else as it is, at which another action wins. Solved by
 * halving the interval in which the action changes until it is narrower than the rounding of the answer.
 *
 * @param rateName `labour rate` or `own time`, whichever an hour is paid at
 */
export function flipsOf(prepared: Prepared, sliders: Sliders, currency: string, rateName: string): Flip[] {
  const { c, drawn, outlook } = prepared;
  const { courses } = outlook(sliders.finish);
  const now = actionAt(c, courses, sliders);
  if (now === null) return [];
  const flips: Flip[] = [];
  const add = (what: string, unit: string, today: number, at: (value: number) => Action | null, most: number) => {
    for (const [from, to] of [
      [today, 0],
      [today, most],
    ] as const) {
      const found = solve(at, from, to, now);
      if (found) flips.push({ what, at: Math.round(found.at * 100) / 100, unit, from: now, to: found.to });
    }
  };
  const supply = bestSupply(c, courses, sliders);
  if (supply) {
    const today = meanOf(supply.points);
    add(
      'price',
      currency,
      today,
      (value) => actionAt(c, courses, { ...sliders, shift: { item: supply.id, money: value - today } }),
      today * FARTHEST,
    );
  }
  const { hourRate } = sliders;
  if (hourRate > 0)
    add(
      rateName,
      `${currency}/h`,
      hourRate,
      (value) => actionAt(c, courses, { ...sliders, hourRate: value }),
      hourRate * FARTHEST,
    );
  const fail = failFlip(c, drawn, courses, sliders, now);
  if (fail) flips.push(fail);
  for (const [finish, name] of WANTED_FINISHES.entries()) {
    if (finish === sliders.finish) continue;
    const then = actionAt(c, outlook(finish).courses, { ...sliders, finish });
    if (then && then !== now) flips.push({ what: 'wanted finish', at: name, unit: '', from: now, to: then });
  }
  return flips;
}

function bestSupply(c: Case, courses: Courses, sliders: Sliders) {
  const costs = costsAt(courses, costingOf(c, sliders), sliders.finish).map((cost, i) =>
    c.options[i]!.action === 'replace' ? cost : Number.POSITIVE_INFINITY,
  );
  const i = cheapest(c, costs);
  return i < 0 ? null : (c.options[i]!.alone.rest.items.find(isSupplyPrice) ?? null);
}

/** First value between `from` and `to` at which the action is no longer `now`. */
function solve(
  at: (value: number) => Action | null,
  from: number,
  to: number,
  now: Action,
): { at: number; to: Action } | null {
  // The costs are linear in one price or rate, with few kinks: twelve steps find the first change, halving then closes in.
  const coarse = 12;
  let same = from;
  for (let k = 1; k <= coarse; k++) {
    const value = from + ((to - from) * k) / coarse;
    const action = at(value);
    if (action === now || action === null) {
      same = value;
      continue;
    }
    let other = value;
    let otherAction = action;
    for (let s = 0; s < STEPS; s++) {
      const middle = (same + other) / 2;
      const then = at(middle);
      if (then === now || then === null) same = middle;
      else {
        other = middle;
        otherAction = then;
      }
    }
    return { at: other, to: otherAction };
  }
  return null;
}

/** Chance of failing at a hold point at which refinishing stops (or starts) being best, all else as it is. */
function failFlip(c: Case, drawn: Weighted, courses: Courses, sliders: Sliders, now: Action): Flip | null {
  const route = c.options.findIndex((option) => option.action === 'refinish' && !isRefused(option, sliders.finish));
  if (route < 0 || now === 'reuse') return null;
  const bits = c.compiled.refinishBits[sliders.finish]!;
  const part = (fails: boolean): Weighted => {
    const counts = drawn.counts.map((count, k) => (((drawn.effects[k]! & bits) !== 0) === fails ? count : 0));
    return { effects: drawn.effects, counts };
  };
  const [failing, passing] = [part(true), part(false)];
  const sum = (counts: readonly number[]) => counts.reduce((a, b) => a + b, 0);
  const bad = sum(failing.counts) / (sum(failing.counts) + sum(passing.counts));
  if (bad === 0 || bad === 1) return null;
  const whenFailing = coursesOf(c, failing, sliders.finish);
  const whenPassing = coursesOf(c, passing, sliders.finish);
  const at = (chance: number) =>
    actionAt(c, blend(courses, whenFailing, whenPassing, chance, c.options.length), sliders);
  const found = solve(at, bad, now === 'refinish' ? 1 - 1e-9 : 1e-9, now);
  return found && ACTIONS.includes(found.to)
    ? { what: 'chance of failing', at: Math.round(found.at * 1000) / 1000, unit: '', from: now, to: found.to }
    : null;
}
