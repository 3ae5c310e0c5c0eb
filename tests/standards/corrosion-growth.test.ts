import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  ATMOSPHERES,
  GROWTH_EXPONENTS,
  type GrowthMetal,
  lossAfterUm,
  yearsToLossUm,
  yearsUntil,
} from '../../src/standards/index.ts';

const metal = fc.constantFrom<GrowthMetal>('steel', 'zinc', 'copper', 'aluminium');
const rate = fc.double({ min: 0.1, max: 700, noNaN: true });
const years = fc.double({ min: 0, max: 100, noNaN: true });

describe('lossAfterUm()', () => {
  // ISO 9224:2012, D = r t^b, straight line after 20 years; verified. Pure power would give 296.2 at 30 years.
  it.each<[GrowthMetal, number, number, number, number]>([
    ['steel', 50, 10, 166.7, 0.1],
    ['zinc', 4.2, 10, 27.3, 0.05],
    ['steel', 50, 30, 302.2, 0.2],
    ['steel', 80, 20, 383.3, 0.1],
  ])('%s at %f um in the first year for %i years', (kind, first, time, wanted, tolerance) => {
    expect(Math.abs(lossAfterUm(first, time, kind) - wanted)).toBeLessThanOrEqual(tolerance);
  });

  // ISO 9224:2012 Table 3, columns of the mean exponent up to 20 years, verified.
  it.each<[GrowthMetal, number[]]>([
    ['steel', [1, 1.437, 2.32, 3.334, 4.122, 4.791]],
    ['zinc', [1, 1.757, 3.701, 6.501, 9.04, 11.422]],
    ['copper', [1, 1.588, 2.926, 4.645, 6.088, 7.375]],
    ['aluminium', [1, 1.656, 3.227, 5.346, 7.181, 8.854]],
  ])('multiplies the first year for %s as the table does', (kind, factors) => {
    [1, 2, 5, 10, 15, 20].forEach((time, n) => {
      expect(Math.abs(lossAfterUm(1, time, kind) - factors[n]!)).toBeLessThan(0.001);
    });
  });

  it('is smooth at 20 years: the line is the tangent', () => {
    const before = (lossAfterUm(50, 20, 'steel') - lossAfterUm(50, 19.999, 'steel')) / 0.001;
    const after = (lossAfterUm(50, 20.001, 'steel') - lossAfterUm(50, 20, 'steel')) / 0.001;
    expect(after).toBeCloseTo(before, 3);
  });

  it('never gives less loss for a longer time or a faster start', () => {
    fc.assert(
      fc.property(metal, rate, rate, years, years, (kind, r1, r2, t1, t2) => {
        const [slow, fast] = r1 < r2 ? [r1, r2] : [r2, r1];
        const [short, long] = t1 < t2 ? [t1, t2] : [t2, t1];
        expect(lossAfterUm(slow, long, kind)).toBeGreaterThanOrEqual(lossAfterUm(slow, short, kind));
        expect(lossAfterUm(fast, short, kind)).toBeGreaterThanOrEqual(lossAfterUm(slow, short, kind));
      }),
    );
  });

  it('has the exponents of the table (ISO 9224:2012 B1 and B2, verified)', () => {
    expect(GROWTH_EXPONENTS).toEqual({
      steel: { mean: 0.523, upper: 0.575 },
      zinc: { mean: 0.813, upper: 0.873 },
      copper: { mean: 0.667, upper: 0.726 },
      aluminium: { mean: 0.728, upper: 0.807 },
    });
  });

  it('uses the cautious exponent when asked (ISO 9224:2012 B2 of steel 0.575, verified)', () => {
    expect(lossAfterUm(50, 10, 'steel', { b: 'upper' })).toBeCloseTo(50 * 10 ** 0.575, 9);
    expect(lossAfterUm(50, 10, 'steel', { b: 1 })).toBeCloseTo(500, 9);
  });

  it('refuses negatives', () => {
    expect(() => lossAfterUm(-1, 1, 'steel')).toThrow(RangeError);
    expect(() => lossAfterUm(1, -1, 'steel')).toThrow(RangeError);
    expect(() => lossAfterUm(1, 1, 'steel', { b: 0 })).toThrow(RangeError);
  });
});

describe('yearsToLossUm()', () => {
  it('undoes lossAfterUm() on both sides of 20 years', () => {
    fc.assert(
      fc.property(metal, rate, fc.double({ min: 0.01, max: 100, noNaN: true }), (kind, first, time) => {
        const found = yearsToLossUm(first, lossAfterUm(first, time, kind), kind);
        expect(found).not.toBeNull();
        expect(Math.abs((found ?? 0) / time - 1)).toBeLessThan(1e-9);
      }),
    );
  });
  it('is 0 for no loss and null when nothing is lost in the first year', () => {
    expect(yearsToLossUm(50, 0, 'steel')).toBe(0);
    expect(yearsToLossUm(0, 10, 'steel')).toBeNull();
  });
});

describe('yearsUntil()', () => {
  it('lies between the bounds worked by hand for bare steel in C3 from nothing to 166.7 um', () => {
    // 50 um a year reaches 166.7 um in 10 years by the mean exponent, sooner by the upper one: (166.7/50)^(1/0.575) = 8.12.
    // 25 um a year has not reached it by 20 years (119.8 um); the tangent rises by 3.13 um a year: 20 + 46.9/3.13 = 35.0.
    const [low, high] = yearsUntil({ lossNowUm: 0, limitUm: 166.7, category: 'C3', metal: 'steel' });
    expect(low).toBeCloseTo(8.12, 1);
    expect(high).toBeCloseTo(35, 0);
  });

  it('is nothing once the limit is reached', () => {
    expect(yearsUntil({ lossNowUm: 300, limitUm: 300, category: 'C3', metal: 'steel' })).toEqual([0, 0]);
  });

  it('has no longest time in C1, where the lowest rate is nothing', () => {
    expect(yearsUntil({ lossNowUm: 1, limitUm: 5, category: 'C1', metal: 'steel' })[1]).toBeNull();
  });

  it('turns the mass of aluminium into depth by 2.70 g/cm3: C4 to 2 um from nothing', () => {
    // 5 g/m2 is 1.852 um in the first year: (2/1.852)^(1/0.807) = 1.10 years. 2 g/m2 is 0.741 um: (2/0.741)^(1/0.728) = 3.91.
    const [low, high] = yearsUntil({ lossNowUm: 0, limitUm: 2, category: 'C4', metal: 'aluminium' });
    expect(low).toBeCloseTo(1.1, 2);
    expect(high).toBeCloseTo(3.91, 2);
  });

  it('runs a factor faster than an open face: factor 2 on both ends is the limit halved', () => {
    const base = { lossNowUm: 0, category: 'C3', metal: 'steel' } as const;
    const fast = yearsUntil({ ...base, limitUm: 200, factor: [2, 2] });
    const half = yearsUntil({ ...base, limitUm: 100 });
    expect(fast[0]).toBeCloseTo(half[0], 9);
    expect(fast[1] ?? 0).toBeCloseTo(half[1] ?? 1, 9);
  });

  it('starts at 0 for aluminium in CX, which has no upper rate', () => {
    expect(yearsUntil({ lossNowUm: 1, limitUm: 50, category: 'CX', metal: 'aluminium' })[0]).toBe(0);
  });

  it('takes in the rate that the loss so far implies', () => {
    // 400 um in 2 years is 400/2^0.523 = 278 um in the first year, far past C3.
    const plain = yearsUntil({ lossNowUm: 400, limitUm: 600, category: 'C3', metal: 'steel' });
    const known = yearsUntil({ lossNowUm: 400, limitUm: 600, category: 'C3', metal: 'steel', yearsSoFar: 2 });
    expect(known[0]).toBeLessThan(plain[0]);
    // By the mean exponent: (600/278.4)^(1/0.523) - 2 = 2.34 years; by the upper one 2.05.
    expect(known[0]).toBeCloseTo(2.05, 1);
  });

  it('gives less time for more loss, a faster place or worse air, with and without a known age', () => {
    const loss = fc.double({ min: 1, max: 400, noNaN: true });
    const age = fc.option(fc.double({ min: 0.5, max: 40, noNaN: true }), { nil: undefined });
    const longest = (found: [number, number | null]): number => found[1] ?? Number.POSITIVE_INFINITY;
    fc.assert(
      fc.property(loss, loss, age, fc.integer({ min: 1, max: 4 }), (a, b, yearsSoFar, index) => {
        const [less, more] = a < b ? [a, b] : [b, a];
        const base = {
          limitUm: 500,
          category: ATMOSPHERES[index]!,
          metal: 'steel' as const,
          ...(yearsSoFar === undefined ? {} : { yearsSoFar }),
        };
        const early = yearsUntil({ ...base, lossNowUm: less });
        const late = yearsUntil({ ...base, lossNowUm: more });
        const slack = 1e-9;
        expect(late[0]).toBeLessThanOrEqual(early[0] * (1 + slack) + slack);
        expect(longest(late)).toBeLessThanOrEqual(longest(early) * (1 + slack) + slack);
        expect(early[0]).toBeLessThanOrEqual(longest(early));
        const crevice = yearsUntil({ ...base, lossNowUm: less, factor: [1, 3] });
        expect(crevice[0]).toBeLessThanOrEqual(early[0] * (1 + slack) + slack);
        const worse = yearsUntil({ ...base, lossNowUm: less, category: ATMOSPHERES[index + 1]! });
        expect(worse[0]).toBeLessThanOrEqual(early[0] * (1 + slack) + slack);
      }),
      { numRuns: 300 },
    );
  });

  it('refuses factors out of order and an age of nothing', () => {
    const base = { lossNowUm: 1, limitUm: 5, category: 'C3', metal: 'steel' } as const;
    expect(() => yearsUntil({ ...base, factor: [3, 1] })).toThrow(RangeError);
    expect(() => yearsUntil({ ...base, yearsSoFar: 0 })).toThrow(RangeError);
  });
});
