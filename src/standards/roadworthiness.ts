import type { Finding } from '../../shared/index.ts';
import { inRange } from './range.ts';

/** Distance from a mounting within which structure counts as prescribed, cm. Source: DVSA MOT inspection manual for cars, Appendix A */
export const PRESCRIBED_WITHIN_CM = 30;

/**
 * Whether corrosion lies in a prescribed area: within 30 cm of a tested mounting.
 *
 * Outside it a hole fails only if the strength or continuity of the whole structure is significantly reduced.
 *
 * @param distanceCm Distance from the nearest brake, steering, suspension or belt mounting, cm, at least 0
 * @returns True when prescribed: there a hole, or metal that yields, is excessive
 * @throws {RangeError} If distanceCm is negative
 * Source: DVSA MOT inspection manual for cars, Appendix A
 */
export function isPrescribedArea(distanceCm: number): boolean {
  return inRange('distance in cm', distanceCm, 0) <= PRESCRIBED_WITHIN_CM;
}

/** What was found, on what sort of part. */
export interface NzCase {
  readonly part: 'structure' | 'subframe, steering or suspension' | 'body panel';
  readonly damage: 'surface rust' | 'significant pitting' | 'perforation' | 'split seam';
}

/**
 * Whether damage must go to a repair certifier in New Zealand.
 *
 * Stricter than the UK test: a pitted arm without a hole goes to the certifier. Parts that unbolt may be replaced instead.
 *
 * @param found Sort of part and the damage seen
 * @returns refer when a certifier must see it, else null
 * Source: NZTA VIRM light vehicle repair certification, introduction 3-3
 */
export function repairCertificationNz(found: NzCase): Finding | null {
  if (found.part === 'structure') return 'refer';
  if (found.damage === 'perforation' || found.damage === 'split seam') return 'refer';
  return found.part === 'subframe, steering or suspension' && found.damage === 'significant pitting' ? 'refer' : null;
}
