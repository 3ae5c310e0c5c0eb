import { inRange } from './range.ts';
import type { Thread } from './threads.ts';

/** Newton metres in an inch-pound, exact to six figures. Source: 25.4 mm x 4.448222 N */
export const NM_PER_INLB = 0.112985;

/** Prevailing torque of a metric lock nut, Nm: most when first screwed on, least when first and fifth taken off. */
export interface PrevailingTorque {
  readonly firstOnMaxNm: number;
  readonly firstOffMinNm: number;
  readonly fifthOffMinNm: number;
}

type Row = readonly [firstOnMax: number, firstOffMin: number, fifthOffMin: number];

// By diameter in mm; fine pitch as coarse. That classes 5, 6 and 8 take the class 04 rows is from memory.
const CLASS_04: ReadonlyMap<number, Row> = new Map<number, Row>([
  [5, [1.6, 0.29, 0.2]],
  [6, [3, 0.45, 0.3]],
  [7, [4.5, 0.65, 0.45]],
  [8, [6, 0.85, 0.6]],
  [10, [10.5, 1.5, 1]],
  [12, [15.5, 2.3, 1.6]],
  [14, [24, 3.3, 2.3]],
  [16, [32, 4.5, 3]],
  [18, [42, 6, 4.2]],
  [20, [54, 7.5, 5.3]],
  [24, [80, 11.5, 8]],
]);
const CLASS_05: ReadonlyMap<number, Row> = new Map<number, Row>([
  [3, [0.6, 0.15, 0.1]],
  [4, [1.2, 0.22, 0.15]],
  [5, [2.1, 0.35, 0.24]],
  [6, [4, 0.55, 0.4]],
]);

/**
 * Prevailing torque that a metric lock nut must keep.
 *
 * @param thread A metric thread, diameter and pitch in mm
 * @param nutClass Nut class: 04 (also taken for 5, 6 and 8) or 05
 * @returns Torques in Nm, or null where the table has no row
 * Source: ISO 2320 as reprinted, class 04; GOST R ISO 2320-2009, class 05
 */
export function prevailingTorqueIso2320(thread: Thread, nutClass: '04' | '05' = '04'): PrevailingTorque | null {
  const row = thread.series === 'M' ? (nutClass === '04' ? CLASS_04 : CLASS_05).get(thread.diameterMm) : undefined;
  return row === undefined ? null : { firstOnMaxNm: row[0], firstOffMinNm: row[1], fifthOffMinNm: row[2] };
}

// Least prevailing torque of a reused nut in inch-pounds: UNF, UNC.
const AC_43_13: Readonly<Record<string, readonly [fine: number, coarse: number]>> = {
  '7/16': [8, 8],
  '1/2': [10, 10],
  '9/16': [13, 14],
  '5/8': [18, 20],
  '3/4': [27, 27],
};

/**
 * Least prevailing torque of a unified lock nut that is used again.
 *
 * @param thread A UNC or UNF thread
 * @returns Torque, Nm; null for sizes without a row: there a nut that fingers can turn on is rejected
 * Source: FAA AC 43.13-1B Table 7-2
 */
export function prevailingTorqueReusedNm(thread: Thread): number | null {
  if (thread.series !== 'UNC' && thread.series !== 'UNF') return null;
  const row = AC_43_13[thread.designation.slice(0, thread.designation.indexOf('-'))];
  return row === undefined ? null : (thread.series === 'UNF' ? row[0] : row[1]) * NM_PER_INLB;
}

/** Whether a used lock nut still locks, with the least torque it is held to (null: no figure, the finger rule holds). */
export interface LockNutVerdict {
  readonly verdict: 'use again' | 'discard' | 'turn by fingers';
  readonly leastNm: number | null;
  readonly source: string;
}

/**
 * Whether a self-locking nut may be used again by its prevailing torque, measured off the seat.
 *
 * Many makers want a new nut in brakes, steering and suspension whatever it measures: their word goes first.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param measuredNm Torque to turn the nut on its thread without load, Nm, at least 0
 * @returns Verdict and least torque in Nm; 'turn by fingers' where no figure exists: reject when fingers can turn it on
 * @throws {RangeError} If measuredNm is negative
 * Source: FAA AC 43.13-1B Table 7-2 and its finger rule (inch); ISO 2320 fifth removal (metric), holding a used nut to it is our own judgement
 */
export function lockNutVerdict(thread: Thread, measuredNm: number): LockNutVerdict {
  inRange('prevailing torque in Nm', measuredNm, 0);
  const isMetric = thread.series === 'M';
  const leastNm = isMetric
    ? (prevailingTorqueIso2320(thread)?.fifthOffMinNm ?? null)
    : prevailingTorqueReusedNm(thread);
  const source = isMetric ? 'ISO 2320 class 04, fifth removal' : 'FAA AC 43.13-1B Table 7-2';
  if (leastNm === null) {
    return { verdict: 'turn by fingers', leastNm, source: 'FAA AC 43.13-1B: reject a nut that fingers turn on' };
  }
  return { verdict: measuredNm >= leastNm ? 'use again' : 'discard', leastNm, source };
}
