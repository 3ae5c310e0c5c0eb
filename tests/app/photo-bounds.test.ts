import { describe, expect, it } from 'vitest';
import type { Component, Kind, PhotoRecord } from '../../shared/index.ts';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, rubric } from '../engine/real.ts';

const photographed = rubric.kinds.filter((kind) => kind.checks.some((check) => check.photo));
const photoCheck = (kind: Kind) => kind.checks.find((check) => check.photo)!.id;

/** The worst that a photo can say: rust on at least 99 % of the outlined part. */
function worstPhoto(check: string, rest: Partial<PhotoRecord> = {}): PhotoRecord {
  return {
    id: 'all-rust',
    file: 'all-rust.jpg',
    check,
    stage: 'fitted',
    date: '2026-11-25',
    outline: [
      [0, 0],
      [100, 0],
      [100, 100],
    ],
    rustAreaPercent: { value: 100, low: 99, high: 100, method: 'model' },
    ...rest,
  };
}

function judged(kind: Kind, photos: PhotoRecord[], rest: Partial<Component> = {}) {
  const component = { id: 'part', name: 'Part', kind: kind.id, stage: 'fitted' as const, photos, ...rest };
  return score(rubric, assessmentOf([component]), { seed: 1 }).components[0]!;
}

describe('a photo in a verdict', () => {
  it.each(photographed.map((kind) => [kind.id, kind] as const))(
    '%s: fires no knock-out, settles no replace',
    (_, kind) => {
      const check = photoCheck(kind);
      const without = judged(kind, []);
      const withPhoto = judged(kind, [worstPhoto(check)]);
      const states = (part: typeof without) => part.knockOuts.map(({ rule, state }) => [rule, state]);
      expect(states(withPhoto)).toEqual(states(without));
      if (withPhoto.verdict.firmness === 'settled') expect(withPhoto.verdict.action).not.toBe('replace');
      // 99 % lies beyond the worst picture of ISO 4628-3, 40 %: grade 5 at least.
      expect(withPhoto.facts.find((fact) => fact.check === check)).toMatchObject({ gradeLow: 5, gradeHigh: 5 });
    },
  );

  const [kind] = photographed;
  const check = photoCheck(kind!);
  const gradeLow = (photo: PhotoRecord, rest: Partial<Component> = {}) =>
    judged(kind!, [photo], rest).facts.find((fact) => fact.check === check)!.gradeLow;

  it('lifts nothing without an outline, struck, or of a later stage graded since', () => {
    expect(gradeLow(worstPhoto(check))).toBe(5);
    expect(gradeLow(worstPhoto(check, { outline: undefined }))).toBe(0);
    const struck = { reason: 'Another part', by: 'Wilmot', date: '2026-11-25' };
    expect(gradeLow(worstPhoto(check, { struck }))).toBe(0);
    const later = {
      stage: 'cleaned' as const,
      observations: [{ check, value: 0, stage: 'cleaned' as const, date: '2026-11-25' }],
    };
    expect(gradeLow(worstPhoto(check), later)).toBe(0);
  });

  it('worsens a check only as far as the low end of its interval goes', () => {
    // ISO 4628-3 pictures: 0.05, 0.5, 1, 8 and 40 % for Ri 1 to 5; between two pictures the better one counts.
    const low = (percent: number) =>
      gradeLow(worstPhoto(check, { rustAreaPercent: { value: 60, low: percent, high: 100, method: 'model' } }));
    expect([0, 0.04, 0.05, 1.2, 8, 39, 40].map(low)).toEqual([0, 0, 1, 3, 4, 4, 5]);
  });
});
