import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Assessment, ScoreOut, Supply, ThreePoint } from '../../shared/index.ts';
import { prepare, readd, reweigh, type Setting, score } from '../../src/engine/index.ts';
import { demo, rubric } from './real.ts';

const OPTIONS = { seed: 5, draws: 400 };
const base = demo();
const perBase = rubric.prices.exchange.find((entry) => entry.currency === base.currency)?.perBase ?? 1;

const times = (supply: Supply, factor: number): Supply => ({
  ...supply,
  price: supply.price.map((p) => p * factor) as ThreePoint,
});

/** The assessment with the sliders written into it. */
function changed(assessment: Assessment, setting: Setting): Assessment {
  const { own, shop, wantedFinish, priceFactors } = setting;
  return {
    ...assessment,
    wantedFinish: wantedFinish ?? assessment.wantedFinish,
    rates: { ...assessment.rates, ...(own === undefined ? {} : { own }), ...(shop === undefined ? {} : { shop }) },
    components: assessment.components.map((component) => {
      const factor = priceFactors?.get(component.id);
      if (factor === undefined) return component;
      const listed = rubric.kinds.find((kind) => kind.id === component.kind)!.supplies;
      const today = component.supplies ?? listed.map((supply) => times(supply, perBase));
      return { ...component, supplies: today.map((supply) => times(supply, factor)) };
    }),
  };
}

// A part that nobody supplies has no list that could be changed.
const priced = base.components.filter((component) => component.supplies?.length !== 0).map(({ id }) => id);

const setting: fc.Arbitrary<Setting> = fc.record(
  {
    own: fc.double({ min: 0, max: 90, noNaN: true }),
    shop: fc.tuple(
      fc.double({ min: 20, max: 40, noNaN: true }),
      fc.double({ min: 40, max: 80, noNaN: true }),
      fc.double({ min: 80, max: 160, noNaN: true }),
    ),
    wantedFinish: fc.constantFrom('serviceable' as const, 'smart' as const, 'show' as const),
    priceFactors: fc
      .uniqueArray(fc.tuple(fc.constantFrom(...priced), fc.double({ min: 0.05, max: 8, noNaN: true })), {
        selector: ([id]) => id,
        maxLength: 12,
      })
      .map((pairs) => new Map(pairs)),
  },
  { requiredKeys: [] },
);

const addedUp = (out: ScoreOut) =>
  out.components.map(({ id, verdict, options, atStake }) => ({
    id,
    action: verdict.action,
    spare: verdict.spare,
    counts: verdict.counts ?? null,
    expectedCosts: options.map((option) => option.expectedCost),
    atStake,
  }));

const weighed = (out: ScoreOut) =>
  out.components.map(({ id, verdict: { firmness, odds, hedge, ifClear } }) => ({ id, firmness, odds, hedge, ifClear }));

const sorted = <T extends { id: string }>(rows: readonly T[]) => [...rows].sort((a, b) => (a.id < b.id ? -1 : 1));

describe.each(['own', 'shop'] as const)('readd() and reweigh(), work done by %s', (labour) => {
  const assessment = { ...base, rates: { ...base.rates, labour } };
  const job = prepare(rubric, assessment, OPTIONS);

  test('give what score() gives for the assessment with the sliders written into it', () => {
    fc.assert(
      fc.property(setting, (sliders) => {
        const out = score(rubric, changed(assessment, sliders), OPTIONS);
        const { parts, totals } = readd(job, sliders);
        expect(parts.map(({ option: _, ifClear: __, money: ___, hours: ____, ...rest }) => rest)).toEqual(addedUp(out));
        expect(totals).toEqual(out.totals);
        expect(sorted(reweigh(job, sliders))).toEqual(sorted(weighed(out)));
      }),
      { numRuns: 12 },
    );
  });
});

describe('readd()', () => {
  const job = prepare(rubric, base, OPTIONS);

  test('names the option taken with the money and hours that score() writes for it', () => {
    const out = score(rubric, base, OPTIONS);
    for (const { id, option, money, hours } of readd(job, {}).parts) {
      const written = out.components.find((c) => c.id === id)!.options.find((o) => o.id === option)!;
      expect({ money, hours }).toEqual({ money: written.money, hours: written.hours });
    }
  });

  test('makes replacing dearer by the price that was added, and nothing else cheaper', () => {
    const id = 'arm-left';
    const before = readd(job, {}).parts.find((part) => part.id === id)!;
    const after = readd(job, { priceFactors: new Map([[id, 2]]) }).parts.find((part) => part.id === id)!;
    after.expectedCosts.forEach((cost, i) => {
      expect(cost).toBeGreaterThanOrEqual(before.expectedCosts[i]!);
    });
    expect(Math.max(...after.expectedCosts)).toBeGreaterThan(Math.max(...before.expectedCosts));
  });
});
