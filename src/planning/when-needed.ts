import { type ComponentOut, type ScoreOut, WHEN_NEEDED, type WhenNeeded } from '../../shared/index.ts';
import type { PreparedJob } from '../engine/index.ts';

/** When the money for a component is needed: before the car is driven, within the year, or for looks only. */
function whenNeeded(component: ComponentOut, job: PreparedJob): WhenNeeded {
  const { verdict, knockOuts, roadworthiness, safetyCritical, yearsLeft } = component;
  const barred = knockOuts.some(({ state }) => state !== 'clear');
  const findings = new Set(roadworthiness.map(({ finding }) => finding));
  if ((safetyCritical && barred && verdict.action !== 'reuse') || findings.has('dangerous') || findings.has('major'))
    return 'before-driven';
  const soon = yearsLeft !== null && yearsLeft.low <= 1;
  if (barred || soon || findings.size > 0 || isPastFunction(component, job)) return 'within-year';
  return 'looks';
}

/** When each component is needed; a pair or set is needed when its first member is. */
export function needsOf(score: ScoreOut, job: PreparedJob): ReadonlyMap<string, WhenNeeded> {
  const needs = new Map(score.components.map((component) => [component.id, whenNeeded(component, job)] as const));
  const rank = (id: string) => WHEN_NEEDED.indexOf(needs.get(id) ?? 'looks');
  for (const { parts } of job.together) {
    const replaced = parts.map((p) => job.parts[p]!.component.id);
    const first = Math.min(...replaced.map(rank));
    for (const id of replaced) {
      const out = score.components.find((component) => component.id === id);
      if (out?.verdict.action === 'replace') needs.set(id, WHEN_NEEDED[first]!);
    }
  }
  return needs;
}

/** Is a check past a limit that is the same for every finish? Such a limit is about working, not about looks. */
function isPastFunction(component: ComponentOut, job: PreparedJob): boolean {
  const { kind } = job.tables.kind(component.kind);
  return component.facts.some((fact) => {
    const limit = kind.checks.find(({ id }) => id === fact.check)?.limit;
    return typeof limit === 'number' && fact.state === 'final' && fact.gradeLow > limit;
  });
}

const WORDS: Record<WhenNeeded, string> = {
  'before-driven': 'Before it is driven',
  'within-year': 'Within the year',
  looks: 'For looks only',
};

export function nameOfNeed(when: WhenNeeded): string {
  return WORDS[when];
}
