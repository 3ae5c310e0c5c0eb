import { ASSESSMENT_FORMAT, type Assessment, applyChange, type Change } from '../../../shared/index.ts';
import type { Author, Inside, Kept, Outcome } from '../../../src/app/store-port.ts';

/** The smallest assessment with two components. */
export function smallAssessment(id = 'front-end'): Assessment {
  return {
    format: ASSESSMENT_FORMAT,
    id,
    name: 'Front end',
    date: '2026-11-25',
    purpose: 'scope',
    wantedFinish: 'smart',
    horizonYears: 8,
    atmosphere: 'C3',
    ruleBook: 'uk',
    units: 'mm',
    currency: 'GBP',
    rates: { own: 18 },
    areas: [{ id: 'front-left', name: 'front left' }],
    components: [
      { id: 'arm-left', name: 'Lower arm', kind: 'pressed-steel-arm', area: 'front-left', stage: 'fitted' },
      { id: 'spring-left', name: 'Coil spring', kind: 'coil-spring', area: 'front-left', stage: 'fitted' },
    ],
  };
}

export const HERE: Author = { name: 'A. Grader', device: 'here' };

/** One answer as a change. */
export function answer(id: string, grade = 2, component = 'arm-left'): Change {
  return { id, type: 'observe', component, observation: { check: 'face-rust', value: grade, date: '2026-11-25' } };
}

/** A job that keeps one change without asking the rubric. */
export function keeping(change: Change, list: string | null = null) {
  return async (kept: Kept, inside: Inside): Promise<Outcome<'kept' | 'already'>> => {
    if (await inside.entry(change.id)) return { entries: [], answer: 'already' };
    const applied = applyChange(kept.assessment, change);
    if (applied.refused) throw new Error(applied.refused.wanted);
    const entry = {
      id: change.id,
      version: kept.version + 1,
      at: new Date().toISOString(),
      by: HERE.name,
      device: HERE.device,
      change,
      undo: applied.undo,
      touches: applied.touches,
      list,
      undoes: null,
    };
    return {
      next: { assessment: applied.assessment, rubricVersion: kept.rubricVersion },
      entries: [entry],
      answer: 'kept',
    };
  };
}
