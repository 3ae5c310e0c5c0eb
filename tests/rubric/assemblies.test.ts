import { describe, expect, test } from 'vitest';
import { newChecklist } from '../../src/app/new-checklist.ts';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { score } from '../../src/engine/index.ts';
import { rubric, TODAY } from '../engine/real.ts';

const WANTED = [
  'front-double-wishbone',
  'front-strut',
  'front-beam',
  'rear-beam',
  'rear-trailing-arm',
  'rear-independent',
  'brakes',
  'steering',
  'underbody',
  'fuel-and-exhaust',
  'whole-car',
];

describe('blank lists', () => {
  test('there is one for each corner, the brakes, the steering, the body, fuel and exhaust, and a whole car', () => {
    expect(rubric.assemblies.map((assembly) => assembly.id)).toEqual(expect.arrayContaining(WANTED));
  });

  test.each(rubric.assemblies.map(({ id }) => id))('%s gives a valid assessment with nothing cleared unseen', (id) => {
    const blank = newChecklist(rubric, id, TODAY)!;
    const checked = checkAssessment(blank, rubric, { today: TODAY });
    expect(checked.faults).toBeUndefined();
    const out = score(rubric, checked.assessment!, { seed: 1 });
    expect(out.components.length + out.alwaysNew.length).toBe(blank.components.length);
    for (const part of out.components) {
      const kind = rubric.kinds.find((one) => one.id === part.kind)!;
      if (kind.safetyCritical) expect([part.id, part.verdict.firmness]).toEqual([part.id, 'open']);
    }
  });

  test('the whole car holds every part of the lists it is made of, each in an area of its own list', () => {
    const whole = rubric.assemblies.find((one) => one.id === 'whole-car')!;
    const blank = newChecklist(rubric, 'whole-car', TODAY)!;
    const ids = new Set(blank.components.map((part) => part.id));
    const areas = new Set(blank.areas.map((area) => area.id));
    for (const name of whole.includes!) {
      for (const part of rubric.assemblies.find((one) => one.id === name)!.components) {
        expect(ids).toContain(part.id);
        expect(areas).toContain(part.area);
      }
    }
    expect(blank.components.length).toBeGreaterThan(60);
  });
});
