import { describe, expect, it } from 'vitest';
import type { Assessment } from '../../shared/index.ts';
import { checkActuals, learntOptimism, plan } from '../../src/planning/index.ts';
import { demo, rubric } from '../engine/real.ts';

const OPTIONS = { seed: 1, draws: 400 };

/** The demo without what its owner has really spent. */
function bareDemo(): Assessment {
  const base = demo();
  return { ...base, components: base.components.map(({ actuals: _, ...component }) => component) };
}

/** The demo with so many entries of taking off and putting back, each `factor` times what the rubric's usual figure says. */
function withEntries(count: number, factor: number, rest: Partial<Assessment> = {}): Assessment {
  const base = bareDemo();
  let left = count;
  return {
    ...base,
    ...rest,
    components: base.components.map((component) => {
      if (left === 0 || component.stage === 'fitted') return component;
      left--;
      const kind = rubric.kinds.find(({ id }) => id === component.kind)!;
      const hours = kind.removalHours[1] * (component.count ?? 1) * factor;
      return { ...component, actuals: [{ on: 'removal', hours, date: '2026-11-01' }] };
    }),
  };
}

describe('learntOptimism()', () => {
  // Ten ratios 1.0, 1.1 ... 1.9: the fifth of ten is 1.4, the eighth 1.7 (nearest rank). High is
  // 1.4 (1.7 / 1.4)^(1.2816 / 0.8416) = 1.4 x 1.3440 = 1.8816, low 1.4 / 1.3440 = 1.0417; worked by hand.
  it('takes the median and the 80 % point of the ratios, and spreads them to the 10 % and 90 % points', () => {
    const { low, usual, high } = learntOptimism([1.3, 1.0, 1.9, 1.1, 1.6, 1.4, 1.8, 1.2, 1.7, 1.5]);
    expect(usual).toBe(1.4);
    expect(high).toBeCloseTo(1.8816, 3);
    expect(low).toBeCloseTo(1.0417, 3);
  });
});

describe('actuals', () => {
  it('put actual beside estimate, and spent beside what is to come', () => {
    const made = plan(rubric, withEntries(3, 2), OPTIONS);
    expect(made.actuals.entries).toHaveLength(3);
    for (const { hours } of made.actuals.entries) {
      expect(hours!.ratio).toBeCloseTo(2, 2);
      expect(hours!.actual).toBeCloseTo(2 * hours!.estimate, 1);
    }
    expect(made.actuals.atCompletion.hours.p80).toBeCloseTo(made.total.hours.p80 + made.actuals.spent.hours, 2);
  });

  it('correct the optimism from eight entries on, not before, and visibly', () => {
    const seven = plan(rubric, withEntries(7, 2), OPTIONS);
    expect(seven.actuals.optimism.hours).toMatchObject({ corrected: false, entries: 7 });
    const eight = plan(rubric, withEntries(8, 2), OPTIONS);
    expect(eight.actuals.optimism.hours).toMatchObject({ corrected: true, entries: 8, points: { usual: 2 } });
    expect(eight.actuals.optimism.text).toContain('8 of your own entries');
    expect(eight.total.hours.p50).toBeGreaterThan(seven.total.hours.p50);
    expect(eight.actuals.optimism.money.corrected).toBe(false);
  });

  it('correct nothing when that is turned off', () => {
    const made = plan(rubric, withEntries(12, 2, { learnFromActuals: false }), OPTIONS);
    expect(made.actuals.optimism).toMatchObject({ isOff: true, hours: { corrected: false, entries: 12 } });
    expect(made.actuals.optimism.text).toContain('turned off');
    expect(made.total.hours).toEqual(plan(rubric, bareDemo(), OPTIONS).total.hours);
  });

  it('close the line they name: what has been bought is not to be bought', () => {
    const base = bareDemo();
    const before = plan(rubric, base, OPTIONS);
    const part = before.parts.find(({ component }) => component === 'track-rod-end-right')!;
    const bought = plan(
      rubric,
      {
        ...base,
        components: base.components.map((component) =>
          component.id === 'track-rod-end-right'
            ? { ...component, actuals: [{ on: part.supply!, money: 25, date: '2026-11-20' }] }
            : component,
        ),
      },
      OPTIONS,
    );
    const money = (made: typeof before) => made.total.lines.find(({ id }) => id === 'track-rod-end-right|0')!.money.p50;
    expect(money(before)).toBeGreaterThan(10);
    expect(money(bought)).toBe(0);
    expect(bought.actuals.spent.money).toBe(25);
  });

  it('close a shared charge as well: an alignment that has been paid is not to be paid again', () => {
    const base = bareDemo();
    const paid = {
      ...base,
      components: base.components.map((component) =>
        component.id === 'arm-left'
          ? { ...component, actuals: [{ on: 'alignment', money: 60, date: '2026-11-20' }] }
          : component,
      ),
    };
    const charge = (assessment: Assessment) =>
      plan(rubric, assessment, OPTIONS).sharedCharges.find(({ id }) => id === 'alignment')!;
    expect(charge(base)).toMatchObject({ isPaid: false });
    expect(charge(paid)).toMatchObject({ isPaid: true, money: { usual: 0 } });
  });

  it('against something the estimate does not have are refused, and nothing is computed', () => {
    const base = bareDemo();
    const [first, ...others] = base.components;
    const wrong = {
      ...base,
      components: [{ ...first!, actuals: [{ on: 'polishing', hours: 2, date: '2026-11-20' }] }, ...others],
    };
    const [fault] = checkActuals(wrong, rubric, 'car.yaml');
    expect(fault).toMatchObject({ file: 'car.yaml', path: 'components.0.actuals.0.on', found: '"polishing"' });
    expect(fault!.wanted).toContain('a supply of arm-left');
    expect(() => plan(rubric, wrong, OPTIONS)).toThrow('components.0.actuals.0.on');
    const empty = { ...base, components: [{ ...first!, actuals: [{ on: 'removal', date: '2026-11-20' }] }, ...others] };
    expect(checkActuals(empty, rubric)[0]).toMatchObject({
      path: 'components.0.actuals.0',
      wanted: 'hours or money, or both',
    });
  });
});
