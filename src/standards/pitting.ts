import { inRange, positive } from './range.ts';

/** A pit rating read from the chart: pits per m2, mean opening in mm2, mean depth in mm. */
export interface PitRating {
  readonly densityPerM2: number;
  readonly openingMm2: number;
  readonly depthMm: number;
}

/** Columns 1 to 5 of the pit chart: A pits per m2, B opening in mm2, C depth in mm. Source: ASTM G46-94 Fig. 2, from memory */
export const PIT_CHART_G46 = {
  A: [2500, 10_000, 50_000, 100_000, 500_000],
  B: [0.5, 2, 8, 12.5, 24.5],
  C: [0.4, 0.8, 1.6, 3.2, 6.4],
} as const;

/** Share of the as-built thickness that must remain under a local pit or groove, no unit. Source: IACS UR Z10.5 8.2.1 */
export const PIT_LEFT_LEAST = 0.7;

/**
 * Reads a written pit rating such as A-3, B-2, C-3.
 *
 * @param rating Three column names in the order A, B, C, parted by commas or blanks
 * @returns Density per m2, opening in mm2 and depth in mm, or null when the text is no such rating
 * Source: ASTM G46-94 Fig. 2, from memory
 */
export function readPitRatingG46(rating: string): PitRating | null {
  const found = /^\s*A-([1-5])[,\s]+B-([1-5])[,\s]+C-([1-5])\s*$/.exec(rating);
  if (found === null) return null;
  return {
    densityPerM2: PIT_CHART_G46.A[Number(found[1]) - 1]!,
    openingMm2: PIT_CHART_G46.B[Number(found[2]) - 1]!,
    depthMm: PIT_CHART_G46.C[Number(found[3]) - 1]!,
  };
}

/**
 * Writes the chart rating of measured pits, each to the first column that is not lighter than the pits.
 *
 * @param pits Density per m2, mean opening in mm2 and mean depth in mm, each at least 0
 * @returns Text such as A-3, B-2, C-3; column 5 also stands for anything heavier
 * @throws {RangeError} If a figure is negative
 * Source: ASTM G46-94 Fig. 2, from memory; rounding up between columns is our own judgement
 */
export function pitRatingG46(pits: PitRating): string {
  const column = (name: string, steps: readonly number[], value: number): number => {
    inRange(name, value, 0);
    const index = steps.findIndex((step) => value <= step);
    return index < 0 ? 5 : index + 1;
  };
  const a = column('pits per m2', PIT_CHART_G46.A, pits.densityPerM2);
  const b = column('pit opening in mm2', PIT_CHART_G46.B, pits.openingMm2);
  const c = column('pit depth in mm', PIT_CHART_G46.C, pits.depthMm);
  return `A-${a}, B-${b}, C-${c}`;
}

/**
 * How much deeper the deepest pit is than the average loss.
 *
 * @param deepestMm Deepest penetration, mm, at least averageMm
 * @param averageMm Average penetration from loss of mass, mm, at least 0
 * @returns Pitting factor, 1 for even corrosion, no unit; null when there is no average loss to compare with
 * @throws {RangeError} If a depth is negative or the deepest is under the average
 * Source: ASTM G46, pitting factor
 */
export function pittingFactor(deepestMm: number, averageMm: number): number | null {
  inRange('average penetration in mm', averageMm, 0);
  inRange('deepest penetration in mm', deepestMm, averageMm);
  return averageMm === 0 ? null : deepestMm / averageMm;
}

/**
 * Whether enough wall is left under a local pit, by the rule for ships' plates, used here as a guide.
 *
 * @param originalMm As-built thickness, mm, above 0
 * @param remainingMm Least thickness left under the pit, mm, 0 to originalMm
 * @returns Fraction left 0 to 1, and whether that is above 70 %
 * @throws {RangeError} If a thickness is outside its range
 * Source: IACS UR Z10.5 8.2.1 and IMO ESP Code; not a rule for vehicles
 */
export function pitLeft(originalMm: number, remainingMm: number): { leftFraction: number; isEnough: boolean } {
  positive('as-built thickness in mm', originalMm);
  inRange('remaining thickness in mm', remainingMm, 0, originalMm);
  const leftFraction = remainingMm / originalMm;
  return { leftFraction, isEnough: leftFraction > PIT_LEFT_LEAST };
}
