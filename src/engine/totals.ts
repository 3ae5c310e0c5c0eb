import type { Range, ThreePoint } from '../../shared/index.ts';
import { exp, ln, Z_90 } from '../standards/index.ts';
import { meanOf } from './three-points.ts';

/** Means and spreads of lines of one unit, added up. */
export interface Sums {
  mean: number;
  deviation: number;
  squares: number;
}

/** Adds up lines. */
function sumsOf(lines: readonly ThreePoint[]): Sums {
  const sums = { mean: 0, deviation: 0, squares: 0 };
  for (const line of lines) {
    const deviation = (line[2] - line[0]) / (2 * Z_90);
    sums.mean += meanOf(line);
    sums.deviation += deviation;
    sums.squares += deviation * deviation;
  }
  return sums;
}

/** Adds the three figures at `at` of a flat list of sums, each line times a factor, onto others. */
export function addSums(onto: Sums, flat: Float64Array, at: number, factor: number): void {
  onto.mean += factor * flat[at]!;
  onto.deviation += factor * flat[at + 1]!;
  onto.squares += factor * factor * flat[at + 2]!;
}

/** Sums laid out flat, three figures each. */
export function flatSums(all: readonly (readonly ThreePoint[])[]): Float64Array {
  return Float64Array.from(
    all.flatMap((lines) => {
      const { mean, deviation, squares } = sumsOf(lines);
      return [mean, deviation, squares];
    }),
  );
}

/**
 * Range of a sum whose lines rise and fall partly together: means add, spreads add with one correlation, and the sum is
 * read as log-normal. The sum of the likely values is not the likely sum.
 *
 * @param correlation between any two lines, 0 to 1
 */
export function totalOf({ mean, deviation, squares }: Sums, correlation: number): Range {
  if (mean === 0) return { low: 0, usual: 0, high: 0 };
  const variance = squares + correlation * (deviation * deviation - squares);
  const spread = Math.sqrt(ln(1 + variance / (mean * mean)));
  const usual = mean / exp((spread * spread) / 2);
  return { low: cents(usual / exp(Z_90 * spread)), usual: cents(usual), high: cents(usual * exp(Z_90 * spread)) };
}

/** A three-point figure as a range, rounded to the minor unit. */
export function rangeOf([low, usual, high]: ThreePoint): Range {
  return { low: cents(low), usual: cents(usual), high: cents(high) };
}

export function cents(value: number): number {
  return Math.round(value * 100) / 100;
}
