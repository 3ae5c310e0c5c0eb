import { expect, test } from 'vitest';
import type { Component } from '../../shared/index.ts';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, byId, rubric } from './real.ts';

/** The arm's dip coat goes by the blaster first; a bare arm has been there. */
function dipCost(stage: Component['stage'], batchesGoing: string[]): number {
  const arm: Component = {
    id: 'arm',
    name: 'Arm',
    kind: 'tubular-or-forged-arm',
    stage,
    properties: { make: 'tube' },
    observations: [],
  };
  const out = byId(score(rubric, assessmentOf([arm], { batchesGoing }), { seed: 1 }), 'arm');
  return out.options.find((option) => option.route === 'blast-crack-test-e-coat')!.expectedCost;
}

test('a part that is already bare needs only the batch at the dip coater', () => {
  expect(dipCost('bare', ['e-coat'])).toBeLessThan(dipCost('bare', []) - 100);
});

test('a part that still has to be blasted needs both batches', () => {
  expect(dipCost('cleaned', ['e-coat'])).toBe(dipCost('cleaned', []));
  expect(dipCost('cleaned', ['blast', 'e-coat'])).toBeLessThan(dipCost('cleaned', []) - 100);
});
