import { log10 } from './elementary.ts';
import { inRange } from './range.ts';

/** How the rust is spread: spot, general, pinpoint, hybrid. Source: ASTM D610 */
export type RustType = 'S' | 'G' | 'P' | 'H';

/** The grades derived from one measured percentage; the percentage is what is kept. */
export interface RustGrades {
  readonly percent: number;
  readonly iso4628_3: string[];
  readonly astmD610: number;
  readonly iso10289: number;
}

// Upper limits in % for grades 10 down to 1; the limit belongs to the better grade.
const D610_LIMITS = [0.01, 0.03, 0.1, 0.3, 1, 3, 10, 16, 33, 50];
// Rows 10 to 6 read in the table, rows 5 to 1 from memory.
const ISO_10289_LIMITS = [0, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 25, 50];
// Areas in % that the pictures Ri 0 to Ri 4 show; the picture Ri 5 stands for 40 to 50 %.
const RI_PICTURES = [0, 0.05, 0.5, 1, 8];
const RI_5_FROM = 40;

function byLimits(limits: readonly number[], percent: number): number {
  inRange('percent of area rusted', percent, 0, 100);
  const index = limits.findIndex((limit) => percent <= limit);
  return index < 0 ? 0 : 10 - index;
}

/**
 * Rust grade of painted steel by the share of its surface that is rusted.
 *
 * Steps are unequal, and an area on a limit has the better grade.
 *
 * @param percent Share of the assessed surface rusted, 0 to 100 %
 * @returns Grade 10 (at most 0.01 %) to 0 (more than 50 %), whole number
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ASTM D610-08(2012) Table 1
 */
export function rustGradeD610(percent: number): number {
  return byLimits(D610_LIMITS, percent);
}

/**
 * Rust grade with the letter of its spread, as it is written in a report.
 *
 * @param percent Share of the assessed surface rusted, 0 to 100 %
 * @param type Spread of the rust; grades 10 and 0 take no letter
 * @returns Text such as 7-P, 7 without a type, or 10
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ASTM D610-08(2012) Table 1
 */
export function rustGradeD610Label(percent: number, type?: RustType): string {
  const grade = rustGradeD610(percent);
  return type === undefined || grade === 10 || grade === 0 ? `${grade}` : `${grade}-${type}`;
}

/**
 * Degree of rusting by the reference pictures that a percentage lies on or between.
 *
 * The pictures are examples, not class limits, so a value between two pictures is reported as both.
 * The scale is that of ISO 4628-3, not of the older DIN 53210, which used the same names for other areas.
 *
 * @param percent Share of the assessed surface rusted, 0 to 100 %
 * @returns One name on a picture's own value or from 40 % up, else the two on either side, better one first
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ISO 4628-3:1982 Table 1 as reprinted; the 2024 edition corrects the picture Ri 5 and was not read
 */
export function rustGradeIso4628(percent: number): string[] {
  inRange('percent of area rusted', percent, 0, 100);
  if (percent >= RI_5_FROM) return ['Ri 5'];
  const exact = RI_PICTURES.indexOf(percent);
  if (exact >= 0) return [`Ri ${exact}`];
  const below = RI_PICTURES.findLastIndex((picture) => picture < percent);
  return [`Ri ${below}`, `Ri ${below + 1}`];
}

/**
 * The better of the reference pictures that a percentage lies on or between, as a grade.
 *
 * A photo's low bound stands for this grade at least.
 *
 * @param percent Share of the assessed surface rusted, 0 to 100 %
 * @returns Grade 0 (none) to 5 (severe), whole number
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: as rustGradeIso4628; grades 0 to 5 after ISO 4628-1
 */
export function leastRustGrade(percent: number): number {
  return Number(rustGradeIso4628(percent)[0]!.replace('Ri ', ''));
}

/**
 * Protection rating of a metal coating by the share of its area where the basis metal corrodes.
 *
 * The table, not the formula, decides the whole-number rating: the two disagree.
 *
 * @param percent Share of the area with basis-metal corrosion, 0 to 100 %
 * @returns Rating 10 (none) to 0 (more than 50 %), whole number
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ISO 10289 Table 1 (ratings 10 to 6 read, 5 to 0 from memory)
 */
export function ratingIso10289(percent: number): number {
  return byLimits(ISO_10289_LIMITS, percent);
}

/**
 * Protection rating by the formula, for plotting; use ratingIso10289 for the rating itself.
 *
 * @param percent Share of the area with basis-metal corrosion, 0 to 100 %
 * @returns 3 (2 - log10 percent), not rounded: 0 at 100 %, above 10 under 0.0464 %; 10 for no corrosion at all
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ISO 10289, formula for the protection rating
 */
export function ratingIso10289Formula(percent: number): number {
  inRange('percent of area corroded', percent, 0, 100);
  return percent === 0 ? 10 : 3 * (2 - log10(percent));
}

/**
 * All grades that follow from one measured percentage.
 *
 * @param percent Share of the assessed surface rusted, 0 to 100 %
 * @returns The percentage with its ISO 4628-3 names, ASTM D610 grade and ISO 10289 rating
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ISO 4628-3, ASTM D610 Table 1, ISO 10289 Table 1
 */
export function gradesFromPercent(percent: number): RustGrades {
  return {
    percent,
    iso4628_3: rustGradeIso4628(percent),
    astmD610: rustGradeD610(percent),
    iso10289: ratingIso10289(percent),
  };
}
