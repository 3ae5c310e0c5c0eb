import { expect, test } from 'vitest';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, byId, rubric } from './real.ts';

const answered = (check: string, value: number | string) => [{ check, value, date: '2026-11-20' }];

test('a part that is replaced whatever else is found asks for no look of its own', () => {
  const sound = { id: 'pipe', name: 'Pipe', kind: 'brake-pipe', area: 'front', stage: 'cleaned' as const };
  const [unknown, condemned] = [
    { ...sound, observations: [] },
    // Half of a 0.71 mm wall gone: MOT inspection manual 1.1.11 fails a third.
    { ...sound, observations: answered('wall-gone', 0.36) },
  ].map((part) => byId(score(rubric, assessmentOf([part]), { seed: 1 }), 'pipe'));
  expect(unknown!.looks.length).toBeGreaterThan(0);
  expect([condemned!.verdict.action, condemned!.looks]).toEqual(['replace', []]);
});

test('a part to be replaced still asks to look at what it runs against', () => {
  const end = { id: 'end', name: 'Track-rod end', kind: 'track-rod-end', area: 'front', stage: 'off' as const };
  const rod = { id: 'nuts', name: 'Lock nut', kind: 'threaded-fastener', area: 'front', stage: 'cleaned' as const };
  const out = score(
    rubric,
    assessmentOf([
      { ...end, mates: ['nuts'], observations: answered('lift', 4) },
      { ...rod, properties: { thread: 'M14x1.5' }, observations: [] },
    ]),
    { seed: 1 },
  );
  expect(byId(out, 'end').looks).toEqual([]);
  expect(byId(out, 'nuts').looks.find((look) => look.check === 'thread-state')?.compulsory).toBe(true);
});
