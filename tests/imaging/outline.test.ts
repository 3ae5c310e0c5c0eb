import { describe, expect, it } from 'vitest';
import {
  type Corner,
  countInside,
  findCrossing,
  outlineArea,
  outlineFault,
  rasteriseOutline,
} from '../../src/imaging/index.ts';

const SIZE = { height: 100, width: 200 };
const square: Corner[] = [
  [10, 10],
  [30, 10],
  [30, 30],
  [10, 30],
];

describe('outlineFault()', () => {
  it('accepts an outline either way round, and one along the frame', () => {
    expect(outlineFault(square, SIZE)).toBeNull();
    expect(outlineFault([...square].reverse(), SIZE)).toBeNull();
    expect(
      outlineFault(
        [
          [0, 0],
          [200, 0],
          [200, 100],
          [0, 100],
        ],
        SIZE,
      ),
    ).toBeNull();
  });

  it.each([
    [
      'two corners',
      [
        [0, 0],
        [10, 10],
      ],
      'at least 3 corners',
    ],
    [
      'a bow tie',
      [
        [0, 0],
        [50, 50],
        [50, 0],
        [0, 50],
      ],
      'side 1 crossing side 3',
    ],
    [
      'a corner outside',
      [
        [0, 0],
        [201, 0],
        [0, 50],
      ],
      'found [201, 0] at corner 2',
    ],
    [
      'a corner above',
      [
        [0, -1],
        [50, 0],
        [0, 50],
      ],
      'at corner 1',
    ],
    [
      'no number',
      [
        [0, Number.NaN],
        [50, 0],
        [0, 50],
      ],
      'wanted numbers',
    ],
    [
      'a line',
      [
        [0, 0],
        [50, 0],
        [25, 0],
      ],
      'cross',
    ],
    [
      'a corner on another side',
      [
        [0, 0],
        [50, 0],
        [50, 50],
        [25, 0],
        [0, 50],
      ],
      'crossing',
    ],
  ] as [string, Corner[], string][])('names %s', (_what, corners, words) => {
    expect(outlineFault(corners, SIZE)).toContain(words);
  });

  it('finds no crossing in a star-shaped outline of many corners', () => {
    const star = Array.from({ length: 200 }, (_, i): Corner => {
      const reach = i % 2 === 0 ? 45 : 20;
      return [100 + reach * Math.cos((i * Math.PI) / 100), 50 + reach * Math.sin((i * Math.PI) / 100)];
    });
    expect(findCrossing(star)).toBeNull();
  });
});

describe('rasteriseOutline()', () => {
  it('holds exactly the pixels whose centres lie inside', () => {
    // By hand: a square of 20 x 20 pixels on whole coordinates.
    expect(countInside(rasteriseOutline(square, SIZE, SIZE))).toBe(400);
    expect(outlineArea(square)).toBe(400);
  });

  it('scales to another size of the same frame', () => {
    expect(countInside(rasteriseOutline(square, SIZE, { height: 50, width: 100 }))).toBe(100);
    expect(countInside(rasteriseOutline(square, SIZE, { height: 200, width: 400 }))).toBe(1600);
  });

  it('leaves the inside of a notch out', () => {
    const notched: Corner[] = [
      [0, 0],
      [40, 0],
      [40, 40],
      [20, 20],
      [0, 40],
    ];
    const mask = rasteriseOutline(notched, SIZE, SIZE);
    // By hand: 40 x 40 less a triangle with base 40 and height 20; centres on the edges make the difference.
    expect(Math.abs(countInside(mask) - 1200)).toBeLessThanOrEqual(20);
    expect(mask.data[35 * 200 + 20]).toBe(0);
    expect(mask.data[10 * 200 + 20]).toBe(1);
  });

  it('is empty for a sliver between pixel centres', () => {
    expect(
      countInside(
        rasteriseOutline(
          [
            [1.1, 1.1],
            [1.3, 1.1],
            [1.2, 1.4],
          ],
          SIZE,
          SIZE,
        ),
      ),
    ).toBe(0);
  });
});
