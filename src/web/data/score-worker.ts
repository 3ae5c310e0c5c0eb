import type { Assessment, Rubric, ScoreOut } from '../../../shared/index.ts';
import { score } from '../../engine/index.ts';

/** What the page asks: judge this, with the rubric that was sent before under its version. */
export interface Ask {
  id: number;
  seed: number;
  assessment: Assessment;
  rubricVersion: string;
  /** Only the first time a version is used. */
  rubric?: Rubric;
}

export type Told = { id: number; score: ScoreOut } | { id: number; error: string };

const rubrics = new Map<string, Rubric>();

self.addEventListener('message', ({ data }: MessageEvent<Ask>) => {
  if (data.rubric) rubrics.set(data.rubricVersion, data.rubric);
  const rubric = rubrics.get(data.rubricVersion);
  let told: Told;
  try {
    if (!rubric) throw new RangeError(`Cannot judge: wanted rubric ${data.rubricVersion}, found none`);
    told = { id: data.id, score: score(rubric, data.assessment, { seed: data.seed }) };
  } catch (error) {
    told = { id: data.id, error: error instanceof Error ? error.message : String(error) };
  }
  self.postMessage(told);
});
