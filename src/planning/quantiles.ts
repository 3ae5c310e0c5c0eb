import type { Quantiles, Total } from '../../shared/index.ts';
import { cents } from '../engine/index.ts';

const BARS = 20;
const CURVE = [
  0.01, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 0.99,
];

/** The draws in rising order. */
export function sorted(values: Float64Array): Float64Array {
  return values.slice().sort();
}

/** The least of the draws that a share `p` of them are at or under; `rising` as `sorted` gives it. */
export function quantile(rising: Float64Array, p: number): number {
  if (rising.length === 0) return 0;
  return rising[Math.min(rising.length - 1, Math.max(0, Math.ceil(p * rising.length) - 1))]!;
}

/** P10, P50 and P80, rounded to the minor unit. */
export function quantilesOf(values: Float64Array): Quantiles {
  const [p80, p50, p10] = pointsOf(values, [0.8, 0.5, 0.1]) as [number, number, number];
  return { p10: cents(p10), p50: cents(p50), p80: cents(p80) };
}

/**
 * The same draws that `quantile` picks, found without sorting all of them.
 *
 * @param falling shares, each lower than the one before
 */
export function pointsOf(values: Float64Array, falling: readonly number[]): number[] {
  const own = values.slice();
  let end = own.length;
  return falling.map((p) => {
    if (own.length === 0) return 0;
    const place = Math.max(0, Math.ceil(p * own.length) - 1);
    select(own, place, end);
    // All before this place are at or under it: the next, lower one lies among them.
    end = place + 1;
    return own[place]!;
  });
}

/** Puts the value that belongs at `place` in rising order there, lower ones before it, among the first `end` (C. A. R. Hoare's Find). */
function select(values: Float64Array, place: number, end: number): void {
  let left = 0;
  let right = end - 1;
  while (left < right) {
    const pivot = values[place]!;
    let i = left;
    let j = right;
    do {
      while (values[i]! < pivot) i++;
      while (pivot < values[j]!) j--;
      if (i <= j) {
        const value = values[i]!;
        values[i] = values[j]!;
        values[j] = value;
        i++;
        j--;
      }
    } while (i <= j);
    if (j < place) left = i;
    if (place < i) right = j;
  }
}

const known = new WeakMap<Float64Array, Quantiles>();

/** `quantilesOf`, worked out once for the draws of a line that no longer change. */
export function lineQuantiles(values: Float64Array): Quantiles {
  let quantiles = known.get(values);
  if (!quantiles) {
    quantiles = isZero(values) ? { p10: 0, p50: 0, p80: 0 } : quantilesOf(values);
    known.set(values, quantiles);
  }
  return quantiles;
}

function isZero(values: Float64Array): boolean {
  for (let d = 0; d < values.length; d++) if (values[d] !== 0) return false;
  return true;
}

/** A total without its drivers: quantiles, mean, curve and histogram. */
export function spreadOf(values: Float64Array): Omit<Total, 'drivers'> {
  const rising = sorted(values);
  return {
    p10: cents(quantile(rising, 0.1)),
    p50: cents(quantile(rising, 0.5)),
    p80: cents(quantile(rising, 0.8)),
    mean: cents(meanOfDraws(values)),
    curve: CURVE.map((p) => ({ p, value: cents(quantile(rising, p)) })),
    histogram: histogramOf(rising),
  };
}

export function meanOfDraws(values: Float64Array): number {
  let sum = 0;
  for (let d = 0; d < values.length; d++) sum += values[d]!;
  return values.length === 0 ? 0 : sum / values.length;
}

function histogramOf(rising: Float64Array): Total['histogram'] {
  const from = quantile(rising, 0.005);
  const to = quantile(rising, 0.995);
  if (to <= from) return [{ from: cents(from), to: cents(to), share: 1 }];
  const counts = new Array<number>(BARS).fill(0);
  const width = (to - from) / BARS;
  for (const value of rising) counts[Math.min(BARS - 1, Math.max(0, Math.floor((value - from) / width)))]!++;
  return counts.map((count, k) => ({
    from: cents(from + k * width),
    to: cents(from + (k + 1) * width),
    share: round(count / rising.length, 4),
  }));
}

/** Share of the variance of a total that one of its lines carries: its covariance with the total over the total's variance. */
export function shareOfLine(line: Float64Array, total: Float64Array, totalMean: number, variance: number): number {
  if (variance === 0) return 0;
  let sum = 0;
  for (let d = 0; d < line.length; d++) sum += line[d]! * (total[d]! - totalMean);
  return sum / line.length / variance;
}

/** Share of the variance of a total that one common cause explains by itself: the squared correlation. */
export function shareOfCause(cause: Float64Array, total: Float64Array, totalMean: number, variance: number): number {
  const mean = meanOfDraws(cause);
  let squares = 0;
  let products = 0;
  for (let d = 0; d < cause.length; d++) {
    const off = cause[d]! - mean;
    squares += off * off;
    products += off * (total[d]! - totalMean);
  }
  if (squares === 0 || variance === 0) return 0;
  return (products * products) / (squares * variance * cause.length);
}

export function varianceOf(values: Float64Array, mean: number): number {
  let squares = 0;
  for (let d = 0; d < values.length; d++) squares += (values[d]! - mean) * (values[d]! - mean);
  return squares / values.length;
}

/** A figure to so many places. */
export function round(value: number, places: number): number {
  let factor = 1;
  for (let k = 0; k < places; k++) factor *= 10;
  return Math.round(value * factor) / factor;
}
