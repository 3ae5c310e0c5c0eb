import { expect, test } from 'vitest';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { rubric } from './real.ts';

const joint = { id: 'pivot', name: 'Pivot', thread: 'M10', hand: 'right', locking: 'none' };

type Part = Record<string, unknown>;

function faultsOf(change: (whole: Part, part: Part) => void): string[] {
  const part: Part = { id: 'arm', name: 'Arm', kind: 'pressed-steel-arm', area: 'front', stage: 'bare' };
  const whole: Part = {
    format: 'keepworthy-assessment/1',
    id: 't',
    name: 'T',
    date: '2026-11-21',
    purpose: 'scope',
    wantedFinish: 'smart',
    horizonYears: 5,
    atmosphere: 'C3',
    ruleBook: 'uk',
    units: 'mm',
    currency: 'GBP',
    rates: {},
    areas: [{ id: 'front', name: 'Front' }],
    components: [part],
  };
  change(whole, part);
  return (checkAssessment(whole, rubric, { today: '2026-11-25' }).faults ?? []).map((fault) => fault.path);
}

test('checkAssessment() takes a plain assessment', () => {
  expect(faultsOf(() => {})).toEqual([]);
});

test.each<[string, (whole: Part, part: Part) => void, string]>([
  ['an empty area', (whole) => Object.assign(whole, { areas: [null] }), 'areas.0'],
  [
    'a number among undo-before',
    (_, part) => Object.assign(part, { joints: [{ ...joint, undoBefore: [3] }] }),
    'components.0.joints.0.undoBefore.0',
  ],
  [
    'a property that the kind does not read',
    (_, part) => Object.assign(part, { properties: { walMm: 3 } }),
    'components.0.properties.walMm',
  ],
  [
    'a size in words',
    (_, part) => Object.assign(part, { properties: { wallMm: 'thick' } }),
    'components.0.properties.wallMm',
  ],
  ['a joint id used twice', (_, part) => Object.assign(part, { joints: [joint, joint] }), 'components.0.joints.1.id'],
  [
    'an area id used twice',
    (whole) =>
      Object.assign(whole, {
        areas: [
          { id: 'front', name: 'A' },
          { id: 'front', name: 'B' },
        ],
      }),
    'areas.1.id',
  ],
  [
    'hardware nobody knows',
    (_, part) => Object.assign(part, { joints: [{ ...joint, hardware: ['zzz'] }] }),
    'components.0.joints.0.hardware.0',
  ],
  [
    'a symptom the kind does not have',
    (_, part) => Object.assign(part, { symptoms: ['zzz'] }),
    'components.0.symptoms.0',
  ],
  ['a charge nobody knows', (whole) => Object.assign(whole, { chargesPaid: ['zzz'] }), 'chargesPaid.0'],
  [
    'a cover over nothing',
    (whole) => Object.assign(whole, { covers: [{ id: 'c', name: 'C', hides: ['arm.zzz'] }] }),
    'covers.0.hides.0',
  ],
  [
    'an override in the future',
    (_, part) =>
      Object.assign(part, { override: { action: 'reuse', reason: 'seen it', by: 'A. Fitter', date: '2026-11-26' } }),
    'components.0.override.date',
  ],
  [
    'an override by nobody',
    (_, part) =>
      Object.assign(part, { override: { action: 'reuse', reason: 'seen it', by: '  ', date: '2026-11-21' } }),
    'components.0.override.by',
  ],
])('checkAssessment() refuses %s', (_, change, path) => {
  expect(faultsOf(change)).toContain(path);
});

test('checkAssessment() reads a length without a unit in the unit of the assessment', () => {
  const check = rubric.kinds
    .find((kind) => kind.id === 'pressed-steel-arm')!
    .checks.find(({ answer }) => answer.type === 'measure' && answer.unit === 'mm')!;
  const most = check.answer.type === 'measure' ? check.answer.range[1] : 0;
  const observe = (units: string) =>
    faultsOf(
      (whole, part) =>
        Object.assign(whole, { units }) &&
        Object.assign(part, { observations: [{ check: check.id, value: most, date: '2026-11-21' }] }),
    );
  expect(observe('mm')).toEqual([]);
  expect(observe('in')).toEqual(['components.0.observations.0.value']);
});

test('checkAssessment() takes a cover over a component and over one of its checks', () => {
  const hides = ['arm', `arm.${rubric.kinds.find((kind) => kind.id === 'pressed-steel-arm')!.checks[0]!.id}`];
  expect(faultsOf((whole) => Object.assign(whole, { covers: [{ id: 'c', name: 'C', hides }] }))).toEqual([]);
});
