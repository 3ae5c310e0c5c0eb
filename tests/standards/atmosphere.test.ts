import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ATMOSPHERES,
  categoryFromLoss,
  firstYearAluminiumGm2,
  firstYearLossUm,
  type ThinningMetal,
  zincLifeYears,
} from '../../src/standards/index.ts';

const METALS: readonly ThinningMetal[] = ['steel', 'zinc', 'copper'];

describe('categoryFromLoss()', () => {
  // ISO 9223:2012 Table 2; steel and zinc verified, copper from memory. The limit belongs to the milder category.
  it.each<[ThinningMetal, number, string]>([
    ['steel', 1.3, 'C1'],
    ['steel', 25, 'C2'],
    ['steel', 30, 'C3'],
    ['steel', 80, 'C4'],
    ['steel', 200, 'C5'],
    ['steel', 700, 'CX'],
    ['steel', 701, 'above CX'],
    ['zinc', 3, 'C4'],
    ['zinc', 8.4, 'C5'],
    ['zinc', 26, 'above CX'],
    ['copper', 0.6, 'C2'],
  ])('%s losing %f um is %s', (metal, um, category) => expect(categoryFromLoss(metal, um)).toBe(category));

  it('never gives a milder category for more loss', () => {
    const rank = (metal: ThinningMetal, um: number): number => {
      const category = categoryFromLoss(metal, um);
      return category === 'above CX' ? 6 : ATMOSPHERES.indexOf(category);
    };
    const loss = fc.double({ min: 0, max: 800, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...METALS), loss, loss, (metal, a, b) => {
        expect(rank(metal, Math.max(a, b))).toBeGreaterThanOrEqual(rank(metal, Math.min(a, b)));
      }),
    );
  });

  it('refuses a negative loss', () => expect(() => categoryFromLoss('steel', -1)).toThrow(RangeError));
});

describe('firstYearLossUm()', () => {
  it('gives the two limits of a category (ISO 9223:2012 Table 2, verified)', () => {
    expect(firstYearLossUm('C1', 'steel')).toEqual([0, 1.3]);
    expect(firstYearLossUm('C3', 'steel')).toEqual([25, 50]);
    expect(firstYearLossUm('CX', 'zinc')).toEqual([8.4, 25]);
  });

  // ISO 9223:2012 Table 2, upper limits C1 to CX in um; steel and zinc verified, copper from memory.
  it.each<[ThinningMetal, number[]]>([
    ['steel', [1.3, 25, 50, 80, 200, 700]],
    ['zinc', [0.1, 0.7, 2.1, 4.2, 8.4, 25]],
    ['copper', [0.1, 0.6, 1.3, 2.8, 5.6, 10]],
  ])('has the limits of %s', (metal, limits) => {
    expect(ATMOSPHERES.map((category) => firstYearLossUm(category, metal)[1])).toEqual(limits);
  });

  it('goes both ways: the high end of each category is in it, the low end in the milder one', () => {
    for (const metal of METALS) {
      ATMOSPHERES.forEach((category, index) => {
        const [low, high] = firstYearLossUm(category, metal);
        expect(categoryFromLoss(metal, high)).toBe(category);
        if (index > 0) expect(categoryFromLoss(metal, low)).toBe(ATMOSPHERES[index - 1]);
      });
    }
  });
});

describe('firstYearAluminiumGm2()', () => {
  it('is open above in CX (ISO 9223:2012 Table 2, from memory)', () => {
    expect(ATMOSPHERES.map((category) => firstYearAluminiumGm2(category))).toEqual([
      [0, 0],
      [0, 0.6],
      [0.6, 2],
      [2, 5],
      [5, 10],
      [10, null],
    ]);
  });
});

describe('zincLifeYears()', () => {
  it('gives 1.9 to 3.8 years for 8 um in C4 (8/4.2 to 8/2.1, computed)', () => {
    const [low, high] = zincLifeYears(8, 'C4');
    expect(low).toBeCloseTo(1.9, 1);
    expect(high).toBeCloseTo(3.8, 1);
  });
  it('has no longest life in C1', () => expect(zincLifeYears(8, 'C1')).toEqual([80, null]));
});
