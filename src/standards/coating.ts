import { inRange, positive } from './range.ts';

/**
 * Area that a litre of paint covers without loss.
 *
 * @param volumeSolids Volume solids as a fraction, above 0 to 1
 * @param dftUm Dry film thickness, um, above 0
 * @returns Spreading rate, m2/l
 * @throws {RangeError} If a figure is outside its range
 * Source: paint makers' notes on spreading rate, volume solids in % x 10 / DFT
 */
export function spreadingRateM2PerL(volumeSolids: number, dftUm: number): number {
  inRange('volume solids', positive('volume solids', volumeSolids), 0, 1);
  return (volumeSolids * 1000) / positive('dry film in um', dftUm);
}

/**
 * Area that a litre of paint covers in practice.
 *
 * @param volumeSolids Volume solids as a fraction, above 0 to 1
 * @param dftUm Dry film thickness, um, above 0
 * @param lossFraction Share lost on the way, 0 to below 1
 * @returns Practical spreading rate, m2/l
 * @throws {RangeError} If a figure is outside its range
 * Source: paint makers' notes on spreading rate
 */
export function practicalRateM2PerL(volumeSolids: number, dftUm: number, lossFraction: number): number {
  inRange('loss fraction', lossFraction, 0, 0.99);
  return spreadingRateM2PerL(volumeSolids, dftUm) * (1 - lossFraction);
}

/** Share of paint lost by method, low and high. Source: paint makers' notes on spreading rate */
export const PAINT_LOSS: Readonly<Record<'brush' | 'airless' | 'spray gun', readonly [low: number, high: number]>> = {
  brush: [0.1, 0.15],
  airless: [0.3, 0.3],
  'spray gun': [0.5, 0.5],
};

/**
 * Wet film that dries to a wanted thickness.
 *
 * @param dftUm Dry film thickness, um, above 0
 * @param volumeSolids Volume solids as a fraction, above 0 to 1
 * @returns Wet film thickness, um
 * @throws {RangeError} If a figure is outside its range
 * Source: paint makers' notes, DFT x 100 / volume solids in %
 */
export function wetFilmUm(dftUm: number, volumeSolids: number): number {
  inRange('volume solids', positive('volume solids', volumeSolids), 0, 1);
  return positive('dry film in um', dftUm) / volumeSolids;
}

/** A surface to be painted with one coat. */
export interface PaintJob {
  readonly areaDm2: number;
  readonly dftUm: number;
  readonly volumeSolids: number;
  readonly lossFraction: number;
}

/**
 * Paint needed for one coat.
 *
 * @param job Area in dm2 (at least 0), dry film in um, volume solids as a fraction, loss as a fraction below 1
 * @returns Paint, l
 * @throws {RangeError} If a figure is outside its range
 * Source: paint makers' notes on spreading rate
 */
export function paintLitres(job: PaintJob): number {
  const areaM2 = inRange('area in dm2', job.areaDm2, 0) / 100;
  return areaM2 / practicalRateM2PerL(job.volumeSolids, job.dftUm, job.lossFraction);
}

/** Most relative humidity for coating, fraction. Source: IMO coating guidance 3.3; ISO 8502-4 practice */
export const PAINT_HUMIDITY_MOST = 0.85;

/** Least distance of the steel above the dew point, K. Source: IMO coating guidance 3.3; ISO 8502-4 practice */
export const PAINT_ABOVE_DEW_LEAST_K = 3;

/** Longest wait between blasting and coating, h: damp air, usual, dry. Source: practitioners disagree; take the first when unsure */
export const COAT_WITHIN_HOURS = { damp: 4, usual: 8, dry: 24 } as const;

/**
 * Whether the air and the steel allow coating.
 *
 * @param humidity Relative humidity as a fraction, 0 to 1
 * @param steelC Steel temperature, degrees C, at least -273.15
 * @param dewPointC Dew point of the air, degrees C, at least -273.15
 * @returns Whether to coat, the distance to the dew point in K, and every reason against
 * @throws {RangeError} If a figure is outside its range
 * Source: IMO coating guidance 3.3; ISO 8502-4 practice
 */
export function paintWindow(
  humidity: number,
  steelC: number,
  dewPointC: number,
): { isOpen: boolean; aboveDewK: number; reasons: string[] } {
  inRange('relative humidity', humidity, 0, 1);
  inRange('steel temperature in degrees C', steelC, -273.15);
  inRange('dew point in degrees C', dewPointC, -273.15);
  const aboveDewK = steelC - dewPointC;
  const reasons: string[] = [];
  if (humidity > PAINT_HUMIDITY_MOST) {
    reasons.push(`Humidity ${Math.round(humidity * 100)} % is over ${PAINT_HUMIDITY_MOST * 100} %`);
  }
  if (aboveDewK < PAINT_ABOVE_DEW_LEAST_K) {
    reasons.push(`Steel is ${aboveDewK} K above the dew point, wanted ${PAINT_ABOVE_DEW_LEAST_K} K`);
  }
  return { isOpen: reasons.length === 0, aboveDewK, reasons };
}

/**
 * Zinc that a coat adds to a part.
 *
 * @param areaDm2 Coated area, dm2, at least 0
 * @param um Coat thickness, um, at least 0
 * @returns Mass, kg
 * @throws {RangeError} If a figure is negative
 * Source: density of zinc 7.14 g/cm3, computed
 */
export function zincMassKg(areaDm2: number, um: number): number {
  return inRange('area in dm2', areaDm2, 0) * inRange('coat in um', um, 0) * 7.14e-5;
}
