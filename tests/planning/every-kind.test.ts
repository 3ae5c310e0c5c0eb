import { describe, expect, it } from 'vitest';
import { type Component, PlanOut, STAGES, WANTED_FINISHES } from '../../shared/index.ts';
import { plan } from '../../src/planning/index.ts';
import { assessmentOf, rubric } from '../engine/real.ts';

/** Every number in a document, with its path. */
function numbers(value: unknown, path = ''): [string, number][] {
  if (typeof value === 'number') return [[path, value]];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, inner]) => numbers(inner, `${path}.${key}`));
}

describe('a plan of every kind, seen by nobody', () => {
  it.each(STAGES.flatMap((stage) => WANTED_FINISHES.map((finish) => [stage, finish] as const)))(
    'at stage %s for a %s finish holds together and to its contract',
    (stage, wantedFinish) => {
      const components = rubric.kinds.map(
        (kind): Component => ({ id: `a-${kind.id}`, name: kind.name, kind: kind.id, area: 'front', stage }),
      );
      const made = plan(rubric, assessmentOf(components, { wantedFinish }), { seed: 1, draws: 100 });
      expect(PlanOut.safeParse(made).error?.issues).toBeUndefined();
      for (const [path, number] of numbers(made)) expect(Number.isFinite(number), path).toBe(true);
      const planned = new Set(made.parts.map(({ component }) => component));
      const always = new Set(components.filter(({ id }) => !planned.has(id)).map(({ kind }) => kind));
      for (const kind of always) expect(rubric.kinds.find(({ id }) => id === kind)!.alwaysNew).toBeDefined();
      const ids = new Set(made.batches.map(({ id }) => id));
      for (const part of made.parts) for (const batch of part.batches) expect(ids.has(batch), batch).toBe(true);
    },
  );
});
