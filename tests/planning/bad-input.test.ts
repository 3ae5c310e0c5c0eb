import { describe, expect, it } from 'vitest';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { plan } from '../../src/planning/index.ts';
import { assessmentOf, demo, rubric, TODAY } from '../engine/real.ts';

type Raw = Record<string, unknown> & { components: Record<string, unknown>[] };

/** Faults of the demo after one change. */
function faultsAfter(change: (raw: Raw) => void) {
  const raw = structuredClone(demo()) as unknown as Raw;
  change(raw);
  return checkAssessment(raw, rubric, { today: TODAY, file: 'car.yaml' }).faults ?? [];
}

describe('bad input of a plan is refused with path, wanted and found', () => {
  it.each<[string, (raw: Raw) => void, string, string]>([
    ['no pieces', (raw) => (raw.components[0]!.count = 0), 'components.0.count', '0'],
    ['half a piece', (raw) => (raw.components[0]!.count = 1.5), 'components.0.count', '1.5'],
    ['a mass below nothing', (raw) => (raw.components[0]!.massKg = -3), 'components.0.massKg', '-3'],
    ['an area that is none', (raw) => (raw.components[0]!.areaDm2 = 0), 'components.0.areaDm2', '0'],
    [
      'low above usual',
      (raw) => {
        raw.components[0]!.supplies = [
          { id: 'new', type: 'new', price: [60, 50, 90], leadDays: [1, 2, 3], misfit: 0, from: 'own-judgement' },
        ];
      },
      'components.0.supplies.0.price',
      '[60,50,90]',
    ],
    [
      'a chance over 1',
      (raw) => {
        raw.components[0]!.supplies = [
          { id: 'new', type: 'new', price: [40, 50, 90], leadDays: [1, 2, 3], misfit: 1.2, from: 'own-judgement' },
        ];
      },
      'components.0.supplies.0.misfit',
      '1.2',
    ],
    [
      'a labour rate with its ends the wrong way round',
      (raw) => (raw.rates = { shop: [90, 60, 40] }),
      'rates.shop',
      '[90,60,40]',
    ],
    ['more hours a week than there are', (raw) => (raw.hoursPerWeek = 200), 'hoursPerWeek', '200'],
    ['a currency without a rate', (raw) => (raw.currency = 'XTS'), 'rates.exchange', 'nothing'],
    ['a process that the rubric does not have', (raw) => (raw.batchesGoing = ['chrome']), 'batchesGoing.0', '"chrome"'],
    ['a charge that the rubric does not have', (raw) => (raw.chargesPaid = ['valet']), 'chargesPaid.0', '"valet"'],
    [
      'a circle of parts that sit in each other',
      (raw) => {
        raw.components[0]!.sitsIn = raw.components[1]!.id;
        raw.components[1]!.sitsIn = raw.components[0]!.id;
      },
      'components.0.sitsIn',
      '"arm-left-pivot-bolt"',
    ],
    [
      'money spent below nothing',
      (raw) => (raw.components[0]!.actuals = [{ on: 'removal', money: -5, date: '2026-11-01' }]),
      'components.0.actuals.0.money',
      '-5',
    ],
    [
      'an entry from tomorrow',
      (raw) => (raw.components[0]!.actuals = [{ on: 'removal', hours: 1, date: '2031-01-01' }]),
      'components.0.actuals.0.date',
      '"2031-01-01"',
    ],
    ['a ceiling that is no number', (raw) => (raw.purchase = { ceiling: 'plenty' }), 'purchase.ceiling', '"plenty"'],
  ])('%s', (_name, change, path, found) => {
    const fault = faultsAfter(change).find((one) => one.path === path);
    expect(fault, JSON.stringify(faultsAfter(change))).toBeDefined();
    expect(fault!.file).toBe('car.yaml');
    expect(fault!.wanted).not.toBe('');
    expect(fault!.found).toBe(found);
  });

  it('a process that does not take the metal bars its routes: nothing of that metal goes out with it', () => {
    const refusing = {
      ...rubric,
      charges: {
        ...rubric.charges,
        processes: rubric.charges.processes.map((process) =>
          process.id === 'zinc' ? { ...process, takes: ['stainless' as const] } : process,
        ),
      },
    };
    const made = plan(refusing, demo(), { seed: 1, draws: 200 });
    expect(made.batches.map(({ process }) => process)).not.toContain('zinc');
    expect(plan(rubric, demo(), { seed: 1, draws: 200 }).batches.map(({ process }) => process)).toContain('zinc');
  });

  it('a part that nothing is known of is planned, not refused', () => {
    const made = plan(
      rubric,
      assessmentOf([{ id: 'arm', name: 'Arm', kind: 'pressed-steel-arm', area: 'front', stage: 'fitted' }]),
      { seed: 1, draws: 200 },
    );
    expect(made.parts[0]!.ifClear).not.toBeNull();
    expect(made.parts[0]!.chance).toBeGreaterThan(0);
    expect(made.total.estimateClass.id).toBe('first-look');
  });
});
