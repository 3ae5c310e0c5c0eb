import { describe, expect, it } from 'vitest';
import {
  correctByTaps,
  countInside,
  hintFeatures,
  type Plane,
  partByTaps,
  resizePlane,
} from '../../src/imaging/index.ts';
import { noise, picture } from '../make-image.ts';
import { imagingSettings } from './settings.ts';

const { hints: reach } = imagingSettings();
const SIZE = { height: 120, width: 160 };
/** Left third rust, middle third red-oxide primer, right third grey paint. */
const bands = picture(480, 640, (row, col) => {
  const n = noise(row, col, 12);
  if (col < 213) return [110 + n, 60 + n, 30 + n];
  return col < 426 ? [140 + n, 60 + n, 52 + n] : [120 + n, 124 + n, 128 + n];
});
const band = (col: number) => (col < 53 ? 0 : col < 107 ? 1 : 2);
const features = hintFeatures(bands, SIZE, { reach });
const flat = (value: number): Plane => ({ ...SIZE, data: new Float32Array(SIZE.height * SIZE.width).fill(value) });
/** Share of each band above zero. */
function shares(plane: Plane): number[] {
  const yes = [0, 0, 0];
  const all = [0, 0, 0];
  for (const [i, value] of plane.data.entries()) {
    all[band(i % SIZE.width)]!++;
    if (value > 0) yes[band(i % SIZE.width)]!++;
  }
  return yes.map((count, n) => count / all[n]!);
}

describe('correctByTaps()', () => {
  it('takes paint that was called rust back with one tap and leaves the rust', () => {
    const start: Plane = { ...SIZE, data: flat(0).data.map((_, i) => (band(i % SIZE.width) === 1 ? -3 : 1)) };
    expect(shares(start)).toEqual([1, 0, 1]);
    const after = shares(correctByTaps(start, features, [{ row: 60, col: 134, yes: false }]));
    expect(after[0]).toBeGreaterThan(0.95);
    expect(after[1]).toBe(0);
    expect(after[2]).toBeLessThan(0.1);
  });

  it('adds rust that was missed with one tap and leaves the paint', () => {
    const after = shares(correctByTaps(flat(-1), features, [{ row: 60, col: 20, yes: true }]));
    expect(after[0]).toBeGreaterThan(0.9);
    expect(after[2]).toBe(0);
  });

  it('changes nothing without taps, or where a tap agrees', () => {
    const start = flat(5);
    expect(correctByTaps(start, features, []).data).toEqual(start.data);
    expect(correctByTaps(start, features, [{ row: 1, col: 1, yes: true }]).data).toEqual(start.data);
  });

  it('does not depend on the order of the taps', () => {
    const taps = [
      { row: 60, col: 20, yes: true },
      { row: 60, col: 80, yes: false },
      { row: 20, col: 140, yes: false },
    ];
    const first = correctByTaps(flat(0.2), features, taps);
    const second = correctByTaps(flat(0.2), features, [...taps].reverse());
    for (let i = 0; i < first.data.length; i += 97) expect(second.data[i]).toBeCloseTo(first.data[i]!, 4);
  });

  it('survives two taps on one pixel that contradict', () => {
    const both = [true, false].map((yes) => ({ row: 60, col: 20, yes }));
    expect(correctByTaps(flat(0), features, both).data.every(Number.isFinite)).toBe(true);
  });

  it('refuses a tap outside the map', () => {
    expect(() => correctByTaps(flat(0), features, [{ row: 120, col: 0, yes: true }])).toThrow(RangeError);
  });

  it('re-fits six taps within 50 ms on a 640-pixel picture, network features and all', () => {
    const network = {
      channels: 32,
      ...SIZE,
      data: Float32Array.from({ length: 32 * 19_200 }, (_, i) => noise(i, 3, 100)),
    };
    const taps = Array.from({ length: 6 }, (_, i) => ({ row: 10 + i * 15, col: 10 + i * 20, yes: i % 2 === 0 }));
    const once = () => {
      const start = performance.now();
      resizePlane(correctByTaps(flat(0), hintFeatures(bands, SIZE, { reach, network }), taps), {
        height: 480,
        width: 640,
      });
      return performance.now() - start;
    };
    // The quickest of several: a busy machine can only make it slower.
    expect(Math.min(...Array.from({ length: 40 }, once))).toBeLessThan(50);
  });
});

describe('partByTaps()', () => {
  it('finds a band from a tap on it and one beside it', () => {
    const part = partByTaps(features, [
      { row: 60, col: 140, yes: true },
      { row: 60, col: 80, yes: false },
    ]);
    // By hand: the grey band is 53 of 160 columns wide.
    expect(countInside(part) / (53 * 120)).toBeGreaterThan(0.9);
    expect(countInside(part) / (53 * 120)).toBeLessThan(1.1);
  });

  it('wants a tap on the part', () => {
    expect(() => partByTaps(features, [{ row: 1, col: 1, yes: false }])).toThrow(/no tap says "part"/);
  });
});
