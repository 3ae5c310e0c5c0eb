import { converter, differenceCiede2000 } from 'culori';
import { describe, expect, it } from 'vitest';
import { ciede2000, hueDegrees, labImage, srgbToLab } from '../../src/imaging/index.ts';

// Sharma, Wu and Dalal 2005, Table 1: L1 a1 b1 L2 a2 b2 and the difference.
const SHARMA: readonly (readonly [number, number, number, number, number, number, number])[] = [
  [50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425],
  [50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615],
  [50, 2.8361, -74.02, 50, 0, -82.7485, 3.4412],
  [50, -1.3802, -84.2814, 50, 0, -82.7485, 1],
  [50, -1.1848, -84.8006, 50, 0, -82.7485, 1],
  [50, -0.9009, -85.5211, 50, 0, -82.7485, 1],
  [50, 0, 0, 50, -1, 2, 2.3669],
  [50, -1, 2, 50, 0, 0, 2.3669],
  [50, 2.49, -0.001, 50, -2.49, 0.0009, 7.1792],
  [50, 2.49, -0.001, 50, -2.49, 0.001, 7.1792],
  [50, 2.49, -0.001, 50, -2.49, 0.0011, 7.2195],
  [50, 2.49, -0.001, 50, -2.49, 0.0012, 7.2195],
  [50, -0.001, 2.49, 50, 0.0009, -2.49, 4.8045],
  [50, -0.001, 2.49, 50, 0.001, -2.49, 4.8045],
  [50, -0.001, 2.49, 50, 0.0011, -2.49, 4.7461],
  [50, 2.5, 0, 50, 0, -2.5, 4.3065],
  [50, 2.5, 0, 73, 25, -18, 27.1492],
  [50, 2.5, 0, 61, -5, 29, 22.8977],
  [50, 2.5, 0, 56, -27, -3, 31.903],
  [50, 2.5, 0, 58, 24, 15, 19.4535],
  [50, 2.5, 0, 50, 3.1736, 0.5854, 1],
  [50, 2.5, 0, 50, 3.2972, 0, 1],
  [50, 2.5, 0, 50, 1.8634, 0.5757, 1],
  [50, 2.5, 0, 50, 3.2592, 0.335, 1],
  [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644],
  [63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.263],
  [61.2901, 3.7196, -5.3901, 61.4292, 2.248, -4.962, 1.8731],
  [35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645],
  [22.7233, 20.0904, -46.694, 23.0331, 14.973, -42.5619, 2.0373],
  [36.4612, 47.858, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146],
  [90.8027, -2.0831, 1.441, 91.1528, -1.6435, 0.0447, 1.4441],
  [90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381],
  [6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377],
  [2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082],
];

describe('ciede2000()', () => {
  it.each(SHARMA)('gives the published difference of %d %d %d and %d %d %d', (l1, a1, b1, l2, a2, b2, difference) => {
    const first = { l: l1, a: a1, b: b1 };
    const second = { l: l2, a: a2, b: b2 };
    expect(Math.abs(ciede2000(first, second) - difference)).toBeLessThan(1e-4);
    expect(ciede2000(second, first)).toBeCloseTo(ciede2000(first, second), 12);
  });

  it('covers all 34 pairs', () => expect(SHARMA).toHaveLength(34));

  it('agrees with an independent colour library in the D65 space', () => {
    const oracle = differenceCiede2000();
    for (const [l1, a1, b1, l2, a2, b2] of SHARMA) {
      const other = oracle({ mode: 'lab65', l: l1, a: a1, b: b1 }, { mode: 'lab65', l: l2, a: a2, b: b2 });
      expect(ciede2000({ l: l1, a: a1, b: b1 }, { l: l2, a: a2, b: b2 })).toBeCloseTo(other, 9);
    }
  });
});

describe('srgbToLab()', () => {
  // Published CIELAB (D65) values of the sRGB primaries, to two places.
  it.each([
    [255, 255, 255, 100, 0, 0],
    [255, 0, 0, 53.24, 80.09, 67.2],
    [0, 255, 0, 87.73, -86.18, 83.18],
    [0, 0, 255, 32.3, 79.19, -107.86],
    [119, 119, 119, 50.03, 0, 0],
    [0x8b, 0x45, 0x13, 37.47, 26.44, 40.98],
    [0xb7, 0x41, 0x0e, 44.06, 45.76, 51.12],
  ])('turns %d %d %d into the published Lab', (red, green, blue, l, a, b) => {
    const lab = srgbToLab(red, green, blue);
    expect(Math.abs(lab.l - l)).toBeLessThan(0.011);
    expect(Math.abs(lab.a - a)).toBeLessThan(0.011);
    expect(Math.abs(lab.b - b)).toBeLessThan(0.011);
  });

  it('agrees with an independent colour library over the cube', () => {
    const oracle = converter('lab65');
    for (let red = 0; red <= 255; red += 51) {
      for (let green = 0; green <= 255; green += 51) {
        for (let blue = 0; blue <= 255; blue += 51) {
          const lab = srgbToLab(red, green, blue);
          const other = oracle({ mode: 'rgb', r: red / 255, g: green / 255, b: blue / 255 });
          // The library takes its white to other decimals; 0.02 Lab units is far below what an eye can tell.
          expect(Math.abs(lab.l - other.l)).toBeLessThan(0.02);
          expect(Math.abs(lab.a - other.a)).toBeLessThan(0.03);
          expect(Math.abs(lab.b - other.b)).toBeLessThan(0.03);
        }
      }
    }
  });
});

describe('labImage()', () => {
  it('stays within 0.02 of the exact conversion', () => {
    const colours: number[] = [];
    for (let i = 0; i < 3000; i++) colours.push((i * 89) % 256);
    const lab = labImage({ height: 10, width: 100, data: Uint8Array.from(colours) });
    for (let i = 0; i < 1000; i++) {
      const exact = srgbToLab(colours[i * 3]!, colours[i * 3 + 1]!, colours[i * 3 + 2]!);
      expect(Math.abs(lab.l[i]! - exact.l)).toBeLessThan(0.02);
      expect(Math.abs(lab.a[i]! - exact.a)).toBeLessThan(0.02);
      expect(Math.abs(lab.b[i]! - exact.b)).toBeLessThan(0.02);
    }
  });
});

describe('hueDegrees()', () => {
  it.each([
    [1, 0, 0],
    [0, 1, 90],
    [-1, 0, 180],
    [0, -1, 270],
    [0, 0, 0],
  ])('of a %d, b %d is %d', (a, b, degrees) => expect(hueDegrees(a, b)).toBeCloseTo(degrees, 12));
});
