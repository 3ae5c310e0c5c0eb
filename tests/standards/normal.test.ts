import fc from 'fast-check';
import jstat from 'jstat';
import { cumulativeStdNormalProbability, probit } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { normalCdf, normalQuantile } from '../../src/standards/index.ts';

function expectClose(found: number, wanted: number, share: number): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(share * Math.abs(wanted));
}

describe('normalCdf()', () => {
  // Abramowitz and Stegun, Handbook of Mathematical Functions, Table 26.1 (from memory) and the usual tail values.
  it.each([
    [0, 0.5],
    [1, 0.841344746068543],
    [2, 0.977249868051821],
    [3, 0.99865010196837],
    [-1, 0.158655253931457],
    [-3, 0.00134989803163],
    [-5, 2.866515718791939e-7],
    [-10, 7.619853024160527e-24],
  ])('Phi(%f) = %f', (z, wanted) => expectClose(normalCdf(z), wanted, 1e-11));

  it('agrees with jstat and simple-statistics', () => {
    for (let z = -6; z <= 6; z += 0.37) {
      expect(Math.abs(normalCdf(z) - jstat.normal.cdf(z, 0, 1))).toBeLessThan(1e-9);
      // simple-statistics prints its table to four places.
      expect(Math.abs(normalCdf(z) - cumulativeStdNormalProbability(z))).toBeLessThan(1e-3);
    }
  });

  it('never falls as z grows, and its two sides add up to 1', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -9, max: 9, noNaN: true }),
        fc.double({ min: 1e-3, max: 3, noNaN: true }),
        (z, step) => {
          expect(normalCdf(z + step)).toBeGreaterThanOrEqual(normalCdf(z));
          expect(normalCdf(z) + normalCdf(-z)).toBeCloseTo(1, 13);
        },
      ),
    );
  });

  it('joins without a step where the method changes, at 3', () => {
    expectClose(normalCdf(-3.0000000001), normalCdf(-2.9999999999), 1e-9);
    expect(normalCdf(-3.0000000001)).toBeLessThan(normalCdf(-2.9999999999));
  });

  it('ends in 0 and 1 and refuses what is no number', () => {
    expect(normalCdf(-40)).toBe(0);
    expect(normalCdf(40)).toBe(1);
    expect(() => normalCdf(Number.NaN)).toThrow(RangeError);
  });
});

describe('normalQuantile()', () => {
  // Wichura 1988, Applied Statistics 37, prints the values of 0.25, 0.001 and 1e-20 as its test data; the rest are usual table values.
  it.each([
    [0.25, -0.6744897501960817],
    [0.001, -3.090232306167814],
    [1e-20, -9.262340089798409],
    [0.9, 1.2815515655446004],
    [0.975, 1.959963984540054],
    [0.8, 0.8416212335729143],
  ])('z(%f) = %f', (p, wanted) => expectClose(normalQuantile(p), wanted, 1e-14));

  it('gives 0 at one half', () => expect(normalQuantile(0.5)).toBe(0));

  it('agrees with jstat and simple-statistics', () => {
    for (let p = 0.001; p < 1; p += 0.0137) {
      expect(Math.abs(normalQuantile(p) - jstat.normal.inv(p, 0, 1))).toBeLessThan(1e-7);
      // simple-statistics uses Winitzki's short formula, good to about 4e-3 of the value.
      expectClose(probit(p), normalQuantile(p), 5e-3);
    }
  });

  it('undoes normalCdf()', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-12, max: 0.9999, noNaN: true }), (p) =>
        expectClose(normalCdf(normalQuantile(p)), p, 1e-11),
      ),
      { numRuns: 1000 },
    );
  });

  it('refuses 0, 1 and beyond', () => {
    for (const p of [0, 1, -0.1, 1.1, Number.NaN]) expect(() => normalQuantile(p)).toThrow(RangeError);
  });
});
