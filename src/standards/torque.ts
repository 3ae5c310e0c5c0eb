import { proofLoadN, propertyClass } from './property-classes.ts';
import { inRange, positive } from './range.ts';
import { minorDiameterMm, pitchDiameterMm, type Thread } from './threads.ts';

/** A nut factor K: low and high as quoted, and the one usually taken (null where none is). */
export interface NutFactor {
  readonly low: number;
  readonly high: number;
  readonly usual: number | null;
}

/** Nut factors by surface, no unit. Source: nut-factor tables, second hand; usual values common practice; scatter 30 % either way */
export const NUT_FACTORS = {
  dry: { low: 0.18, high: 0.27, usual: 0.2 },
  oiled: { low: 0.1, high: 0.26, usual: 0.15 },
  cadmium: { low: 0.15, high: 0.19, usual: null },
  'phosphate and oil': { low: 0.15, high: 0.22, usual: null },
  zinc: { low: 0.17, high: 0.35, usual: null },
  stainless: { low: 0.3, high: 0.5, usual: null },
  'zinc flake': { low: 0.16, high: 0.32, usual: null },
} as const satisfies Readonly<Record<string, NutFactor>>;

/** A joint to be tightened. */
export interface Tightening {
  readonly thread: Thread;
  readonly preloadN: number;
  readonly k: number;
}

/**
 * Torque that gives a preload. The maker's figure goes before this one.
 *
 * @param joint Thread, preload in N (at least 0) and nut factor k (above 0)
 * @returns Torque, Nm
 * @throws {RangeError} If a figure is outside its range
 * Source: T = K D F, FAA AC 43.13-1B and nut-factor tables
 */
export function tighteningTorqueNm(joint: Tightening): number {
  const preloadN = inRange('preload in N', joint.preloadN, 0);
  return (positive('nut factor', joint.k) * joint.thread.diameterMm * preloadN) / 1000;
}

/**
 * Torque that loads a bolt to a share of its proof load.
 *
 * A figure for dry threads used on oiled ones overloads the bolt by about a third.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param classId Class as for propertyClass
 * @param fraction Share of the proof load, above 0 to 1; 0.75 is usual
 * @param k Nut factor, above 0
 * @returns Torque, Nm; null when the class is unknown or has no proof stress
 * @throws {RangeError} If a figure is outside its range
 * Source: T = K D F with the proof load of ISO 898-1 or SAE J429
 */
export function tighteningTorqueForProof(thread: Thread, classId: string, fraction: number, k: number): number | null {
  inRange('share of proof load', positive('share of proof load', fraction), 0, 1);
  positive('nut factor', k);
  const proofN = proofLoadN(thread, classId);
  return proofN === null ? null : tighteningTorqueNm({ thread, preloadN: proofN * fraction, k });
}

/**
 * Torque at which the threaded shank of a seized bolt twists off.
 *
 * A seized bolt takes nearly all of the torque as shear. Sound metal is assumed: rust brings it down.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param classId Class as for propertyClass
 * @returns Torque at which it begins to yield and at which it breaks, Nm; null when the class or its yield is unknown
 * Source: computed, shear = stress / sqrt 3 (von Mises) on the circle (d2 + d3)/2: yield pi d^3/16, full plastic pi d^3/12 with the tensile strength
 */
export function breakingTorqueNm(thread: Thread, classId: string): { yieldNm: number; plasticNm: number } | null {
  const steel = propertyClass(classId, thread.diameterMm);
  if (steel === null || steel.yieldMPa === null) return null;
  const diameter = (pitchDiameterMm(thread) + minorDiameterMm(thread)) / 2;
  const cubed = (diameter * diameter * diameter * Math.PI) / Math.sqrt(3) / 1000;
  return { yieldNm: (cubed * steel.yieldMPa) / 16, plasticNm: (cubed * steel.tensileMPa) / 12 };
}

/**
 * Bar length needed to reach a torque.
 *
 * @param torqueNm Torque, Nm, at least 0
 * @param pushN Push at the end of the bar, N, above 0; 300 N is a firm pull
 * @returns Length, m
 * @throws {RangeError} If a figure is outside its range
 * Source: moment = force x length
 */
export function barLengthM(torqueNm: number, pushN: number): number {
  return inRange('torque in Nm', torqueNm, 0) / positive('push in N', pushN);
}

/**
 * Torque of a push at the end of a bar.
 *
 * @param pushN Push, N, at least 0
 * @param lengthM Bar length, m, above 0
 * @returns Torque, Nm
 * @throws {RangeError} If a figure is outside its range
 * Source: moment = force x length
 */
export function barTorqueNm(pushN: number, lengthM: number): number {
  return inRange('push in N', pushN, 0) * positive('bar length in m', lengthM);
}

/** What a torque does to a seized bolt, with the two torques it is judged by. */
export interface SeizedVerdict {
  readonly verdict: 'holds' | 'stretches' | 'breaks';
  readonly yieldNm: number;
  readonly plasticNm: number;
  readonly words: string;
}

/**
 * Whether a torque breaks a seized bolt.
 *
 * @param torqueNm Torque put on, Nm, at least 0
 * @param thread The thread, diameter and pitch in mm
 * @param classId Class as for propertyClass
 * @returns holds up to the yield torque, stretches above it, breaks from the full plastic torque on; null when the class or its yield is unknown
 * @throws {RangeError} If torqueNm is negative
 * Source: breakingTorqueNm; ISO 898-7 least breaking torques lie about 14 % under the plastic value, from memory
 */
export function seizedVerdict(torqueNm: number, thread: Thread, classId: string): SeizedVerdict | null {
  inRange('torque in Nm', torqueNm, 0);
  const limits = breakingTorqueNm(thread, classId);
  if (limits === null) return null;
  const { yieldNm, plasticNm } = limits;
  const about = `about ${Math.round(plasticNm)} Nm`;
  if (torqueNm >= plasticNm) return { verdict: 'breaks', yieldNm, plasticNm, words: `Over ${about}: it will break` };
  if (torqueNm > yieldNm) {
    return { verdict: 'stretches', yieldNm, plasticNm, words: `It twists for good and may break before ${about}` };
  }
  return { verdict: 'holds', yieldNm, plasticNm, words: `Sound metal stands it; it breaks at ${about}` };
}
