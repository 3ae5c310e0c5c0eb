import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exp, ln, log10, pow } from '../../src/standards/index.ts';

/** Largest allowed difference as a share of the value. */
const CLOSE = 1e-13;

function expectClose(found: number, wanted: number): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(CLOSE * Math.abs(wanted));
}

describe('exp()', () => {
  it('gives e for 1 and 1 for 0', () => {
    expect(exp(0)).toBe(1);
    expectClose(exp(1), Math.E);
    expectClose(exp(-1), 0.36787944117144233);
  });

  it('agrees with the engine’s own to 1e-13 over the whole range', () => {
    fc.assert(
      fc.property(fc.double({ min: -700, max: 700, noNaN: true }), (x) => expectClose(exp(x), Math.exp(x))),
      { numRuns: 2000 },
    );
  });

  it('ends in 0 and Infinity and refuses what is no number', () => {
    expect(exp(-746)).toBe(0);
    expect(exp(710)).toBe(Number.POSITIVE_INFINITY);
    expect(exp(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(() => exp(Number.NaN)).toThrow(RangeError);
  });
});

describe('ln()', () => {
  it('gives the constants ln 2 and ln 10', () => {
    expect(ln(1)).toBe(0);
    expectClose(ln(2), Math.LN2);
    expectClose(ln(10), Math.LN10);
  });

  it('agrees with the engine’s own to 1e-13 over the whole range', () => {
    fc.assert(
      fc.property(fc.double({ min: Number.MIN_VALUE, max: Number.MAX_VALUE, noNaN: true }), (x) =>
        expectClose(ln(x), Math.log(x)),
      ),
      { numRuns: 2000 },
    );
  });

  it('keeps its accuracy close to 1, where the value is small', () => {
    for (const tiny of [1e-3, 1e-6, 1e-9]) {
      const x = 1 + tiny;
      expectClose(ln(x), Math.log1p(x - 1));
    }
  });

  it('refuses 0, negatives and Infinity', () => {
    for (const x of [0, -1, Number.POSITIVE_INFINITY, Number.NaN]) expect(() => ln(x)).toThrow(RangeError);
  });
});

describe('log10()', () => {
  it('gives the power of ten', () => {
    expectClose(log10(1000), 3);
    expectClose(log10(0.001), -3);
  });
});

describe('pow()', () => {
  it('multiplies whole powers out, so that they are exact', () => {
    expect(pow(3, 4)).toBe(81);
    expect(pow(10, 0)).toBe(1);
    expect(pow(0.5, 3)).toBe(0.125);
  });

  it('agrees with the engine’s own to 1e-13', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
        fc.double({ min: -10, max: 10, noNaN: true }),
        (base, exponent) => expectClose(pow(base, exponent), base ** exponent),
      ),
      { numRuns: 2000 },
    );
  });

  it('refuses a negative base and 0 to the power 0 or less', () => {
    expect(pow(0, 0.5)).toBe(0);
    expect(() => pow(-1, 2)).toThrow(RangeError);
    expect(() => pow(0, 0)).toThrow(RangeError);
    expect(() => pow(0, -1)).toThrow(RangeError);
  });
});
