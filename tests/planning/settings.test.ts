import { describe, expect, it } from 'vitest';
import { plan } from '../../src/planning/index.ts';
import { assessmentOf, rubric } from '../engine/real.ts';

const { planning } = rubric.settings;

describe('the numbers of the whole job', () => {
  it('name processes of the rubric, rise with rust, and have a class for knowing nothing', () => {
    const processes = rubric.charges.processes.map(({ id }) => id);
    for (const id of planning.zincProcesses.value) expect(processes).toContain(id);
    for (const { probability } of planning.events) expect(probability).toEqual([...probability].sort((a, b) => a - b));
    expect(planning.estimateClasses.value.map(({ knownFrom }) => knownFrom)).toContain(0);
    expect(new Set(planning.events.map(({ id }) => id)).size).toBe(planning.events.length);
  });

  it('say why and from where', () => {
    for (const entry of [planning.optimism.hours, planning.optimism.money, planning.hoursPerWeek, planning.manyOff]) {
      expect(entry.because.length).toBeGreaterThan(20);
      expect(entry.from.length).toBeGreaterThan(5);
    }
  });
});

describe('a job with nothing on the bench', () => {
  it('is planned all the same: a nut that is always bought new, and its carriage', () => {
    const properties = { locking: 'staked', thread: 'M20x1.5', class: '8' };
    const nut = { id: 'nut', name: 'Hub nut', kind: 'hub-nut', area: 'front', stage: 'off' as const, properties };
    const made = plan(rubric, assessmentOf([nut]), { seed: 1, draws: 200 });
    expect(made.parts).toEqual([]);
    expect(made.total.lines.map(({ id }) => id).sort()).toEqual(['always-new', 'carriage@new']);
    expect(made.days).toMatchObject({ activities: [], p80: 0 });
    expect(made.nextFive.finishOne).toEqual([]);
  });
});
