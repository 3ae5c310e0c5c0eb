import type { ThreePoint } from '../../shared/index.ts';
import { exp, ln, logNormalMean } from '../standards/index.ts';

export const NOTHING: ThreePoint = [0, 0, 0];

/** Mean of a three-point figure, the same everywhere; see `logNormalMean`. */
export function meanOf([low, usual, high]: ThreePoint): number {
  return high === 0 ? 0 : logNormalMean(low, usual, high);
}

/** A figure times a plain factor, 0 or more. */
export function times(points: ThreePoint, factor: number): ThreePoint {
  return factor === 1 ? points : [points[0] * factor, points[1] * factor, points[2] * factor];
}

/** Sum of figures that rise and fall together, as the parts of one job on one component do. */
export function plus(...all: ThreePoint[]): ThreePoint {
  return all.reduce<ThreePoint>((sum, p) => [sum[0] + p[0], sum[1] + p[1], sum[2] + p[2]], NOTHING);
}

/** Product of two independent figures: log-normal spreads join as the root of their squares. */
export function product(a: ThreePoint, b: ThreePoint): ThreePoint {
  if (a[2] === 0 || b[2] === 0) return NOTHING;
  const usual = a[1] * b[1];
  const join = (x: number, y: number) => exp(Math.sqrt(x * x + y * y));
  return [usual / join(ln(a[1] / a[0]), ln(b[1] / b[0])), usual, usual * join(ln(a[2] / a[1]), ln(b[2] / b[1]))];
}

/** The larger of two figures, point by point: a minimum charge against a bill. */
export function larger(a: ThreePoint, b: ThreePoint): ThreePoint {
  return [Math.max(a[0], b[0]), Math.max(a[1], b[1]), Math.max(a[2], b[2])];
}

/** A known figure, without spread. */
export function exactly(value: number): ThreePoint {
  return [value, value, value];
}
