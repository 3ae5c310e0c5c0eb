import loadSolver from 'highs';
import { describe, expect, it } from 'vitest';
import { chooseTogether, jointCost } from '../../src/planning/joint-choice.ts';
import { linearProgram } from './mixed-integer.ts';
import { randomProblem } from './random-problem.ts';

const solver = await loadSolver();

describe('chooseTogether() against a mixed-integer solver (HiGHS)', () => {
  it('says what the solver says on small cases, so that the two describe one problem', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const problem = randomProblem(seed + 300, 8, 3, 4);
      const solved = solver.solve(linearProgram(problem));
      expect(solved.Status).toBe('Optimal');
      expect(chooseTogether(problem).cost).toBeCloseTo(solved.ObjectiveValue, 4);
    }
  });

  it.each([
    [1, 12],
    [2, 20],
    [3, 30],
  ])(
    'comes within two hundredths of the proven optimum on 200 parts, in under a second of processor time (case %i, %i charges)',
    (seed, charges) => {
      const problem = randomProblem(seed * 77, 200, 4, charges);
      const before = process.cpuUsage();
      const { cost, choice } = chooseTogether(problem);
      const { user } = process.cpuUsage(before);
      const solved = solver.solve(linearProgram(problem));
      expect(solved.Status).toBe('Optimal');
      expect(jointCost(problem, choice)).toBeCloseTo(cost, 6);
      expect(cost).toBeGreaterThan(solved.ObjectiveValue - 0.01);
      expect(cost).toBeLessThan(solved.ObjectiveValue * 1.02);
      expect(user / 1e6).toBeLessThan(1);
    },
  );
});
