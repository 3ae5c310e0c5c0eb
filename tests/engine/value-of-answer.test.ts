import fc from 'fast-check';
import jStat from 'jstat';
import { describe, expect, test } from 'vitest';
import { bestLookSet, valueOfAnswer } from '../../src/engine/index.ts';
import { minutesOf } from '../../src/engine/look-set.ts';

describe('valueOfAnswer()', () => {
  test('agrees with the closed form for two actions and a normal prior', () => {
    // H. Raiffa, R. Schlaifer, Applied Statistical Decision Theory (1961), ch. 5: the loss of the act chosen now is linear in
    // the state, so the value of knowing it is s * (phi(m/s) - (m/s) * Phi(-m/s)).
    const mean = 0.5;
    const spread = 2;
    const n = 200;
    const cells = Array.from({ length: n }, (_, i) => {
      const x = mean + spread * jStat.normal.inv((i + 0.5) / n, 0, 1);
      return { group: i, count: 100, costs: [0, x] };
    });
    const u = mean / spread;
    const exact = spread * (jStat.normal.pdf(u, 0, 1) - u * jStat.normal.cdf(-u, 0, 1));
    const { value, standardError } = valueOfAnswer(cells, n, 50);
    expect(Math.abs(value - exact)).toBeLessThan(0.01 * exact);
    expect(standardError).toBeLessThan(exact / 50);
  });

  test('is zero when no answer changes the choice', () => {
    expect(
      valueOfAnswer(
        [
          { group: 0, count: 500, costs: [1, 2] },
          { group: 1, count: 500, costs: [1, 3] },
        ],
        2,
        50,
      ).value,
    ).toBe(0);
  });

  test('joins a small group to its neighbour', () => {
    // 40 draws alone would change the choice; joined to 960 they do not: (960 x 1 + 40 x 9) / 1000 = 1.32 against 2.
    const cells = [
      { group: 0, count: 960, costs: [1, 2] },
      { group: 1, count: 40, costs: [9, 2] },
    ];
    expect(valueOfAnswer(cells, 2, 50).value).toBe(0);
    expect(valueOfAnswer(cells, 2, 10).value).toBeCloseTo(0.28, 9);
  });
});

describe('bestLookSet()', () => {
  test('takes the pair that shares a set-up before the better single look', () => {
    const candidates = [
      { minutes: 5, setup: 0 },
      { minutes: 5, setup: 0 },
      { minutes: 12, setup: -1 },
    ];
    const values = [8, 8, 9];
    const worth = (set: number) => values.reduce((sum, value, i) => sum + (set & (1 << i) ? value : 0), 0);
    // 5 + 5 + 8 shared = 18 minutes for 16; the third alone is 12 minutes for 9; 20 minutes do not hold both.
    expect(minutesOf(0b011, candidates, [8])).toBe(18);
    expect(bestLookSet(candidates, [8], 20, worth, 0.1).set).toBe(0b011);
  });

  test('equals a search over every set that is written another way, for up to 12 looks that share set-ups', () => {
    const looks = fc.array(
      fc.record({
        minutes: fc.integer({ min: 1, max: 20 }),
        setup: fc.integer({ min: -1, max: 2 }),
        value: fc.integer({ min: 0, max: 30 }),
      }),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(looks, fc.tuple(fc.nat(25), fc.nat(25), fc.nat(25)), fc.nat(120), (all, setups, minutes) => {
        // Answers overlap: the second of two looks that share a set-up is worth half.
        const worth = (chosen: typeof all) => {
          const seen = new Set<number>();
          return chosen.reduce((sum, { setup, value }) => {
            const isSecond = setup >= 0 && seen.has(setup);
            seen.add(setup);
            return sum + (isSecond ? value / 2 : value);
          }, 0);
        };
        let most = 0;
        const tryAll = (chosen: typeof all, rest: typeof all): void => {
          const [next, ...others] = rest;
          if (next !== undefined) {
            tryAll(chosen, others);
            tryAll([...chosen, next], others);
            return;
          }
          const shared = new Set(chosen.map((look) => look.setup).filter((setup) => setup >= 0));
          const spent =
            chosen.reduce((sum, look) => sum + look.minutes, 0) + [...shared].reduce((sum, i) => sum + setups[i]!, 0);
          if (spent <= minutes) most = Math.max(most, worth(chosen) - spent / 4);
        };
        tryAll([], all);
        const bits = (set: number) => all.filter((_, i) => set & (1 << i));
        const found = bestLookSet(all, setups, minutes, (set) => worth(bits(set)), 0.25);
        expect(found.net).toBeCloseTo(most, 6);
        expect(minutesOf(found.set, all, setups)).toBeLessThanOrEqual(minutes);
      }),
      { numRuns: 40 },
    );
  });
});
