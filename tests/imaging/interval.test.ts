import { describe, expect, it } from 'vitest';
import { areaInterval, binomialInterval, type CalibrationPhoto, fitInterval } from '../../src/imaging/index.ts';
import { noise } from '../make-image.ts';

const OPTIONS = { coverage: 0.9, floorFraction: 0.003, baseDoubt: 1 };

/** A map without doubts of its own. */
const sureOf = (fraction: number) => ({ fraction, sureFraction: fraction, possibleFraction: fraction });

/** Photos of one scene: the scene shifts all its errors alike, as real places do. */
function scene(name: number, count: number): CalibrationPhoto[] {
  const uniform = (i: number, seed: number) => (noise(name * 1000 + i, seed, 100_000) + 0.5) / 100_000;
  const bell = (i: number, seed: number) =>
    [1, 2, 3, 4, 5, 6].reduce((sum, k) => sum + uniform(i, seed * 10 + k), -3) * Math.SQRT2;
  const shift = 0.25 * bell(-1, 7);
  return Array.from({ length: count }, (_, i) => {
    const trueFraction = 0.002 + 0.3 * uniform(i, 1) ** 3;
    const predictedFraction = Math.max(0, (trueFraction + 0.003) * Math.exp(shift + 0.4 * bell(i, 2)) - 0.003);
    return { group: `scene-${name}`, trueFraction, measured: sureOf(predictedFraction) };
  });
}

describe('fitInterval()', () => {
  /** Mean share of fresh photos inside, over many fits from so many known scenes. */
  function coverage(scenes: number): number {
    const shares: number[] = [];
    for (let trial = 0; trial < 40; trial++) {
      const known = Array.from({ length: scenes }, (_, n) => scene(trial * 100 + n, 30)).flat();
      const model = fitInterval(known, OPTIONS);
      const fresh = Array.from({ length: 10 }, (_, n) => scene(trial * 100 + 80 + n, 20)).flat();
      const inside = fresh.filter(({ trueFraction, measured }) => {
        const { low, high } = areaInterval(measured, model);
        return low <= trueFraction && trueFraction <= high;
      });
      shares.push(inside.length / fresh.length);
    }
    return shares.reduce((sum, share) => sum + share, 0) / shares.length;
  }

  it('covers nine in ten photos of scenes it never saw, in the mean over many fits', () => {
    expect(coverage(60)).toBeGreaterThan(0.88);
    expect(coverage(60)).toBeLessThan(0.92);
  });

  it('falls short by a few points when it knows only a dozen scenes, as its docstring says', () => {
    expect(coverage(12)).toBeGreaterThan(0.85);
    expect(coverage(12)).toBeLessThan(0.9);
  });

  it('weighs every scene the same', () => {
    const exact = (group: string, factor: number, count: number) =>
      Array.from({ length: count }, () => ({ group, trueFraction: 0.1 * factor, measured: sureOf(0.1) }));
    // A thousand good photos of one place must not hide that two other places are off by a factor 3.
    const model = fitInterval([...exact('a', 1, 1000), ...exact('b', 3, 10), ...exact('c', 3, 10)], OPTIONS);
    expect(areaInterval(sureOf(0.1), model).high).toBeCloseTo(0.3, 2);
  });

  it('counts the error of a weaker network by as much less', () => {
    // All truths are four times the prediction (the floor aside); twice as large errors count as a factor 2.
    const photos = Array.from({ length: 40 }, (_, i) => ({
      group: `scene-${i % 4}`,
      trueFraction: 4 * (0.1 + 0.003) - 0.003,
      measured: sureOf(0.1),
      weakness: 2,
    }));
    expect(fitInterval(photos, OPTIONS).bands[0]!.high).toBeCloseTo(Math.log(2), 12);
  });

  it('refuses a handful of photos', () => expect(() => fitInterval(scene(1, 19), OPTIONS)).toThrow(RangeError));

  it('widens by the stated factor on the logarithm', () => {
    const photos = [scene(1, 30), scene(2, 30)].flat();
    const plain = fitInterval(photos, OPTIONS).bands[0]!;
    const wide = fitInterval(photos, { ...OPTIONS, widen: 1.5 }).bands[0]!;
    expect(wide.high).toBeCloseTo(1.5 * plain.high, 12);
    expect(wide.low).toBeCloseTo(1.5 * plain.low, 12);
  });
});

describe('areaInterval()', () => {
  const model = {
    floorFraction: 0.003,
    baseDoubt: 1,
    bands: [{ fromFraction: 0, low: Math.log(2), high: Math.log(2) }],
  };

  it('holds the measured share and stays between nothing and all', () => {
    for (const fraction of [0, 0.0001, 0.01, 0.5, 0.9, 1]) {
      const { low, high } = areaInterval(sureOf(fraction), model);
      expect(low).toBeLessThanOrEqual(fraction);
      expect(high).toBeGreaterThanOrEqual(fraction);
      expect(low).toBeGreaterThanOrEqual(0);
      expect(high).toBeLessThanOrEqual(1);
    }
  });

  it('multiplies and divides by the factor beyond the floor', () => {
    // By hand: (0.097 + 0.003) x 2 - 0.003 = 0.197, and / 2 gives 0.047.
    expect(areaInterval(sureOf(0.097), model).high).toBeCloseTo(0.197, 12);
    expect(areaInterval(sureOf(0.097), model).low).toBeCloseTo(0.047, 12);
  });
});

describe('the doubt of a map', () => {
  it('widens the interval on the logarithm', () => {
    // By hand: sure of 0.047, possible 0.197: doubt 1 + ln(0.2 / 0.05) = 2.386; 0.1 x 2^2.386 - 0.003 = 0.520.
    const model = { floorFraction: 0.003, baseDoubt: 1, bands: [{ fromFraction: 0, low: 0, high: Math.log(2) }] };
    const doubtful = { fraction: 0.097, sureFraction: 0.047, possibleFraction: 0.197 };
    expect(areaInterval(doubtful, model).high).toBeCloseTo(0.1 * 2 ** (1 + Math.log(4)) - 0.003, 12);
  });

  it('covers sure and doubtful photos alike where errors grow with doubt, and no longer when it is left out', () => {
    const photos = (from: number, count: number, baseDoubt: number): CalibrationPhoto[] =>
      Array.from({ length: count }, (_, i) => {
        const error = (noise(from + i, 3, 1000) - noise(from + i, 4, 1000)) / 2000;
        const spread = i % 2 === 0 ? 0.5 : 3;
        return {
          group: `scene-${i % 40}`,
          trueFraction: 0.1 * Math.exp(error * (baseDoubt + spread)),
          measured: {
            fraction: 0.1,
            sureFraction: 0.1 * Math.exp(-spread / 2),
            possibleFraction: 0.1 * Math.exp(spread / 2),
          },
        };
      });
    const shares = (forgetsDoubt: boolean) => {
      const options = { coverage: 0.9, floorFraction: 0, baseDoubt: 0.5 };
      const seen = (photo: CalibrationPhoto) => (forgetsDoubt ? { ...photo, measured: sureOf(0.1) } : photo);
      const model = fitInterval(photos(0, 2000, 0.5).map(seen), options);
      const held = photos(50_000, 2000, 0.5)
        .map(seen)
        .map(({ measured, trueFraction }) => {
          const { low, high } = areaInterval(measured, model);
          return low <= trueFraction && trueFraction <= high ? 1 : 0;
        });
      const share = (odd: number) => held.reduce<number>((sum, hit, i) => sum + (i % 2 === odd ? hit : 0), 0) / 1000;
      return [share(0), share(1)] as const;
    };
    const [sure, doubtful] = shares(false);
    expect(Math.abs(sure - 0.9)).toBeLessThan(0.03);
    expect(Math.abs(doubtful - 0.9)).toBeLessThan(0.03);
    const [stillSure, tooNarrow] = shares(true);
    expect(stillSure - tooNarrow).toBeGreaterThan(0.1);
  });
});

describe('binomialInterval()', () => {
  // Clopper-Pearson 95 % for 9 of 10 and 90 of 100, as in common tables; 0 of 10 is 1 - 0.025^(1/10).
  it.each([
    [9, 10, 0.555, 0.9975],
    [90, 100, 0.8238, 0.951],
    [0, 10, 0, 1 - 0.025 ** 0.1],
  ])('%d of %d', (hits, count, low, high) => {
    expect(binomialInterval(hits, count).low).toBeCloseTo(low, 3);
    expect(binomialInterval(hits, count).high).toBeCloseTo(high, 3);
  });
});
