import { describe, expect, it } from 'vitest';
import { type Corner, closerWindow, cutWindow, layWindow } from '../../src/imaging/index.ts';

const LIMITS = { margin: 0.1, enlargeTo: 2 };
const box = (left: number, top: number, right: number, bottom: number): Corner[] => [
  [left, top],
  [right, top],
  [right, bottom],
  [left, bottom],
];

describe('closerWindow()', () => {
  const photo = { height: 3000, width: 4000 };
  const image = { height: 384, width: 512 };

  it('leaves the margin round the outline, counted on its longer side', () => {
    // By hand: 2500 x 1500 of the photo are 320 x 192 of the picture; 32 more on each side: 384 x 256, from 64 and 64.
    expect(closerWindow(box(750, 750, 3250, 2250), photo, image, LIMITS)).toEqual({
      left: 64,
      top: 64,
      width: 384,
      height: 256,
    });
  });

  it('never enlarges a small part beyond the limit', () => {
    const window = closerWindow(box(1990, 1490, 2010, 1510), photo, image, LIMITS)!;
    expect(window).toEqual({ left: 128, top: 96, width: 256, height: 192 });
  });

  it('stays inside the picture beside a part in a corner', () => {
    expect(closerWindow(box(0, 0, 100, 100), photo, image, LIMITS)).toMatchObject({ left: 0, top: 0 });
    expect(closerWindow(box(3900, 2900, 4000, 3000), photo, image, LIMITS)).toMatchObject({ left: 256, top: 192 });
  });

  it('is nothing where the part fills the picture or nothing may be enlarged', () => {
    expect(closerWindow(box(100, 100, 3900, 2900), photo, image, LIMITS)).toBeNull();
    expect(closerWindow(box(1990, 1490, 2010, 1510), photo, image, { margin: 0.1, enlargeTo: 1 })).toBeNull();
  });
});

describe('cutWindow() and layWindow()', () => {
  it('cut the pixels of the window', () => {
    const image = { height: 2, width: 3, data: Uint8Array.from({ length: 18 }, (_, i) => i) };
    expect([...cutWindow(image, { top: 1, left: 1, height: 1, width: 2 }).data]).toEqual([12, 13, 14, 15, 16, 17]);
  });

  it('lay what was seen where the window was, and no rust elsewhere', () => {
    // Three pixels of the map to eight of the picture.
    const window = { top: 0, left: 8, height: 8, width: 8 };
    const values = [1, 2, 3, 4, 5, 6, 7, 8, 9];
    const seen = {
      logits: { height: 3, width: 3, data: Float32Array.from(values) },
      features: {
        channels: 2,
        height: 3,
        width: 3,
        data: Float32Array.from([...values, ...values.map((v) => 10 * v)]),
      },
    };
    const { logits, features } = layWindow(seen, window, { height: 16, width: 16 });
    expect([logits.height, logits.width, features!.channels]).toEqual([6, 6, 2]);
    const no = Array<number>(18).fill(-6);
    expect([...logits.data]).toEqual([-6, -6, -6, 1, 2, 3, -6, -6, -6, 4, 5, 6, -6, -6, -6, 7, 8, 9, ...no]);
    const second = [0, 0, 0, 10, 20, 30, 0, 0, 0, 40, 50, 60, 0, 0, 0, 70, 80, 90, ...Array<number>(18).fill(0)];
    expect([...features!.data.subarray(36)]).toEqual(second);
  });
});
