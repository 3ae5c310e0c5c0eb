import { type Assessment, InputError, type PlanOut, type Rubric } from '../../shared/index.ts';
import { checkActuals, plan } from '../planning/index.ts';
import type { ScoreDeps } from './score-file.ts';

/** Plans the assessment in a file. Nothing is computed from half an input. */
export async function planFile(
  file: string,
  options: { seed: number; folder?: string },
  deps: ScoreDeps,
): Promise<{ plan: PlanOut; assessment: Assessment; rubric: Rubric }> {
  const rubric = await deps.readRubric(options.folder);
  const assessment = await deps.readAssessment(file, rubric);
  const faults = checkActuals(assessment, rubric, file);
  if (faults.length > 0) throw new InputError(faults);
  return { plan: plan(rubric, assessment, { seed: options.seed }), assessment, rubric };
}
