import { exp, ln } from './elementary.ts';
import { normalCdf, normalQuantile } from './normal.ts';

/** Standard score of the 90 % point; low and high of a three-point figure are its 10 % and 90 % points. No unit. Source: normal tables, 1.2816 */
export const Z_90 = 1.2815515655446004;

interface Spread {
  readonly below: number;
  readonly above: number;
}

function spread(low: number, usual: number, high: number): Spread {
  if (low === usual && usual === high && low >= 0 && low <= Number.MAX_VALUE) return { below: 0, above: 0 };
  if (!(low > 0 && low <= usual && usual <= high && high <= Number.MAX_VALUE)) {
    throw new RangeError(
      `Cannot use a three-point figure: wanted 0 < low <= usual <= high, found ${low}, ${usual}, ${high}`,
    );
  }
  return { below: ln(usual / low) / Z_90, above: ln(high / usual) / Z_90 };
}

/**
 * Mean of a three-point figure: a log-normal half on either side of the usual value.
 *
 * The usual value is the middle (as likely to be under as over), low the 10 % point, high the 90 % point.
 *
 * @param low 10 % point, any unit, above 0; 0 only when all three are 0
 * @param usual Middle, same unit, at least low
 * @param high 90 % point, same unit, at least usual
 * @returns Mean, same unit
 * @throws {RangeError} If the three are not in order or not above 0
 * Source: mean of a truncated log-normal on each side, N. L. Johnson et al., Continuous Univariate Distributions, ch. 14
 * @example logNormalMean(1, 2, 6) // 3.00
 */
export function logNormalMean(low: number, usual: number, high: number): number {
  const { below, above } = spread(low, usual, high);
  return usual * (exp((below * below) / 2) * normalCdf(-below) + exp((above * above) / 2) * normalCdf(above));
}

/**
 * Value of a three-point figure at a standard score, for draws that share one score.
 *
 * @param low 10 % point, any unit, above 0; 0 only when all three are 0
 * @param usual Middle, same unit, at least low
 * @param high 90 % point, same unit, at least usual
 * @param z Standard score, any finite number, no unit; 0 gives usual
 * @returns Value, same unit
 * @throws {RangeError} If the three are not in order or not above 0
 * Source: as logNormalMean
 */
export function logNormalAt(low: number, usual: number, high: number, z: number): number {
  const { below, above } = spread(low, usual, high);
  return usual * exp((z < 0 ? below : above) * z);
}

/**
 * Value below which a three-point figure falls with a given chance.
 *
 * @param low 10 % point, any unit, above 0; 0 only when all three are 0
 * @param usual Middle, same unit, at least low
 * @param high 90 % point, same unit, at least usual
 * @param p Probability, above 0 and below 1
 * @returns Value, same unit
 * @throws {RangeError} If the three are not in order or not above 0, or p is not above 0 and below 1
 * Source: as logNormalMean
 */
export function logNormalQuantile(low: number, usual: number, high: number, p: number): number {
  return logNormalAt(low, usual, high, normalQuantile(p));
}
