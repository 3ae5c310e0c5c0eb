/** Families of screw thread known here. */
export type ThreadSeries = 'M' | 'UNC' | 'UNF' | 'BSW' | 'BSF' | 'BA';

/** A row of an inch thread: size as stamped, diameter in inches, threads per inch, printed stress area in in2 where a standard prints one. */
export type InchRow = readonly [size: string, diameterIn: number, tpi: number, areaIn2: number | null];

/**
 * Metric threads by diameter in mm: coarse pitch first, then the fine pitches in use, all in mm.
 *
 * Source: ISO 261 and ISO 262; M5 to M20 checked, the smaller and larger sizes from memory
 */
export const METRIC_PITCHES: readonly (readonly [diameterMm: number, pitchesMm: readonly number[]])[] = [
  [3, [0.5]],
  [4, [0.7]],
  [5, [0.8, 0.5]],
  [6, [1, 0.75]],
  [7, [1]],
  [8, [1.25, 1]],
  [10, [1.5, 1.25, 1]],
  [12, [1.75, 1.5, 1.25, 1]],
  [14, [2, 1.5, 1.25]],
  [16, [2, 1.5]],
  [18, [2.5, 2, 1.5]],
  [20, [2.5, 2, 1.5]],
  [22, [2.5, 2, 1.5]],
  [24, [3, 2, 1.5]],
  [27, [3, 2, 1.5]],
  [30, [3.5, 2, 1.5]],
];

/**
 * Inch threads by series: size, diameter in inches, threads per inch, printed stress area in in2.
 *
 * Source: ASME B1.1 (UNC, UNF), BS 84 (BSW, BSF); 1/4 to 3/4 checked, number 10, 7/8 and 1 from memory.
 * BS 84 as read prints no stress area.
 */
export const INCH_THREADS: Readonly<Record<'UNC' | 'UNF' | 'BSW' | 'BSF', readonly InchRow[]>> = {
  UNC: [
    ['10', 0.19, 24, 0.0175],
    ['1/4', 0.25, 20, 0.0318],
    ['5/16', 0.3125, 18, 0.0524],
    ['3/8', 0.375, 16, 0.0775],
    ['7/16', 0.4375, 14, 0.1063],
    ['1/2', 0.5, 13, 0.1419],
    ['9/16', 0.5625, 12, 0.182],
    ['5/8', 0.625, 11, 0.226],
    ['3/4', 0.75, 10, 0.334],
    ['7/8', 0.875, 9, 0.462],
    ['1', 1, 8, 0.606],
  ],
  UNF: [
    ['10', 0.19, 32, 0.02],
    ['1/4', 0.25, 28, 0.0364],
    ['5/16', 0.3125, 24, 0.058],
    ['3/8', 0.375, 24, 0.0878],
    ['7/16', 0.4375, 20, 0.1187],
    ['1/2', 0.5, 20, 0.1599],
    ['9/16', 0.5625, 18, 0.203],
    ['5/8', 0.625, 18, 0.256],
    ['3/4', 0.75, 16, 0.373],
    ['7/8', 0.875, 14, 0.509],
    ['1', 1, 12, 0.663],
  ],
  BSW: [
    ['1/4', 0.25, 20, null],
    ['5/16', 0.3125, 18, null],
    ['3/8', 0.375, 16, null],
    ['7/16', 0.4375, 14, null],
    ['1/2', 0.5, 12, null],
    ['9/16', 0.5625, 12, null],
    ['5/8', 0.625, 11, null],
    ['3/4', 0.75, 10, null],
    ['7/8', 0.875, 9, null],
    ['1', 1, 8, null],
  ],
  BSF: [
    ['1/4', 0.25, 26, null],
    ['5/16', 0.3125, 22, null],
    ['3/8', 0.375, 20, null],
    ['7/16', 0.4375, 18, null],
    ['1/2', 0.5, 16, null],
    ['9/16', 0.5625, 16, null],
    ['5/8', 0.625, 14, null],
    ['3/4', 0.75, 12, null],
    ['7/8', 0.875, 11, null],
    ['1', 1, 10, null],
  ],
};

/**
 * BA threads: number, diameter in mm, pitch in mm, usual width across flats in mm.
 *
 * Source: BS 93, pitch 0.9 to the power of the number, diameter 6 p^1.2, hexagon about 1.75 diameters
 */
export const BA_THREADS: readonly (readonly [number: number, diameterMm: number, pitchMm: number, flatsMm: number])[] =
  [
    [0, 6, 1, 10.5],
    [1, 5.3, 0.9, 9.28],
    [2, 4.7, 0.81, 8.22],
    [3, 4.1, 0.73, 7.17],
    [4, 3.6, 0.66, 6.3],
    [5, 3.2, 0.59, 5.6],
    [6, 2.8, 0.53, 4.9],
  ];
