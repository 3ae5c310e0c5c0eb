import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chargeCost, chooseTogether, type JointProblem, jointCost } from '../../src/planning/joint-choice.ts';
import { searchByDescent } from '../../src/planning/joint-search.ts';
import { randomProblem } from './random-problem.ts';

/** Every combination, one after the other. */
function exhaustive(problem: JointProblem): number {
  const choice = problem.parts.map(() => 0);
  let best = Number.POSITIVE_INFINITY;
  for (;;) {
    best = Math.min(best, jointCost(problem, choice));
    let i = 0;
    while (i < choice.length && ++choice[i]! === problem.parts[i]!.options.length) choice[i++] = 0;
    if (i === choice.length) return best;
  }
}

describe('chooseTogether()', () => {
  it('equals exhaustive search on every random case of up to 8 parts with 4 options', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const problem = randomProblem(seed, 2 + (seed % 7), 2 + (seed % 3), 1 + (seed % 5));
      const { choice, cost } = chooseTogether(problem);
      expect(cost, `case ${seed}`).toBeCloseTo(exhaustive(problem), 6);
      expect(jointCost(problem, choice)).toBeCloseTo(cost, 9);
    }
  });

  it('equals exhaustive search on every random case of up to 12 parts with 2 options', () => {
    for (let seed = 1; seed <= 150; seed++) {
      const problem = randomProblem(seed + 5000, 6 + (seed % 7), 2, 1 + (seed % 6));
      expect(chooseTogether(problem).cost, `case ${seed}`).toBeCloseTo(exhaustive(problem), 6);
    }
  });
});

describe('searchByDescent()', () => {
  it('seldom misses the optimum of small cases, and never by much', () => {
    let missed = 0;
    for (let seed = 1; seed <= 300; seed++) {
      const problem = randomProblem(seed + 9000, 8, 3, 5);
      const best = exhaustive(problem);
      const { cost } = searchByDescent(problem);
      expect(cost, `case ${seed}`).toBeLessThanOrEqual(best * 1.05 + 1e-9);
      if (cost > best + 1e-6) missed++;
    }
    expect(missed).toBeLessThanOrEqual(6);
  });
});

describe('what is paid once', () => {
  const amount = fc.double({ min: 0, max: 500, noNaN: true });
  const charge = fc.record({ fixed: amount, minimum: amount });

  it('is never lowered by adding a part, and never by splitting the batch', () => {
    fc.assert(
      fc.property(charge, amount, amount, (c, one, other) => {
        const together = chargeCost(c, 1, one + other);
        expect(together).toBeGreaterThanOrEqual(chargeCost(c, 1, one));
        expect(together).toBeLessThanOrEqual(chargeCost(c, 1, one) + chargeCost(c, 1, other) + 1e-9);
      }),
      { seed: 3 },
    );
  });

  // max(minimum, quantity x rate) + set-up: 4.2 kg at 3 is 12.6, under a minimum of 80; 40 kg is 120, over it.
  it('is the greater of the minimum and the work, and the set-up', () => {
    expect(chargeCost({ fixed: 25, minimum: 80 }, 1, 4.2 * 3)).toBe(105);
    expect(chargeCost({ fixed: 25, minimum: 80 }, 1, 40 * 3)).toBe(145);
    expect(chargeCost({ fixed: 25, minimum: 80 }, 0.5, 0)).toBe(52.5);
  });
});

describe('knowing more', () => {
  // Deciding after an answer is known can only be better than deciding once for all answers: each answer's best is at most
  // what the one choice costs under it.
  it('never raises the expected cost: choosing after each answer against choosing before it', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const worlds = [seed, seed + 1000, seed + 2000].map((s) => randomProblem(s, 5, 3, 3));
      const plain = worlds.map((world) => ({ ...world, charges: worlds[0]!.charges, together: worlds[0]!.together }));
      // The same uses in every world, other costs: what the answer changes.
      const alike = plain.map((world) => ({
        ...world,
        parts: worlds[0]!.parts.map((part, i) => ({
          options: part.options.map((option, o) => ({ ...option, cost: world.parts[i]!.options[o]!.cost })),
        })),
      }));
      const mean = {
        ...alike[0]!,
        parts: alike[0]!.parts.map((part, i) => ({
          options: part.options.map((option, o) => ({
            ...option,
            cost: alike.reduce((sum, world) => sum + world.parts[i]!.options[o]!.cost, 0) / alike.length,
          })),
        })),
      };
      const informed = alike.reduce((sum, world) => sum + chooseTogether(world).cost, 0) / alike.length;
      expect(informed, `case ${seed}`).toBeLessThanOrEqual(chooseTogether(mean).cost + 1e-9);
    }
  });
});
