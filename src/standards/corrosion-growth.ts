import type { Atmosphere } from '../../shared/index.ts';
import { firstYearAluminiumGm2, firstYearLossUm, type ThinningMetal } from './atmosphere.ts';
import { pow } from './elementary.ts';
import { inRange, positive } from './range.ts';

/** Metals with a published exponent of growth. */
export type GrowthMetal = ThinningMetal | 'aluminium';

/** Exponent to use: the mean one, the cautious upper one, or a number above 0 and at most 1.5. */
export interface GrowthOptions {
  readonly b?: 'mean' | 'upper' | number;
}

/** Exponents of loss with time: mean B1 and cautious upper B2, no unit. Source: ISO 9224:2012 */
export const GROWTH_EXPONENTS: Readonly<Record<GrowthMetal, { readonly mean: number; readonly upper: number }>> = {
  steel: { mean: 0.523, upper: 0.575 },
  zinc: { mean: 0.813, upper: 0.873 },
  copper: { mean: 0.667, upper: 0.726 },
  aluminium: { mean: 0.728, upper: 0.807 },
};

// Past this age the layer no longer protects better, and loss goes on in a straight line.
const POWER_LAW_YEARS = 20;

function exponent(metal: GrowthMetal, b: GrowthOptions['b'] = 'mean'): number {
  return typeof b === 'number'
    ? inRange('growth exponent', positive('growth exponent', b), 0, 1.5)
    : GROWTH_EXPONENTS[metal][b];
}

/**
 * Loss of a bare, open face after some years, from its first year's loss.
 *
 * Up to 20 years a power of time, after that the tangent at 20 years. Not for lap joints, box sections, mud traps or
 * spray zones, where loss is faster.
 *
 * @param firstYearUm Loss in the first year, um (or g/m2 for aluminium), at least 0
 * @param years Time exposed, years, at least 0
 * @param metal The metal
 * @param options Exponent to use, the mean one unless said
 * @returns Loss in the unit of firstYearUm
 * @throws {RangeError} If a figure is negative
 * Source: ISO 9224:2012, D = r t^b, and its equation for more than 20 years
 */
export function lossAfterUm(
  firstYearUm: number,
  years: number,
  metal: GrowthMetal,
  options: GrowthOptions = {},
): number {
  inRange('first-year loss in um', firstYearUm, 0);
  inRange('time in years', years, 0);
  const b = exponent(metal, options.b);
  if (years <= POWER_LAW_YEARS) return firstYearUm * pow(years, b);
  const atTwenty = pow(POWER_LAW_YEARS, b);
  return firstYearUm * (atTwenty + (b * atTwenty * (years - POWER_LAW_YEARS)) / POWER_LAW_YEARS);
}

/**
 * Years until a bare, open face has lost a given depth.
 *
 * @param firstYearUm Loss in the first year, um (or g/m2 for aluminium), at least 0
 * @param lossUm Depth lost, same unit, at least 0
 * @param metal The metal
 * @param options Exponent to use, the mean one unless said
 * @returns Time, years; null when nothing is lost in the first year, so that the depth is never reached
 * @throws {RangeError} If a figure is negative
 * Source: ISO 9224:2012, solved for time
 */
export function yearsToLossUm(
  firstYearUm: number,
  lossUm: number,
  metal: GrowthMetal,
  options: GrowthOptions = {},
): number | null {
  inRange('first-year loss in um', firstYearUm, 0);
  inRange('loss in um', lossUm, 0);
  const b = exponent(metal, options.b);
  if (lossUm === 0) return 0;
  if (firstYearUm === 0) return null;
  const multiple = lossUm / firstYearUm;
  const atTwenty = pow(POWER_LAW_YEARS, b);
  if (multiple <= atTwenty) return pow(multiple, 1 / b);
  return POWER_LAW_YEARS + ((multiple - atTwenty) * POWER_LAW_YEARS) / (b * atTwenty);
}

/** A loss measured now, the depth at which the part is done, and the air it lives in. */
export interface GrowthCase {
  readonly lossNowUm: number;
  readonly limitUm: number;
  readonly category: Atmosphere;
  readonly metal: GrowthMetal;
  /** Years the bare metal has been exposed so far, above 0, when known. */
  readonly yearsSoFar?: number;
  /** How much faster than an open face this place runs, low and high, above 0; 1 and 1 when left out. */
  readonly factor?: readonly [low: number, high: number];
}

// Aluminium loses mass in spots; spread evenly, 1 g/m2 is 1/2.70 um. A pit is many times deeper: give a factor.
const ALUMINIUM_G_CM3 = 2.7;

function ratesUm(category: Atmosphere, metal: GrowthMetal): [low: number, high: number | null] {
  if (metal !== 'aluminium') return firstYearLossUm(category, metal);
  const [low, high] = firstYearAluminiumGm2(category);
  return [low / ALUMINIUM_G_CM3, high === null ? null : high / ALUMINIUM_G_CM3];
}

function yearsLeft(rate: number, b: number, growth: GrowthCase): number | null {
  const { lossNowUm, limitUm, metal, yearsSoFar } = growth;
  if (yearsSoFar === undefined) {
    const age = yearsToLossUm(rate, lossNowUm, metal, { b });
    const end = yearsToLossUm(rate, limitUm, metal, { b });
    return age === null || end === null ? null : Math.max(0, end - age);
  }
  const then = lossAfterUm(rate, yearsSoFar, metal, { b });
  const end = yearsToLossUm(rate, then + limitUm - lossNowUm, metal, { b });
  return end === null ? null : Math.max(0, end - yearsSoFar);
}

/**
 * Years from now until a measured loss has grown to its limit, as a range.
 *
 * The range spans the category's low and high rate with the mean and the upper exponent. With a known age the rate that
 * the loss so far implies is taken in as well, so that a part that rots faster than its air explains is not flattered.
 * Crevices, box sections and spray zones are faster: say so with the factor.
 *
 * @param growth Loss now and limit in um, at least 0, category, metal, years exposed so far and rate factor when known
 * @returns Shortest and longest time, years; longest is null when the lowest rate never reaches the limit; 0 and 0 when the limit is reached already
 * @throws {RangeError} If a figure is negative, yearsSoFar or a factor is not above 0, or the factors are out of order
 * Source: ISO 9223:2012 Table 2 and ISO 9224:2012; joining them to a measured loss is our own judgement
 */
export function yearsUntil(growth: GrowthCase): [low: number, high: number | null] {
  inRange('loss now in um', growth.lossNowUm, 0);
  inRange('limit in um', growth.limitUm, 0);
  if (growth.yearsSoFar !== undefined) positive('years so far', growth.yearsSoFar);
  const [slower, faster] = growth.factor ?? [1, 1];
  inRange('high rate factor', faster, positive('low rate factor', slower));
  if (growth.lossNowUm >= growth.limitUm) return [0, 0];
  const [low, high] = ratesUm(growth.category, growth.metal);
  const times: number[] = high === null ? [0] : [];
  let isEndless = false;
  for (const bound of ['mean', 'upper'] as const) {
    const b = GROWTH_EXPONENTS[growth.metal][bound];
    const rates = high === null ? [low * slower] : [low * slower, high * faster];
    if (growth.yearsSoFar !== undefined) {
      rates.push(growth.lossNowUm / lossAfterUm(1, growth.yearsSoFar, growth.metal, { b }));
    }
    for (const rate of rates) {
      const years = yearsLeft(rate, b, growth);
      if (years === null) isEndless = true;
      else times.push(years);
    }
  }
  return [Math.min(...times), isEndless ? null : Math.max(...times)];
}
