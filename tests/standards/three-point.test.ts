import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { logNormalAt, logNormalMean, logNormalQuantile, Z_90 } from '../../src/standards/index.ts';

/** The mean by Simpson's rule over the density, from the words of the definition and the engine's own functions. */
function meanByIntegration(low: number, usual: number, high: number): number {
  const z90 = 1.2815515655446004;
  const value = (z: number): number => usual * (z < 0 ? usual / low : high / usual) ** (z / z90);
  const density = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
  // Each side by itself, since the slope breaks at the middle.
  const side = (from: number, to: number): number => {
    const steps = 4000;
    const width = (to - from) / steps;
    let sum = 0;
    for (let n = 0; n <= steps; n += 1) {
      const z = from + n * width;
      sum += (n === 0 || n === steps ? 1 : n % 2 === 1 ? 4 : 2) * value(z) * density(z);
    }
    return (sum * width) / 3;
  };
  return side(-12, 0) + side(0, 16);
}

const threePoint = fc
  .tuple(
    fc.double({ min: 0.01, max: 1e5, noNaN: true }),
    fc.double({ min: 1, max: 5, noNaN: true }),
    fc.double({ min: 1, max: 5, noNaN: true }),
  )
  .map(([low, up, further]): [number, number, number] => [low, low * up, low * up * further]);

describe('logNormalMean()', () => {
  it('gives 3.00 for 1, 2, 6 (worked example of the design, computed)', () => {
    expect(logNormalMean(1, 2, 6)).toBeCloseTo(3.0, 2);
  });

  it('agrees with numerical integration', () => {
    fc.assert(
      fc.property(threePoint, ([low, usual, high]) => {
        const wanted = meanByIntegration(low, usual, high);
        expect(Math.abs(logNormalMean(low, usual, high) - wanted)).toBeLessThan(1e-8 * wanted);
      }),
      { numRuns: 60 },
    );
  });

  it('is the plain log-normal mean m exp(s^2/2) when both sides spread alike (any handbook of statistics)', () => {
    const s = Math.log(3) / Z_90;
    expect(logNormalMean(10 / 3, 10, 30)).toBeCloseTo(10 * Math.exp((s * s) / 2), 9);
  });

  it('is the value itself when all three agree, and 0 for all zero', () => {
    expect(logNormalMean(7, 7, 7)).toBe(7);
    expect(logNormalMean(0, 0, 0)).toBe(0);
  });

  it('rises with each of the three', () => {
    fc.assert(
      fc.property(threePoint, ([low, usual, high]) => {
        expect(logNormalMean(low, usual, high * 1.1)).toBeGreaterThan(logNormalMean(low, usual, high));
        expect(logNormalMean(low * 0.9, usual, high)).toBeLessThan(logNormalMean(low, usual, high));
      }),
    );
  });

  it('refuses figures out of order, and zero beside a figure', () => {
    expect(() => logNormalMean(2, 1, 3)).toThrow(RangeError);
    expect(() => logNormalMean(1, 4, 3)).toThrow(RangeError);
    expect(() => logNormalMean(0, 1, 2)).toThrow(RangeError);
    expect(() => logNormalMean(-1, -1, -1)).toThrow(RangeError);
    expect(() => logNormalMean(1, 2, Number.POSITIVE_INFINITY)).toThrow(RangeError);
  });
});

describe('logNormalQuantile()', () => {
  it('gives back low, usual and high at 10, 50 and 90 %', () => {
    fc.assert(
      fc.property(threePoint, ([low, usual, high]) => {
        expect(Math.abs(logNormalQuantile(low, usual, high, 0.1) / low - 1)).toBeLessThan(1e-12);
        expect(logNormalQuantile(low, usual, high, 0.5)).toBe(usual);
        expect(Math.abs(logNormalQuantile(low, usual, high, 0.9) / high - 1)).toBeLessThan(1e-12);
      }),
    );
  });

  it('never falls as the chance grows', () => {
    fc.assert(
      fc.property(
        threePoint,
        fc.double({ min: 0.001, max: 0.999, noNaN: true }),
        fc.double({ min: 0.001, max: 0.999, noNaN: true }),
        ([low, usual, high], p, q) => {
          const [less, more] = p < q ? [p, q] : [q, p];
          expect(logNormalQuantile(low, usual, high, less)).toBeLessThanOrEqual(
            logNormalQuantile(low, usual, high, more),
          );
        },
      ),
    );
  });

  it('stands still when all three agree', () => {
    expect(logNormalQuantile(5, 5, 5, 0.01)).toBe(5);
    expect(logNormalQuantile(0, 0, 0, 0.99)).toBe(0);
    expect(logNormalAt(4, 4, 4, 3)).toBe(4);
  });

  it('refuses a chance of 0 or 1', () => {
    expect(() => logNormalQuantile(1, 2, 3, 0)).toThrow(RangeError);
    expect(() => logNormalQuantile(1, 2, 3, 1)).toThrow(RangeError);
  });
});
