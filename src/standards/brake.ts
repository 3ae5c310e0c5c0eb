import { inRange, positive } from './range.ts';

/** Share of a brake pipe's wall that may be lost before it is rejected. Source: DVSA MOT inspection manual for cars, 1.1.11 */
export const BRAKE_PIPE_LOSS_MOST = 1 / 3;

/** Least friction material by the test, mm. Source: DVSA MOT inspection manual for cars, 1.1.13 */
export const PAD_LEAST_MM = 1.5;

// Three times 0.25 mm must count as 0.75 mm whatever the binary fractions do.
const ROUNDING_MM = 1e-9;

/**
 * Whether a rigid brake pipe has lost too much of its wall.
 *
 * The loss is about 0.25 mm on a common pipe, which no photo shows. A pipe at imminent risk is dangerous whatever it measures.
 *
 * @param wallMm Wall as made, mm, above 0
 * @param lossMm Depth lost at the worst place, mm, at least 0
 * @returns Whether it is rejected, the fraction of the wall lost (may pass 1), and the loss in mm at which it is
 * @throws {RangeError} If a figure is outside its range
 * Source: DVSA MOT inspection manual for cars, 1.1.11 (one third of the wall)
 */
export function brakePipeVerdict(
  wallMm: number,
  lossMm: number,
): { isRejected: boolean; lostFraction: number; limitMm: number } {
  positive('wall in mm', wallMm);
  inRange('loss in mm', lossMm, 0);
  const limitMm = wallMm * BRAKE_PIPE_LOSS_MOST;
  return { isRejected: lossMm >= limitMm - ROUNDING_MM, lostFraction: lossMm / wallMm, limitMm };
}

/**
 * What the test says of friction material.
 *
 * @param thicknessMm Least thickness of pad or lining, mm, at least 0
 * @param isAtIndicator True when it is worn to its indicator
 * @returns dangerous under 1.5 mm, major at the indicator, else null (no finding)
 * @throws {RangeError} If thicknessMm is negative
 * Source: DVSA MOT inspection manual for cars, 1.1.13
 */
export function padFinding(thicknessMm: number, isAtIndicator: boolean): 'dangerous' | 'major' | null {
  inRange('friction material in mm', thicknessMm, 0);
  if (thicknessMm < PAD_LEAST_MM) return 'dangerous';
  return isAtIndicator ? 'major' : null;
}

/** What is known of a disc: least reading inside the swept face and the stamped minimum in mm, and what is seen. */
export interface DiscCase {
  readonly thicknessMm: number;
  readonly stampedMinMm: number;
  readonly isObviouslyWorn?: boolean;
  readonly isFractured?: boolean;
}

/** Two verdicts kept apart: what the test finds, and what the workshop does. */
export interface DiscVerdicts {
  readonly test: 'dangerous' | 'major' | null;
  readonly workshop: 'replace' | 'keep';
  readonly because: string;
}

/**
 * The test's finding on a disc and the workshop's rule, which is stricter.
 *
 * Under the stamped minimum is not in itself a reason to fail the test; the maker still says replace.
 *
 * @param disc Thickness (at least 0) and stamped minimum (above 0) in mm, and whether it is obviously worn or fractured
 * @returns Finding of the test (null: none), and replace or keep by the workshop rule
 * @throws {RangeError} If a figure is outside its range
 * Source: DVSA MOT inspection manual for cars, 1.1.14; makers' workshop manuals for the stamp
 */
export function discVerdicts(disc: DiscCase): DiscVerdicts {
  inRange('disc thickness in mm', disc.thicknessMm, 0);
  positive('stamped minimum in mm', disc.stampedMinMm);
  const isUnder = disc.thicknessMm < disc.stampedMinMm;
  const test = disc.isFractured === true ? 'dangerous' : disc.isObviouslyWorn === true ? 'major' : null;
  const workshop = test !== null || isUnder ? 'replace' : 'keep';
  const because = isUnder
    ? 'Under its stamped minimum: not in itself a test failure, replaced by the rule of its maker'
    : test === null
      ? 'At or over its stamped minimum'
      : 'Worn or fractured to be seen';
  return { test, workshop, because };
}

/** A brake fluid: least boiling points in degrees C new and wet (about 3.7 % water), what it is made of and what it does. */
export interface BrakeFluid {
  readonly dryC: number;
  readonly wetC: number;
  readonly base: 'glycol' | 'silicone';
  readonly note: string;
}

const GLYCOL = 'takes up water and strips paint: rinse with water at once';

/** Brake fluids by DOT number. Source: FMVSS 116 least boiling points, second hand */
export const BRAKE_FLUIDS: Readonly<Record<'3' | '4' | '5' | '5.1', BrakeFluid>> = {
  '3': { dryC: 205, wetC: 140, base: 'glycol', note: GLYCOL },
  '4': { dryC: 230, wetC: 155, base: 'glycol', note: GLYCOL },
  '5': { dryC: 260, wetC: 180, base: 'silicone', note: 'purple, takes up no water, never mixed with the others' },
  '5.1': { dryC: 260, wetC: 180, base: 'glycol', note: GLYCOL },
};
