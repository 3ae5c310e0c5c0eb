import { describe, expect, it } from 'vitest';
import { chooseTogether, type JointProblem, jointCost } from '../../src/planning/joint-choice.ts';
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
