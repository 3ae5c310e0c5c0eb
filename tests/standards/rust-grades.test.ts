import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  gradesFromPercent,
  ratingIso10289,
  ratingIso10289Formula,
  rustGradeD610,
  rustGradeD610Label,
  rustGradeIso4628,
} from '../../src/standards/index.ts';

const percent = fc.double({ min: 0, max: 100, noNaN: true });

describe('rustGradeD610()', () => {
  // ASTM D610-08(2012) Table 1, verified; the limit belongs to the better grade.
  it.each([
    [0, 10],
    [0.01, 10],
    [0.011, 9],
    [0.03, 9],
    [0.1, 8],
    [0.3, 7],
    [0.301, 6],
    [1, 6],
    [3, 5],
    [3.01, 4],
    [10, 4],
    [16, 3],
    [33, 2],
    [50, 1],
    [50.1, 0],
    [100, 0],
  ])('%f %% is grade %i', (area, grade) => expect(rustGradeD610(area)).toBe(grade));

  it('has exactly these limits: a hair above each is one grade worse', () => {
    [0.01, 0.03, 0.1, 0.3, 1, 3, 10, 16, 33, 50].forEach((limit, n) => {
      expect(rustGradeD610(limit)).toBe(10 - n);
      expect(rustGradeD610(limit * 1.0001)).toBe(9 - n);
    });
  });

  it('never gives a better grade for more rust', () => {
    fc.assert(
      fc.property(percent, percent, (a, b) => {
        expect(rustGradeD610(Math.max(a, b))).toBeLessThanOrEqual(rustGradeD610(Math.min(a, b)));
      }),
    );
  });

  it('refuses what is no percentage', () => {
    for (const bad of [-0.1, 100.1, Number.NaN]) expect(() => rustGradeD610(bad)).toThrow(RangeError);
  });
});

describe('rustGradeD610Label()', () => {
  // ASTM D610-08(2012) Table 1, verified: grades 10 and 0 take no letter.
  it('writes the letter of the spread', () => expect(rustGradeD610Label(0.3, 'P')).toBe('7-P'));
  it('leaves the letter off grades 10 and 0', () => {
    expect(rustGradeD610Label(0.005, 'S')).toBe('10');
    expect(rustGradeD610Label(60, 'G')).toBe('0');
  });
  it('gives the bare grade without a type', () => expect(rustGradeD610Label(5)).toBe('4'));
});

describe('rustGradeIso4628()', () => {
  // ISO 4628-3 Table 1 as reprinted, verified: the pictures show 0, 0.05, 0.5, 1, 8 and 40 to 50 %.
  it.each<[number, string[]]>([
    [0, ['Ri 0']],
    [0.01, ['Ri 0', 'Ri 1']],
    [0.05, ['Ri 1']],
    [0.3, ['Ri 1', 'Ri 2']],
    [0.5, ['Ri 2']],
    [0.7, ['Ri 2', 'Ri 3']],
    [1, ['Ri 3']],
    [5, ['Ri 3', 'Ri 4']],
    [8, ['Ri 4']],
    [20, ['Ri 4', 'Ri 5']],
    [40, ['Ri 5']],
    [45, ['Ri 5']],
    [50, ['Ri 5']],
    [80, ['Ri 5']],
  ])('%f %% lies on or between %j', (area, names) => expect(rustGradeIso4628(area)).toEqual(names));

  it('never gives a better name for more rust', () => {
    const worst = (area: number): number => Number(rustGradeIso4628(area).at(-1)?.slice(3));
    fc.assert(
      fc.property(percent, percent, (a, b) => {
        expect(worst(Math.max(a, b))).toBeGreaterThanOrEqual(worst(Math.min(a, b)));
      }),
    );
  });

  it('refuses what is no percentage', () => expect(() => rustGradeIso4628(101)).toThrow(RangeError));
});

describe('ratingIso10289()', () => {
  // ISO 10289 Table 1: rows 10 to 6 verified, 5 to 0 from memory. The rounded formula gives 9 at 0.11 and 8 at 0.3.
  it.each([
    [0, 10],
    [0.03, 9],
    [0.1, 9],
    [0.11, 8],
    [0.25, 8],
    [0.3, 7],
    [0.5, 7],
    [1, 6],
    [2.5, 5],
    [5, 4],
    [10, 3],
    [25, 2],
    [50, 1],
    [60, 0],
  ])('%f %% is rated %i', (area, rating) => expect(ratingIso10289(area)).toBe(rating));

  it('has exactly these limits: a hair above each is one rating worse', () => {
    expect(ratingIso10289(1e-9)).toBe(9);
    [0.1, 0.25, 0.5, 1, 2.5, 5, 10, 25, 50].forEach((limit, n) => {
      expect(ratingIso10289(limit)).toBe(9 - n);
      expect(ratingIso10289(limit * 1.0001)).toBe(8 - n);
    });
  });

  it('never gives a better rating for more corrosion', () => {
    fc.assert(
      fc.property(percent, percent, (a, b) => {
        expect(ratingIso10289(Math.max(a, b))).toBeLessThanOrEqual(ratingIso10289(Math.min(a, b)));
      }),
    );
  });
});

describe('ratingIso10289Formula()', () => {
  // R = 3 (2 - log10 A), computed; the figures of the table's limits beside it.
  it.each([
    [0.1, 9, 9],
    [0.25, 7.81, 2],
    [0.5, 6.9, 2],
    [1, 6, 9],
    [10, 3, 9],
    [0.0464159, 10, 4],
    [0.11, 8.88, 2],
    [0.03, 10.57, 2],
    [100, 0, 9],
  ])('%f %% gives %f', (area, rating, places) => expect(ratingIso10289Formula(area)).toBeCloseTo(rating, places));

  it('is 10 for no corrosion', () => expect(ratingIso10289Formula(0)).toBe(10));
});

describe('gradesFromPercent()', () => {
  it('keeps the percentage beside the grades', () => {
    expect(gradesFromPercent(0.3)).toEqual({ percent: 0.3, iso4628_3: ['Ri 1', 'Ri 2'], astmD610: 7, iso10289: 7 });
  });
});
