import type { Assessment, Rubric, ScoreOut } from '../../shared/index.ts';
import { score } from '../engine/index.ts';

/** What scoring a file needs from outside. */
export interface ScoreDeps {
  readRubric: (ownFolder?: string) => Promise<Rubric>;
  /** Reads and checks an assessment; rejects with `InputError` carrying every fault. */
  readAssessment: (file: string, rubric: Rubric) => Promise<Assessment>;
}

/** Scores the assessment in a file. Nothing is computed from half an input. */
export async function scoreFile(
  file: string,
  options: { seed: number; minutes?: number; folder?: string },
  deps: ScoreDeps,
): Promise<{ score: ScoreOut; assessment: Assessment; rubric: Rubric }> {
  const rubric = await deps.readRubric(options.folder);
  const assessment = await deps.readAssessment(file, rubric);
  const { seed, minutes } = options;
  return { score: score(rubric, assessment, minutes === undefined ? { seed } : { seed, minutes }), assessment, rubric };
}
