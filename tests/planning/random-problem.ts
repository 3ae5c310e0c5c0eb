import type { Choice, JointProblem } from '../../src/planning/joint-choice.ts';

/** A stream of numbers in [0, 1) for cases that must be the same on every run (Park and Miller, minimal standard). */
function numbers(seed: number): () => number {
  let state = (seed % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return (state - 1) / 2147483646;
  };
}

/** Parts with options that use up to two of the charges; some in pairs, some that come only with another. */
export function randomProblem(seed: number, parts: number, options: number, charges: number): JointProblem {
  const next = numbers(seed);
  const below = (n: number) => Math.floor(next() * n);
  const problem = {
    charges: Array.from({ length: charges }, () => ({
      fixed: below(2) * (5 + below(60)),
      minimum: below(3) > 0 ? 20 + below(140) : 0,
    })),
    parts: Array.from({ length: parts }, (_, i) => ({
      options: Array.from({ length: options }, (_o, o): Choice => {
        const uses = [...new Set(Array.from({ length: o === 0 ? 0 : below(3) }, () => below(charges)))].map(
          (charge) => ({
            charge,
            chance: below(3) > 0 ? 1 : 0.2 + 0.8 * next(),
            quantity: below(40),
          }),
        );
        const needs =
          i > 0 && o === options - 1 && below(6) === 0 ? { part: below(i), options: [below(options)] } : undefined;
        return {
          cost: uses.length > 0 ? below(60) : 20 + below(160),
          uses,
          replaces: o === 0,
          ...(needs ? { needs } : {}),
        };
      }),
    })),
    together: [] as number[][],
  };
  for (let i = 0; i + 1 < parts; i += 2) if (below(5) === 0) problem.together.push([i, i + 1]);
  return problem;
}
