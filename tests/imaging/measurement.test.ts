import { describe, expect, it } from 'vitest';
import {
  differenceHash,
  groupOf,
  hashDistance,
  measurePhoto,
  requestFault,
  resizePlane,
  rustFraction,
  scaledAreas,
} from '../../src/imaging/index.ts';
import { mask, noise, picture, rustyPanel } from '../make-image.ts';
import { imagingSettings } from './settings.ts';

const limits = imagingSettings();
const panel = rustyPanel(480, 640, 120);
const original = { height: 2400, width: 3200 };
/** Drawn disc: radius 120 of 480 x 640 pixels. */
const DISC = (Math.PI * 120 * 120) / (480 * 640);

describe('measurePhoto()', () => {
  it('measures the drawn disc by colour', () => {
    const found = measurePhoto({ image: panel, original, logits: null }, limits);
    // The rule looks at means of 3 x 3 pixels: a third of a pixel round the rim is 2 %.
    expect(Math.abs(found.area!.fraction / DISC - 1)).toBeLessThan(0.02);
    expect(found).toMatchObject({ assessed: 'whole-frame', method: 'colour', partFraction: 1 });
    expect(found.spots).toMatchObject({ count: 1, spread: 'spot' });
  });

  it('counts the part only, when it is outlined', () => {
    // Outline in pixels of the photo as taken: the box round the disc, 240 of 480 x 640 pixels at the analysis size.
    const outline: [number, number][] = [
      [1000, 600],
      [2200, 600],
      [2200, 1800],
      [1000, 1800],
    ];
    const found = measurePhoto({ image: panel, original, logits: null, outline }, limits);
    expect(found.assessed).toBe('outline');
    expect(Math.abs(found.area!.fraction / (Math.PI / 4) - 1)).toBeLessThan(0.02);
    expect(found.partFraction).toBeCloseTo((240 * 240) / (480 * 640), 3);
  });

  it("cuts the network's log-odds at zero at the analysis size", () => {
    const logits = {
      height: 120,
      width: 160,
      data: Float32Array.from({ length: 19_200 }, (_, i) => (i % 160 < 40 ? 2 : -2)),
    };
    const found = measurePhoto({ image: panel, original, logits }, limits);
    expect(found.method).toBe('model');
    expect(found.area!.fraction).toBeCloseTo(0.25, 2);
  });

  it('follows taps and says so', () => {
    const taps = [{ x: 1600, y: 1200, is: 'not-rust' as const }];
    const found = measurePhoto({ image: panel, original, logits: null, taps }, limits);
    expect(found.method).toBe('corrected');
    expect(found.area!.fraction).toBeLessThan(DISC / 5);
    expect(found.corrections).toBe(1);
  });

  it('counts no tap that only repeats what the map says', () => {
    const taps = [
      { x: 1600, y: 1200, is: 'rust' as const },
      { x: 10, y: 10, is: 'not-rust' as const },
    ];
    const found = measurePhoto({ image: panel, original, logits: null, taps }, limits);
    expect([found.method, found.corrections]).toEqual(['corrected', 0]);
  });

  it('finds the part by taps', () => {
    const taps = [
      { x: 1600, y: 1200, is: 'part' as const },
      { x: 200, y: 200, is: 'not-part' as const },
    ];
    const found = measurePhoto({ image: panel, original, logits: null, taps }, limits);
    expect(found.assessed).toBe('outline');
    expect(found.partFraction / DISC).toBeCloseTo(1, 1);
    expect(found.area!.fraction).toBeGreaterThan(0.9);
  });

  it('gives no fraction for a part without a pixel', () => {
    const outline: [number, number][] = [
      [10, 10],
      [11, 10],
      [10, 11],
    ];
    expect(measurePhoto({ image: panel, original, logits: null, outline }, limits).area).toBeNull();
  });

  it('is the same for the same input', () => {
    const once = () => measurePhoto({ image: panel, original, logits: null }, limits);
    expect(once()).toEqual(once());
  });
});

describe('requestFault()', () => {
  const tap = (is: 'rust' | 'part' | 'not-part', x = 5) => ({ x, y: 5, is });
  it.each([
    [{ taps: [tap('rust', 3200)] }, 'hints', 'at tap 1'],
    [{ taps: [tap('rust'), tap('rust', Number.NaN)] }, 'hints', 'at tap 2'],
    [{ taps: [tap('not-part')] }, 'hints', 'at least one tap "part"'],
    [
      {
        taps: [tap('part')],
        outline: [
          [0, 0],
          [9, 0],
          [0, 9],
        ] as [number, number][],
      },
      'hints',
      'found both',
    ],
    [{ outline: [[0, 0]] as [number, number][] }, 'outline', 'at least 3'],
  ])('%j', (request, code, words) => {
    expect(requestFault(request, original)).toMatchObject({ code, message: expect.stringContaining(words) });
  });
  it('lets good ones pass', () => expect(requestFault({ taps: [tap('rust'), tap('part')] }, original)).toBeNull());
});

describe('rustFraction()', () => {
  it('counts inside the part', () => expect(rustFraction(mask('1100'), mask('0111'))).toBeCloseTo(1 / 3, 12));
  it('is null without a part', () => expect(rustFraction(mask('11'), mask('00'))).toBeNull());
  it('refuses masks of different size', () => expect(() => rustFraction(mask('11'), mask('1'))).toThrow(RangeError));
});

describe('scaledAreas()', () => {
  it('turns a known length into square centimetres', () => {
    // By hand: 400 px = 100 mm is 0.25 mm a pixel; half of 1000 x 2000 px is 1,000,000 px x 0.0625 mm2 = 625 cm2.
    const areas = scaledAreas(0.5, 0.1, { height: 1000, width: 2000, lengthPx: 400, lengthMm: 100 });
    expect(areas).toEqual({ partCm2: 625, rustCm2: 62.5 });
  });
  it('does not depend on the resolution', () => {
    const at = (k: number) =>
      scaledAreas(0.5, 0.1, { height: 100 * k, width: 200 * k, lengthPx: 40 * k, lengthMm: 10 });
    expect(at(1).partCm2).toBeCloseTo(at(7).partCm2, 9);
  });
  it('refuses a length of nothing', () => {
    expect(() => scaledAreas(1, 1, { height: 1, width: 1, lengthPx: 0, lengthMm: 1 })).toThrow(RangeError);
  });
});

describe('groupOf()', () => {
  const at = (hash: string, takenAt: number | null, group: number) => ({ hash, takenAt, group });
  const same = 'ffffffffffffffff';
  const near = 'ffffffffffffff00'; // 8 bits away
  it('joins copies whatever the time, bursts when near in time, and nothing else', () => {
    expect(groupOf({ hash: same, takenAt: null }, [at(same, 0, 1)], limits.duplicates)).toBe(1);
    expect(groupOf({ hash: near, takenAt: 3000 }, [at(same, 0, 1)], limits.duplicates)).toBe(1);
    expect(groupOf({ hash: near, takenAt: 60_000 }, [at(same, 0, 1)], limits.duplicates)).toBe(2);
    expect(groupOf({ hash: near, takenAt: null }, [at(same, 0, 1)], limits.duplicates)).toBe(2);
    expect(groupOf({ hash: '0000000000000000', takenAt: 0 }, [at(same, 0, 1)], limits.duplicates)).toBe(2);
    expect(groupOf({ hash: same, takenAt: null }, [], limits.duplicates)).toBe(1);
  });

  it('tells a brighter copy from another picture', () => {
    const scene = (seed: number, lift: number) =>
      picture(96, 128, (row, col) => {
        const v = 60 + 12 * noise(row >> 4, col >> 4, 10, seed) + noise(row, col, 5, lift) + lift;
        return [v, v, v];
      });
    const first = differenceHash(scene(1, 0));
    expect(hashDistance(first, differenceHash(scene(1, 20)))).toBeLessThanOrEqual(limits.duplicates.sameBits);
    expect(hashDistance(first, differenceHash(scene(2, 0)))).toBeGreaterThan(limits.duplicates.burstBits);
  });
});

describe('resizePlane()', () => {
  it('interpolates between pixel centres', () => {
    const doubled = resizePlane({ height: 1, width: 2, data: Float32Array.of(0, 4) }, { height: 1, width: 4 });
    expect(Array.from(doubled.data)).toEqual([0, 1, 3, 4]);
  });
});
