import type { ThreePoint } from '../../shared/index.ts';
import { plus } from '../engine/index.ts';
import { exp, ln, Z_90 } from '../standards/index.ts';

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

/** Value at a standard score; 0 gives the usual value. The same as `logNormalAt` of the standards. */
export function at({ usual, below, above }: Figure, z: number): number {
  if (usual === 0) return 0;
  const spread = z < 0 ? below : above;
  return spread === 0 ? usual : usual * exp(spread * z);
}
