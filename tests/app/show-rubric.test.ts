import { describe, expect, test } from 'vitest';
import type { Rubric } from '../../shared/index.ts';
import { knockOutOrigins, sourcedEntries, sourcesSummary } from '../../src/app/show-rubric.ts';
import { rubric, TODAY } from '../engine/real.ts';

describe('sourcesSummary()', () => {
  const summary = sourcesSummary(rubric, TODAY);

  test('counts every entry once, under its source or its basis', () => {
    const published = summary.sources.reduce((sum, { count }) => sum + count, 0);
    expect(published + summary.judged).toBe(summary.total);
    expect(summary.judged).toBe(summary.bases.reduce((sum, { count }) => sum + count, 0));
    expect(summary.total).toBe(sourcedEntries(rubric).length);
  });

  test('tells a source that was last checked over two years ago, to the day', () => {
    const aged: Rubric = {
      ...rubric,
      sources: rubric.sources.map((source, i) => ({ ...source, checkedOn: i === 0 ? '2024-11-24' : '2024-11-25' })),
    };
    const old = sourcesSummary(aged, '2026-11-25').sources.filter((source) => source.isOld);
    expect(old.map(({ id }) => id)).toEqual([rubric.sources[0]!.id]);
  });
});

describe('knockOutOrigins()', () => {
  test('counts every knock-out, and as published only those whose first word is a source', () => {
    const [kind] = rubric.kinds;
    const rules = kind!.knockOuts.slice(0, 1);
    const one = (from: string): Rubric => ({
      ...rubric,
      kinds: [{ ...kind!, knockOuts: rules.map((rule) => ({ ...rule, from })) }],
    });
    expect(knockOutOrigins(one('dvsa-mot 5.3.3'))).toEqual({ published: 1, ownFigure: 0, total: 1 });
    expect(knockOutOrigins(one('common-practice, as in dvsa-mot 5.3.3'))).toEqual({
      published: 0,
      ownFigure: 0,
      total: 1,
    });
    expect(knockOutOrigins(one('dvsa-mot 5.3.3; the depth is own judgement')).ownFigure).toBe(1);
    expect(knockOutOrigins(rubric).total).toBe(rubric.kinds.reduce((sum, each) => sum + each.knockOuts.length, 0));
  });
});
