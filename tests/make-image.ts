import type { Mask, RgbImage } from '../src/imaging/index.ts';

/** A mask from rows of 0 and 1: `mask('010', '111')`. */
export function mask(...rows: string[]): Mask {
  const width = rows[0]!.length;
  return { height: rows.length, width, data: Uint8Array.from(rows.join(''), Number) };
}

/** A picture whose every pixel comes from its row and column. */
export function picture(
  height: number,
  width: number,
  colour: (row: number, col: number) => readonly [number, number, number],
): RgbImage {
  const data = new Uint8Array(height * width * 3);
  for (let row = 0; row < height; row++) {
    for (let col = 0; col < width; col++) data.set(colour(row, col), (row * width + col) * 3);
  }
  return { height, width, data };
}

/** Repeatable whole-number noise from 0 up to `range`, by row and column. */
export function noise(row: number, col: number, range: number, seed = 1): number {
  let mixed = Math.imul(row + 1, 0x9e3779b1) ^ Math.imul(col + 1, 0x85ebca6b) ^ Math.imul(seed, 0xc2b2ae35);
  mixed = Math.imul(mixed ^ (mixed >>> 15), 0x2c1b3c6d);
  mixed = Math.imul(mixed ^ (mixed >>> 12), 0x297a2d39);
  return ((mixed ^ (mixed >>> 15)) >>> 0) % range;
}

/** Grey paint with camera noise and a rusted disc: looks like a photo to the fitness test. */
export function rustyPanel(height: number, width: number, radius: number): RgbImage {
  return picture(height, width, (row, col) => {
    const n = noise(row, col, 25);
    const isRust = (row - height / 2) ** 2 + (col - width / 2) ** 2 <= radius * radius;
    return isRust ? [120 + n, 62 + n, 30 + n] : [118 + n, 122 + n, 126 + n];
  });
}
