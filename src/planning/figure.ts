import type { ThreePoint } from '../../shared/index.ts';
import { plus } from '../engine/index.ts';
import { ln, Z_90 } from '../standards/index.ts';

/** A three-point figure ready to be read at many standard scores. */
export interface Figure {
  usual: number;
  /** Log-spread a standard score below and above the usual value. */
  below: number;
  above: number;
}

export const NO_FIGURE: Figure = { usual: 0, below: 0, above: 0 };

/** Makes a three-point figure ready; its low and high are the 10 % and 90 % points. */
export function figureOf([low, usual, high]: ThreePoint): Figure {
  if (high === 0) return NO_FIGURE;
  return { usual, below: ln(usual / low) / Z_90, above: ln(high / usual) / Z_90 };
}

/** Sum of figures that rise and fall together. */
export function figureOfAll(points: readonly ThreePoint[]): Figure {
  return figureOf(plus(...points));
}

/** Value at a standard score; 0 gives the usual value. The same as `logNormalAt` of the standards, to 1e-13 of itself. */
export function at({ usual, below, above }: Figure, z: number): number {
  if (usual === 0) return 0;
  const spread = z < 0 ? below : above;
  return spread === 0 ? usual : usual * quickExp(spread * z);
}

const MOST_DOUBLINGS = 64;
const POWERS = Float64Array.from({ length: 2 * MOST_DOUBLINGS + 1 }, (_, k) => powerOfTwo(k - MOST_DOUBLINGS));
const INVERSE_FACTORIALS = Float64Array.from({ length: 14 }, (_, n) => 1 / factorial(n));

function powerOfTwo(exponent: number): number {
  let out = 1;
  for (let k = 0; k < Math.abs(exponent); k++) out *= exponent < 0 ? 0.5 : 2;
  return out;
}

function factorial(n: number): number {
  let out = 1;
  for (let k = 2; k <= n; k++) out *= k;
  return out;
}

/**
 * The exponential for the middling arguments that draws have, some times quicker than `exp` of the standards and like it
 * the same in every engine: only + - * and whole-number rounding. A spread times a score never comes near its bounds.
 */
function quickExp(x: number): number {
  const k = Math.min(MOST_DOUBLINGS, Math.max(-MOST_DOUBLINGS, Math.floor(x / Math.LN2 + 0.5)));
  const r = x - k * Math.LN2;
  let sum = INVERSE_FACTORIALS[13]!;
  for (let n = 12; n >= 0; n--) sum = sum * r + INVERSE_FACTORIALS[n]!;
  return sum * POWERS[k + MOST_DOUBLINGS]!;
}
