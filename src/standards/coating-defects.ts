import { inRange } from './range.ts';

/** Words for quantity, size and intensity, grades 0 to 5. Source: ISO 4628-1 (scheme read, words from memory and our own) */
export const DEFECT_WORDS = {
  quantity: ['none', 'very few', 'few', 'moderate', 'considerable', 'dense'],
  size: [
    'not seen under a tenfold lens',
    'seen only under a tenfold lens',
    'just seen, up to 0.2 mm',
    'clearly seen, to 0.5 mm',
    'to 5 mm',
    'over 5 mm',
  ],
  intensity: ['unchanged', 'very slight', 'slight', 'moderate', 'considerable', 'very marked'],
} as const;

// Upper limits in mm for sizes 2 to 4.
const SIZE_LIMITS_MM = [0.2, 0.5, 5];
// Upper limits in % for flaking grades 0 to 5.
const FLAKING_LIMITS = [0, 0.1, 0.3, 1, 3, 15];

/**
 * Size grade of a defect that can be seen without a lens.
 *
 * @param acrossMm Size of the largest defects, mm, at least 0
 * @returns Grade 0 (no size), 2, 3, 4 or 5; grade 1 needs a lens and is never given from a measure
 * @throws {RangeError} If acrossMm is negative
 * Source: ISO 4628-1, limits from memory
 */
export function defectSizeGrade(acrossMm: number): number {
  inRange('defect size in mm', acrossMm, 0);
  if (acrossMm === 0) return 0;
  const index = SIZE_LIMITS_MM.findIndex((limit) => acrossMm <= limit);
  return index < 0 ? 5 : index + 2;
}

/**
 * Flaking grade by area, each picture's area taken as an upper limit.
 *
 * @param percent Share of the surface flaked, 0 to 100 %
 * @returns Grade 0 (none) to 5; 5 also stands for more than 15 %
 * @throws {RangeError} If percent is outside 0 to 100
 * Source: ISO 4628-5:2016 areas 0.1, 0.3, 1, 3, 15 %, from memory; taking them as limits is our own judgement
 */
export function flakingGrade(percent: number): number {
  inRange('percent flaked', percent, 0, 100);
  const index = FLAKING_LIMITS.findIndex((limit) => percent <= limit);
  return index < 0 ? 5 : index;
}

const BLISTER_SIZE: Readonly<Record<string, number>> = { '10': 0, '8': 2, '6': 3, '4': 4, '2': 5 };
const BLISTER_QUANTITY: Readonly<Record<string, number>> = { F: 2, M: 3, MD: 4, D: 5 };

/**
 * Turns an ASTM D714 blister rating into the ISO 4628-2 form, quantity with size.
 *
 * D714 sizes run backwards: 10 is none, 2 the biggest.
 *
 * @param size D714 size: 10, 8, 6, 4 or 2
 * @param frequency D714 frequency: F few, M medium, MD medium dense, D dense
 * @returns Text such as 4(S2), 0(S0) for none; null for a rating that D714 does not have
 * Source: ISO 4628-2 form read; the map from D714 from memory
 */
export function blistersFromD714(size: number, frequency: string): string | null {
  const isoSize = BLISTER_SIZE[`${size}`];
  if (isoSize === undefined) return null;
  if (isoSize === 0) return '0(S0)';
  const quantity = Object.hasOwn(BLISTER_QUANTITY, frequency) ? BLISTER_QUANTITY[frequency] : undefined;
  return quantity === undefined ? null : `${quantity}(S${isoSize})`;
}
