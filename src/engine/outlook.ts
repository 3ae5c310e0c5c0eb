import { type Barred, barringStates } from './barring-states.ts';
import { type Case, type Courses, coursesOf, type Weighted } from './decide.ts';
import type { Facts } from './facts.ts';
import { once } from './once.ts';

/**
 * What a wanted finish makes of a case's draws: everything a verdict needs that no price or rate changes. It is worked out
 * once a finish; a slider then only adds up.
 */
export interface Outlook {
  states: readonly Barred[];
  courses: Courses;
  /** Open knock-outs that bar reuse, and those that bar refinishing too. */
  open: { reuse: OpenRules; refinish: OpenRules };
}

/** Knock-outs that are not known yet, and how the options go when all of them are clear, or when they fire. */
export interface OpenRules {
  bits: readonly number[];
  whenClear: () => Courses;
  /** With several open, the ones that leave least. */
  whenFired: () => Courses;
}

/** The outlook of a case under each wanted finish (0 serviceable, 1 smart, 2 show). */
export function outlooksOf(c: Case, facts: Facts, drawn: Weighted): (finish: number) => Outlook {
  const all = [0, 1, 2].map((finish) => once(() => outlookOf(c, facts, drawn, finish)));
  return (finish) => all[finish]!();
}

function outlookOf(c: Case, facts: Facts, drawn: Weighted, finish: number): Outlook {
  const states = barringStates(c.compiled, facts, finish);
  const open = states.filter(({ barring, state }) => state === 'open' && barring.knockOut !== null);
  const rules = (which: readonly Barred[]): OpenRules => {
    const bits = which.map(({ barring }) => barring.bit);
    const any = maskOf(bits);
    const hardest = maskOf(which.filter(({ barring }) => barring.barsRefinish).map(({ barring }) => barring.bit));
    const under = (test: (effect: number) => boolean) =>
      once(() => coursesOf(c, where(drawn, c.completions, test), finish));
    return {
      bits,
      whenClear: under((effect) => (effect & any) === 0),
      whenFired: under((effect) => (hardest ? (effect & hardest) === hardest : (effect & any) !== 0)),
    };
  };
  return {
    states,
    courses: coursesOf(c, drawn, finish),
    open: { reuse: rules(open), refinish: rules(open.filter(({ barring }) => barring.barsRefinish)) },
  };
}

/** Bits as one number. */
export function maskOf(bits: readonly number[]): number {
  return bits.reduce((all, bit) => all | (1 << bit), 0);
}

/** Draws (or, when none qualify, completions) that have some effect. */
function where(drawn: Weighted, completions: readonly number[], test: (effect: number) => boolean): Weighted {
  const picked = drawn.effects
    .map((effect, k) => ({ effect, count: drawn.counts[k]! }))
    .filter(({ effect }) => test(effect));
  const use = picked.length > 0 ? picked : completions.filter(test).map((effect) => ({ effect, count: 1 }));
  if (use.length === 0) return drawn;
  return { effects: use.map(({ effect }) => effect), counts: use.map(({ count }) => count) };
}
