import type { Atmosphere } from '../../shared/index.ts';
import { inRange } from './range.ts';

/** Metals with a published loss in um; aluminium corrodes in spots, so its loss is given as mass only. */
export type ThinningMetal = 'steel' | 'zinc' | 'copper';

/** Corrosivity categories, mildest first. Source: ISO 9223:2012 */
export const ATMOSPHERES: readonly Atmosphere[] = ['C1', 'C2', 'C3', 'C4', 'C5', 'CX'];

// Upper limits of the first year's loss in um, C1 to CX; the limit belongs to the milder category.
// Steel read; zinc C1 to C5 read, CX second hand; copper from memory.
const LIMITS_UM: Readonly<Record<ThinningMetal, readonly number[]>> = {
  steel: [1.3, 25, 50, 80, 200, 700],
  zinc: [0.1, 0.7, 2.1, 4.2, 8.4, 25],
  copper: [0.1, 0.6, 1.3, 2.8, 5.6, 10],
};
// Aluminium in g/m2, from memory; C1 is negligible and CX has no upper limit.
const ALUMINIUM_G_M2: readonly (number | null)[] = [0, 0.6, 2, 5, 10, null];

/**
 * Corrosivity category from the first year's loss of a bare test piece.
 *
 * @param metal The metal of the test piece
 * @param um Loss in the first year, um, at least 0
 * @returns Category C1 to CX, or 'above CX': measured losses do go past the last limit
 * @throws {RangeError} If um is negative
 * Source: ISO 9223:2012 Table 2 (copper from memory)
 */
export function categoryFromLoss(metal: ThinningMetal, um: number): Atmosphere | 'above CX' {
  inRange('first-year loss in um', um, 0);
  const index = LIMITS_UM[metal].findIndex((limit) => um <= limit);
  return ATMOSPHERES[index] ?? 'above CX';
}

/**
 * Loss of a bare, open, rain-washed face in the first year in a category.
 *
 * @param category Corrosivity category
 * @param metal The metal
 * @returns Low (excluded) and high (included) loss, um; C1 starts at 0
 * Source: ISO 9223:2012 Table 2 (copper from memory)
 */
export function firstYearLossUm(category: Atmosphere, metal: ThinningMetal): [low: number, high: number] {
  const index = ATMOSPHERES.indexOf(category);
  return [LIMITS_UM[metal][index - 1] ?? 0, LIMITS_UM[metal][index]!];
}

/**
 * Loss of bare aluminium in the first year in a category, as mass, since it corrodes in spots.
 *
 * @param category Corrosivity category
 * @returns Low and high loss, g/m2; high is null for CX, which has no upper limit
 * Source: ISO 9223:2012 Table 2, from memory
 */
export function firstYearAluminiumGm2(category: Atmosphere): [low: number, high: number | null] {
  const index = ATMOSPHERES.indexOf(category);
  return [ALUMINIUM_G_M2[index - 1] ?? 0, ALUMINIUM_G_M2[index] ?? null];
}

/**
 * Years that a zinc coat lasts to first red rust, its thickness over the yearly loss.
 *
 * @param um Zinc thickness, um, at least 0
 * @param category Corrosivity category
 * @returns Low and high, years; high is null for C1, where the lowest loss is nothing
 * @throws {RangeError} If um is negative
 * Source: ISO 9223:2012 Table 2, thickness / rate, computed
 * @example zincLifeYears(8, 'C4') // 1.9 to 3.8
 */
export function zincLifeYears(um: number, category: Atmosphere): [low: number, high: number | null] {
  inRange('zinc thickness in um', um, 0);
  const [slow, fast] = firstYearLossUm(category, 'zinc');
  return [um / fast, slow === 0 ? null : um / slow];
}
