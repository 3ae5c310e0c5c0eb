import type { Assessment, Rubric, ScoreOut } from '../../../shared/index.ts';
import {
  type PreparedJob,
  prepare,
  type Readded,
  type Reweighed,
  readd,
  reweigh,
  type Setting,
  scoreOf,
} from '../../engine/index.ts';
import { answerAsks } from './worker-ask.ts';

/** What the page may ask of an assessment: its verdicts, or what sliders make of them. */
export type JudgeTask =
  | { do: 'score'; minutes?: number }
  | { do: 'readd'; setting: Setting }
  | { do: 'reweigh'; setting: Setting };

/** Answer to each task, by its name. */
export interface Judged {
  score: ScoreOut;
  readd: { parts: Readded[]; totals: ScoreOut['totals'] };
  reweigh: Reweighed[];
}

// The last assessment made ready: a slider asks of the same one again and again.
let ready: { of: Assessment; seed: number; job: PreparedJob } | null = null;

function jobOf(rubric: Rubric, assessment: Assessment, seed: number): PreparedJob {
  if (ready?.of !== assessment || ready.seed !== seed || ready.job.rubric !== rubric) {
    ready = { of: assessment, seed, job: prepare(rubric, assessment, { seed }) };
  }
  return ready.job;
}

answerAsks<JudgeTask>((rubric, assessment, seed, task) => {
  const job = jobOf(rubric, assessment, seed);
  switch (task.do) {
    case 'score':
      return scoreOf(job, task.minutes);
    case 'readd':
      return readd(job, task.setting);
    case 'reweigh':
      return reweigh(job, task.setting);
  }
});
