import type { Made, PlanningSettings, Process, Rubric, SharedCharge, ThreePoint } from '../../shared/index.ts';
import { type PreparedJob, readFrom, times } from '../engine/index.ts';

/** Reads a rule and its `from` as the maker of a line. */
export function madeBy(rubric: Rubric, rule: string, from: string): Made {
  return { rule, ...readFrom(rubric, from) };
}

/** A rule of the method itself. */
export function method(rule: string): Made {
  return { rule: `method.${rule}`, source: null, basis: 'own-judgement' };
}

/** Money of the rubric in the assessment's currency. */
export function priced(job: PreparedJob, points: ThreePoint | undefined): ThreePoint {
  return points ? times(points, job.circumstances.perBase) : [0, 0, 0];
}

export function settingsOf(job: PreparedJob): PlanningSettings {
  return job.rubric.settings.planning;
}

export function processOf(job: PreparedJob, id: string): Process {
  return job.tables.process(id);
}

export function sharedCharge(rubric: Rubric, id: string): SharedCharge {
  const charge = rubric.charges.shared.find((entry) => entry.id === id);
  if (!charge) throw new RangeError(`Cannot find a shared charge: wanted an id of charges.yaml, found ${id}`);
  return charge;
}

/** Shared charges that cost nothing more: named as paid or not needed, or with an entry of what was really spent on them. */
export function paidCharges({ assessment, rubric }: PreparedJob): ReadonlySet<string> {
  const ids = new Set(rubric.charges.shared.map(({ id }) => id));
  const spent = assessment.components.flatMap(({ actuals = [] }) => actuals.map(({ on }) => on));
  return new Set([...(assessment.chargesPaid ?? []), ...spent.filter((on) => ids.has(on))]);
}
