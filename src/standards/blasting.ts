import { inRange } from './range.ts';

/** A blast nozzle at 100 psi: air in cubic feet a minute, media in kg/h, and open plate cleaned in m2/h (null where not printed). */
export interface BlastNozzle {
  readonly bore: string;
  readonly airCfm: number;
  readonly mediaKgPerHour: number;
  readonly areaM2PerHour: number | null;
}

const KG_PER_LB = 0.45359237;

/** Nozzles by bore, smallest first. Source: blast equipment reference chart at 100 psi and 5 lb/ft2 of media, large open plate */
export const BLAST_NOZZLES: readonly BlastNozzle[] = [
  { bore: '1/8 in', airCfm: 20, mediaKgPerHour: 123 * KG_PER_LB, areaM2PerHour: null },
  { bore: '3/16 in', airCfm: 45, mediaKgPerHour: 264 * KG_PER_LB, areaM2PerHour: null },
  { bore: '1/4 in', airCfm: 81, mediaKgPerHour: 494 * KG_PER_LB, areaM2PerHour: 9.3 },
  { bore: '5/16 in', airCfm: 137, mediaKgPerHour: 812 * KG_PER_LB, areaM2PerHour: 14.9 },
  { bore: '3/8 in', airCfm: 196, mediaKgPerHour: 1152 * KG_PER_LB, areaM2PerHour: 21.4 },
];

/** Media spent on open plate, kg/m2. Source: the same chart, 5 lb/ft2 */
export const BLAST_MEDIA_KG_PER_M2 = 24.4;

/** How much faster (above 1) or slower than Sa 2 1/2 on rust grade C a blast goes. Source: common practice, no source */
export const BLAST_SPEED: Readonly<Record<'Sa 1' | 'Sa 2' | 'Sa 2 1/2' | 'Sa 3', number>> = {
  'Sa 1': 3,
  'Sa 2': 1.5,
  'Sa 2 1/2': 1,
  'Sa 3': 0.65,
};

/** Factor on the speed for rust grade D or tight scale. Source: common practice, no source */
export const BLAST_SPEED_HEAVY_RUST = 0.5;

/** Small parts in a cabinet, m2/h, low and high. Source: common practice, no source */
export const CABINET_M2_PER_HOUR: Readonly<Record<'siphon' | 'pressure', readonly [low: number, high: number]>> = {
  siphon: [0.5, 2],
  pressure: [1.5, 4],
};

/** Grade of a blast profile against the four segments of a comparator. */
export type ProfileGrade = 'finer than fine' | 'fine' | 'medium' | 'coarse' | 'coarser than coarse';

// Nominal peak heights of the segments 1 to 4, um.
const SEGMENTS_UM = { grit: [25, 60, 100, 150], shot: [25, 40, 70, 100] } as const;

/**
 * Grade of a blast profile by its height. It holds for Sa 2 1/2 and Sa 3 only.
 *
 * @param profileUm Height of the profile, um, at least 0
 * @param abrasive Grit (angular) or shot (round)
 * @returns Grade; a profile equal to a segment belongs to the grade that starts there
 * @throws {RangeError} If profileUm is negative
 * Source: ISO 8503-1 segments and grade rule, from comparator makers' sheets
 */
export function profileGrade(profileUm: number, abrasive: 'grit' | 'shot'): ProfileGrade {
  inRange('profile in um', profileUm, 0);
  const grades: readonly ProfileGrade[] = ['finer than fine', 'fine', 'medium', 'coarse', 'coarser than coarse'];
  return grades[SEGMENTS_UM[abrasive].filter((segment) => profileUm >= segment).length]!;
}

/** What a blast medium may be used on and its trap. */
export interface BlastMedium {
  readonly on: string;
  readonly trap: string;
  readonly basis: 'published' | 'common-practice';
}

/** Blast media. Source: media charts and COSHH Schedule 2 where marked published, else common practice */
export const BLAST_MEDIA: Readonly<Record<string, BlastMedium>> = {
  'aluminium oxide': { on: 'steel, cast iron', trap: 'warps thin panels', basis: 'published' },
  'glass bead': { on: 'brightening steel and alloy', trap: 'peens, and can still warp thin sheet', basis: 'published' },
  'walnut or plastic': { on: 'panels, aluminium', trap: 'takes paint, little rust', basis: 'published' },
  soda: {
    on: 'paint on thin or chromed parts',
    trap: 'leaves no key, and a salt that must be rinsed off',
    basis: 'common-practice',
  },
  'steel grit': { on: 'steel only', trap: 'leaves iron in aluminium and stainless', basis: 'published' },
  sand: { on: 'nothing', trap: 'free silica: forbidden for blasting articles in Great Britain', basis: 'published' },
};
