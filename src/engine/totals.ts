import type { Range, ThreePoint } from '../../shared/index.ts';
import { exp, ln, Z_90 } from '../standards/index.ts';
import { meanOf } from './three-points.ts';

/**
 * Range of a sum whose lines rise and fall partly together: means add, spreads add with one correlation, and the sum is
 * read as log-normal. The sum of the likely values is not the likely sum.
 *
 * @param lines three-point figures, one unit
 * @param correlation between any two lines, 0 to 1
 */
export function totalOf(lines: readonly ThreePoint[], correlation: number): Range {
  let mean = 0;
  let squares = 0;
  let sum = 0;
  for (const line of lines) {
    mean += meanOf(line);
    const deviation = (line[2] - line[0]) / (2 * Z_90);
    squares += deviation * deviation;
    sum += deviation;
  }
  if (mean === 0) return { low: 0, usual: 0, high: 0 };
  const variance = squares + correlation * (sum * sum - squares);
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
