import type { RawPhoto } from '../../src/app/photo-deps.ts';

/** A measured photo of an outlined part, 5 % of it rusted, before interval, grades and group. */
export const RAW: RawPhoto = {
  fit: { ok: true, problems: [] },
  assessed: 'outline',
  method: 'model',
  base: 'model',
  corrections: 0,
  area: { fraction: 0.05, sureFraction: 0.05, possibleFraction: 0.05 },
  partFraction: 0.5,
  spots: { count: 2, spread: 'spot', largestPercent: 4, medianPercent: 1, sizes: [0, 0, 1, 1, 0] },
  height: 1000,
  width: 2000,
  hash: '00000000ffffffff',
  takenAtMs: null,
  isFirstOfMany: false,
  ms: 12.345,
};
