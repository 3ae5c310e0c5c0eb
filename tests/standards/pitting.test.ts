import { describe, expect, it } from 'vitest';
import { pitLeft, pitRatingG46, pittingFactor, readPitRatingG46 } from '../../src/standards/index.ts';

describe('readPitRatingG46()', () => {
  it('reads A-3, B-2, C-3 (ASTM G46 Fig. 2, from memory)', () => {
    expect(readPitRatingG46('A-3,B-2,C-3')).toEqual({ densityPerM2: 50_000, openingMm2: 2, depthMm: 1.6 });
    expect(readPitRatingG46('A-3, B-2, C-3')).toEqual(readPitRatingG46('A-3,B-2,C-3'));
  });
  it('reads every column of the chart (ASTM G46 Fig. 2, from memory)', () => {
    const rows = [
      [2500, 0.5, 0.4],
      [10_000, 2, 0.8],
      [50_000, 8, 1.6],
      [100_000, 12.5, 3.2],
      [500_000, 24.5, 6.4],
    ];
    rows.forEach(([densityPerM2, openingMm2, depthMm], n) => {
      expect(readPitRatingG46(`A-${n + 1}, B-${n + 1}, C-${n + 1}`)).toEqual({ densityPerM2, openingMm2, depthMm });
    });
  });
  it('gives null for anything else', () => {
    expect(readPitRatingG46('A-6, B-2, C-3')).toBeNull();
    expect(readPitRatingG46('B-2, A-3, C-3')).toBeNull();
    expect(readPitRatingG46('')).toBeNull();
  });
});

describe('pitRatingG46()', () => {
  it('takes the column that is not lighter than the pits', () => {
    expect(pitRatingG46({ densityPerM2: 50_000, openingMm2: 2, depthMm: 1.6 })).toBe('A-3, B-2, C-3');
    expect(pitRatingG46({ densityPerM2: 10_001, openingMm2: 0.1, depthMm: 9 })).toBe('A-3, B-1, C-5');
  });
  it('refuses negatives', () => {
    expect(() => pitRatingG46({ densityPerM2: -1, openingMm2: 1, depthMm: 1 })).toThrow(RangeError);
  });
});

describe('pittingFactor()', () => {
  it('is deepest over average: 0.8 over 0.2 mm is 4 (ASTM G46 definition, computed)', () => {
    expect(pittingFactor(0.8, 0.2)).toBeCloseTo(4, 9);
  });
  it('is 1 for even corrosion and null without an average', () => {
    expect(pittingFactor(0.3, 0.3)).toBe(1);
    expect(pittingFactor(0.3, 0)).toBeNull();
  });
  it('refuses a deepest pit under the average', () => expect(() => pittingFactor(0.1, 0.2)).toThrow(RangeError));
});

describe('pitLeft()', () => {
  it('finds 3.0 mm down to 2.0 below 70 % (IACS UR Z10.5 8.2.1, verified)', () => {
    const found = pitLeft(3, 2);
    expect(found.leftFraction).toBeCloseTo(0.667, 3);
    expect(found.isEnough).toBe(false);
  });
  it('finds 3.0 mm down to 2.2 enough', () => expect(pitLeft(3, 2.2).isEnough).toBe(true));
  it('refuses more left than there was', () => expect(() => pitLeft(3, 3.1)).toThrow(RangeError));
});
