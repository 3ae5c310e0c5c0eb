import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Assessment, Component } from '../../shared/index.ts';
import { prepare, score } from '../../src/engine/index.ts';
import { bucketsOf, fillByRow, fillStream, rowsOf, thresholds, valueAt } from '../../src/engine/streams.ts';
import { roundOdds } from '../../src/engine/verdict.ts';
import { yearsUntil } from '../../src/standards/index.ts';
import { assessmentOf, rubric, TODAY } from './real.ts';

const DRAWS = 400;

function outOf(part: Partial<Component>, rest: Partial<Assessment> = {}) {
  const component: Component = { id: 'part', name: 'Part', kind: 'brake-pipe', stage: 'cleaned', ...part };
  return score(rubric, assessmentOf([component], rest), { seed: 3, draws: DRAWS }).components[0]!;
}

const pipe = (wallMm: number, properties: Component['properties'] = {}): Partial<Component> => ({
  kind: 'brake-pipe',
  properties,
  observations: [{ check: 'wall-gone', value: wallMm, date: TODAY }],
});

describe('roundOdds()', () => {
  test('gives three places that add to 1', () => {
    fc.assert(
      fc.property(fc.tuple(fc.nat(2000), fc.nat(2000), fc.integer({ min: 1, max: 2000 })), ([a, b, c]) => {
        const sum = a + b + c;
        const odds = roundOdds({ reuse: a / sum, refinish: b / sum, replace: c / sum });
        const thousandths = [odds.reuse, odds.refinish, odds.replace].map((p) => Math.round(p * 1000));
        expect(thousandths.reduce((x, y) => x + y, 0)).toBe(1000);
        [a, b, c].forEach((share, i) => {
          expect(Math.abs(thousandths[i]! / 1000 - share / sum)).toBeLessThan(0.001);
        });
      }),
    );
  });

  test('gives what is left over to the largest remainder', () => {
    // 333.33, 333.33, 333.33: one thousandth is over, and of equals the one that keeps most of the part has it.
    expect(roundOdds({ reuse: 1 / 3, refinish: 1 / 3, replace: 1 / 3 })).toEqual({
      reuse: 0.334,
      refinish: 0.333,
      replace: 0.333,
    });
    // 416.5 and 583.5 both round up by themselves, to 1.001.
    expect(roundOdds({ reuse: 0, refinish: 0.4165, replace: 0.5835 })).toEqual({
      reuse: 0,
      refinish: 0.417,
      replace: 0.583,
    });
  });
});

describe('bucketsOf()', () => {
  test('draws what the thresholds draw', () => {
    const uniform = new Uint32Array(500);
    fillStream(uniform, 1, 'buckets');
    uniform.set([0, 4294967295]);
    const chances = fc.array(fc.nat(64), { minLength: 2, maxLength: 12 }).filter((all) => all.some((p) => p > 0));
    fc.assert(
      fc.property(chances, (weights) => {
        const limits = thresholds(weights);
        const drawn = new Uint8Array(uniform.length);
        fillByRow(drawn, uniform, rowsOf([weights]));
        expect(bucketsOf(limits)).toHaveLength(256);
        expect([...drawn]).toEqual(Array.from(uniform, (u) => valueAt(u, limits)));
      }),
    );
  });
});

describe('years until the limit', () => {
  // ISO 9223 Table 2 and ISO 9224 through `yearsUntil`; the pipe's limit is a third of 0.71 mm.
  const expected = (metal: 'steel' | 'copper', lossUm: number) =>
    yearsUntil({ lossNowUm: lossUm, limitUm: 236.7, factor: [0.8, 3], category: 'C4', metal })[0];

  test('go by steel for a steel pipe and by copper for one of copper-nickel', () => {
    const steel = outOf(pipe(0.1, { tube: 'steel' }), { atmosphere: 'C4' }).yearsLeft!;
    const copper = outOf(pipe(0.1, { tube: 'copper-nickel' }), { atmosphere: 'C4' }).yearsLeft!;
    expect(steel.low).toBeCloseTo(expected('steel', 100), 6);
    expect(copper.low).toBeCloseTo(Math.min(100, expected('copper', 100)), 6);
    expect(copper.low).toBeGreaterThan(steel.low);
  });

  test('go by steel, the faster, where nobody has said what the pipe is', () => {
    const unknown = outOf(pipe(0.1), { atmosphere: 'C4' }).yearsLeft!;
    expect(unknown.low).toBeCloseTo(expected('steel', 100), 6);
  });

  test('go by the published rate of aluminium for an alloy seat', () => {
    const seat = outOf({
      kind: 'light-alloy-plate',
      stage: 'bare',
      properties: { alloy: '6082', temper: 'T6' },
      observations: [{ check: 'seat-pit', value: 0.4, date: TODAY }],
    }).yearsLeft!;
    const [low] = yearsUntil({ lossNowUm: 400, limitUm: 2000, factor: [8, 20], category: 'C2', metal: 'aluminium' });
    expect(seat.low).toBeCloseTo(Math.min(100, low), 6);
  });

  test('past the limit today bar the part once, and are not paid for again as a failure to come', () => {
    const component: Component = { id: 'part', name: 'Part', stage: 'cleaned', ...pipe(0.3) } as Component;
    const { c } = prepare(rubric, assessmentOf([component]), { seed: 3, draws: DRAWS }).parts[0]!.groups[0]!;
    expect(c.failsLater).toBe(0);
  });
});

describe('a part that nobody supplies', () => {
  test('costs the price, days and misfit of the settings', () => {
    const { unlistedSupply, noSupplyMultiple } = rubric.settings;
    const out = outOf({ kind: 'brake-pipe', supplies: [] });
    const option = out.options.find(({ supply }) => supply === 'no-supply-known')!;
    const dearest = rubric.kinds
      .find(({ id }) => id === 'brake-pipe')!
      .supplies.reduce((most, { price }) => Math.max(most, price[1]), unlistedSupply.price[1]);
    expect(option.money.usual).toBeCloseTo(dearest * noSupplyMultiple.value, 2);
    expect(option.leadDays.high).toBe(unlistedSupply.leadDays[2]);
  });
});

describe('a coat on a thread without a figure', () => {
  const bolts = (thread: string) =>
    outOf(
      {
        kind: 'threaded-fastener',
        count: 12,
        stage: 'off',
        properties: { thread, class: 'S', duty: 'bracket' },
        supplies: [
          {
            id: 'dear',
            type: 'new',
            price: [400, 500, 600],
            leadDays: [5, 10, 20],
            misfit: 0,
            from: 'own-judgement',
          },
        ],
        observations: rubric.kinds
          .find(({ id }) => id === 'threaded-fastener')!
          .checks.map(({ id, answer }) => ({
            check: id,
            value: answer.type === 'choice' ? answer.options[0]!.id : id === 'plating' ? 4 : 0,
            stage: 'bare' as const,
            date: TODAY,
          })),
      },
      { wantedFinish: 'smart', batchesGoing: ['zinc'] },
    );
  const unchecked = (thread: string) => bolts(thread).cautions.filter(({ id }) => id === 'method.thread-fit-unchecked');

  test('is said not to have been checked for a Whitworth thread, and is checked for a metric one', () => {
    expect(bolts('3/8-20 BSF').verdict.action).toBe('refinish');
    expect(unchecked('3/8-20 BSF').map(({ text }) => text)[0]).toContain('3/8-20 BSF has was not checked');
    expect(bolts('M10').verdict.action).toBe('refinish');
    expect(unchecked('M10')).toEqual([]);
  });
});
