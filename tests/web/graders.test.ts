import { describe, expect, test } from 'vitest';
import type { Check, Component, Kind, Observation } from '../../shared/index.ts';
import { gradedTwice } from '../../src/web/data/graders.ts';
import { questionsOfComponent } from '../../src/web/data/questions.ts';

const check = (id: string, answer: object): Check =>
  ({
    id,
    zone: 'web',
    ask: id,
    weight: 1,
    method: 'seen',
    earliestStage: 'fitted',
    finalStage: 'bare',
    answer,
  }) as Check;
const kind = {
  id: 'arm',
  checks: [
    check('rust', { type: 'grade', scale: 'rust' }),
    check('wall', { type: 'measure', unit: 'mm', range: [0, 5], points: [0, 5], grades: [1, 2, 3, 4, 5] }),
    check('weld', { type: 'choice', options: [{ id: 'sound' }, { id: 'cracked' }, { id: 'gone' }] }),
  ],
} as unknown as Kind;
const answered = (observations: Partial<Observation>[]) =>
  gradedTwice(
    questionsOfComponent({ id: 'left', kind: 'arm', stage: 'bare', observations } as unknown as Component, kind),
    'mm',
  ).map(({ question, stage, graded, apart, isPast }) => ({
    check: question.check.id,
    stage,
    who: graded.map(({ observation, at }) => `${observation.grader ?? '-'} ${at}`),
    apart,
    isPast,
  }));

describe('checks that two people answered', () => {
  test('the newest answer of each counts, at the same stage only, furthest apart first', () => {
    expect(
      answered([
        { check: 'rust', value: 1, stage: 'bare', grader: 'Aldous', date: '2026-03-12' },
        { check: 'rust', value: 4, stage: 'bare', grader: 'Aldous', date: '2026-03-13' },
        { check: 'rust', value: 3, stage: 'bare', grader: 'Teale', date: '2026-03-15' },
        // 0.1 in is 2.54 mm: half the scale away from 0.04 mm, where one grade of five is a fifth.
        { check: 'wall', value: 0.1, unit: 'in', stage: 'bare', grader: 'Teale', date: '2026-03-15' },
        { check: 'wall', value: 0.04, stage: 'bare', grader: 'Aldous', date: '2026-03-12' },
        { check: 'weld', value: 'sound', stage: 'bare', grader: 'Aldous', date: '2026-03-12' },
        { check: 'weld', value: 'sound', stage: 'off', grader: 'Teale', date: '2026-03-10' },
      ]),
    ).toEqual([
      { check: 'wall', stage: 'bare', who: ['Aldous 0.04', 'Teale 2.54'], apart: 2.5, isPast: false },
      { check: 'rust', stage: 'bare', who: ['Teale 3', 'Aldous 4'], apart: 1, isPast: false },
    ]);
  });

  test('what was seen at an earlier stage is history, and stands last', () => {
    expect(
      answered([
        { check: 'rust', value: 0, stage: 'fitted', grader: 'Aldous', date: '2026-03-12' },
        { check: 'rust', value: 5, stage: 'fitted', date: '2026-03-12' },
        { check: 'rust', value: 2, stage: 'bare', grader: 'Aldous', date: '2026-03-20' },
        { check: 'weld', value: 'gone', stage: 'bare', grader: 'Aldous', date: '2026-03-20' },
        { check: 'weld', value: 'cracked', stage: 'bare', grader: 'Teale', date: '2026-03-20' },
      ]),
    ).toEqual([
      { check: 'weld', stage: 'bare', who: ['Teale 1', 'Aldous 2'], apart: 1, isPast: false },
      { check: 'rust', stage: 'fitted', who: ['Aldous 0', '- 5'], apart: 5, isPast: true },
    ]);
  });

  test('an area seen by nobody, or one person twice, is not two graders', () => {
    expect(
      answered([
        { check: 'rust', none: 'not-seen', stage: 'bare', grader: 'Aldous', date: '2026-03-12' },
        { check: 'rust', value: 2, stage: 'bare', grader: 'Teale', date: '2026-03-12' },
        { check: 'weld', value: 'sound', stage: 'bare', grader: 'Teale', date: '2026-03-12' },
        { check: 'weld', value: 'gone', stage: 'bare', grader: 'Teale', date: '2026-03-13' },
      ]),
    ).toEqual([]);
  });
});
