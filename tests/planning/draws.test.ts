import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { meanOf } from '../../src/engine/index.ts';
import { at, figureOf } from '../../src/planning/figure.ts';
import { meanOfDraws, pointsOf, quantile, quantilesOf, sorted, varianceOf } from '../../src/planning/quantiles.ts';
import { scoresOf, timesHappened, uniformsOf } from '../../src/planning/scores.ts';
import { logNormalAt, logNormalQuantile } from '../../src/standards/index.ts';

const DRAWS = 20_000;

describe('a three-point figure', () => {
  // Log-normal halves of 1, 2, 6 integrated with the density of jStat, midpoint rule: an independent computation of 3.00.
  it('1, 2, 6 has mean 3.00 by numerical integration with jStat, not the 2.50 of the schoolbook formula', () => {
    const spread = (a: number, b: number) => Math.log(b / a) / 1.2815515655446004;
    let mean = 0;
    const step = 0.001;
    for (let z = -8 + step / 2; z < 8; z += step) {
      const value = 2 * Math.exp(z * (z < 0 ? spread(1, 2) : spread(2, 6)));
      mean += value * jstat.normal.pdf(z, 0, 1) * step;
    }
    expect(mean).toBeCloseTo(3.0, 2);
    expect(meanOf([1, 2, 6])).toBeCloseTo(mean, 6);
    expect((1 + 4 * 2 + 6) / 6).toBe(2.5);
  });

  it('is read at scores as the standards read it, to 1e-12 of itself', () => {
    const figure = figureOf([1, 2, 6]);
    for (let z = -6; z <= 6; z += 0.37) {
      const wanted = logNormalAt(1, 2, 6, z);
      expect(Math.abs(at(figure, z) - wanted)).toBeLessThan(1e-12 * wanted);
    }
    expect(at(figureOf([0, 0, 0]), 1)).toBe(0);
    expect(at(figureOf([5, 5, 5]), 2)).toBe(5);
  });

  it('has quantiles in the draws where the standards put them', () => {
    const figure = figureOf([1, 2, 6]);
    const values = scoresOf(3, 'test', DRAWS).map((z) => at(figure, z));
    for (const p of [0.1, 0.5, 0.8, 0.9]) {
      const wanted = logNormalQuantile(1, 2, 6, p);
      // Share of the draws under it, with four standard errors of a binomial share.
      const under = values.filter((v) => v <= wanted).length / DRAWS;
      expect(Math.abs(under - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / DRAWS));
    }
  });
});

describe('sums of draws', () => {
  // Sum of n equal lines with correlation r: spread times sqrt(1 + (n - 1) r) of the independent sum's.
  // n = 30, r = 0.2: sqrt(6.8) = 2.608 (variance of a sum, any textbook of statistics).
  it('of 30 lines with correlation 0.2 spreads 2.6 times as far as of independent lines', () => {
    const common = scoresOf(5, 'common', DRAWS);
    const independent = new Float64Array(DRAWS);
    const together = new Float64Array(DRAWS);
    for (let line = 0; line < 30; line++) {
      const own = scoresOf(5, `line-${line}`, DRAWS);
      for (let d = 0; d < DRAWS; d++) {
        independent[d]! += own[d]!;
        together[d]! += Math.sqrt(0.2) * common[d]! + Math.sqrt(0.8) * own[d]!;
      }
    }
    const spread = (values: Float64Array) => Math.sqrt(varianceOf(values, meanOfDraws(values)));
    expect(spread(together) / spread(independent)).toBeCloseTo(Math.sqrt(1 + 29 * 0.2), 1);
    expect(Math.sqrt(1 + 29 * 0.2)).toBeCloseTo(2.6, 1);
  });

  // Sum of independent normals: mean 10 + 20 + 30 = 60, variance 1 + 4 + 4 = 9; quantiles 60 + 3 z, z from jStat.
  it('of three normals has the percentiles of the analytic sum within sampling error', () => {
    const lines = [
      [10, 1],
      [20, 2],
      [30, 2],
    ] as const;
    const sum = new Float64Array(DRAWS);
    lines.forEach(([mean, deviation], i) => {
      const scores = scoresOf(11, `normal-${i}`, DRAWS);
      for (let d = 0; d < DRAWS; d++) sum[d]! += mean + deviation * scores[d]!;
    });
    const rising = sorted(sum);
    for (const p of [0.1, 0.5, 0.8]) {
      const z = jstat.normal.inv(p, 0, 1);
      // Standard error of a quantile: sqrt(p (1 - p) / n) over the density there.
      const error = Math.sqrt((p * (1 - p)) / DRAWS) / (jstat.normal.pdf(z, 0, 1) / 3);
      expect(Math.abs(quantile(rising, p) - (60 + 3 * z))).toBeLessThan(4 * error);
    }
  });

  it('give the same percentiles without sorting', () => {
    for (const n of [1, 2, 7, 1000, 5000]) {
      const values = scoresOf(n, 'any', n).map((z) => Math.round(z * 20) || 0);
      const rising = sorted(values);
      expect(pointsOf(values, [0.9, 0.8, 0.5, 0.1])).toEqual([0.9, 0.8, 0.5, 0.1].map((p) => quantile(rising, p)));
    }
    expect(quantilesOf(Float64Array.from({ length: 10 }, (_, k) => k + 1))).toEqual({ p10: 1, p50: 5, p80: 8 });
  });
});

describe('timesHappened()', () => {
  // Binomial distribution by jStat: 4 tries at 0.3.
  it('follows the binomial distribution', () => {
    const counts = [0, 0, 0, 0, 0];
    const u = uniformsOf(2, 'binomial', DRAWS);
    for (let d = 0; d < DRAWS; d++) counts[timesHappened(u[d]!, 4, 0.3)]!++;
    counts.forEach((count, k) => {
      const p = jstat.binomial.pdf(k, 4, 0.3);
      expect(Math.abs(count / DRAWS - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / DRAWS));
    });
    expect(timesHappened(0.5, 3, 0)).toBe(0);
    expect(timesHappened(0.5, 3, 1)).toBe(3);
  });
});
