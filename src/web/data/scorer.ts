import type { Assessment, PlanOut, Rubric, ScoreOut } from '../../../shared/index.ts';
import type { Judged, JudgeTask } from './judge-worker.ts';
import { AskedWorker } from './worker-ask.ts';

/** Seed of every score that a page shows; the server's own when none is asked for. */
export const SEED = 1;

const startJudge = () => new Worker(new URL('./judge-worker.ts', import.meta.url), { type: 'module' });
const judge = new AskedWorker<JudgeTask>(startJudge);
/** A second one, so that a slider never waits behind verdicts or odds. */
const quick = new AskedWorker<JudgeTask>(startJudge);
const planner = new AskedWorker<{ do: 'plan' }>(
  () => new Worker(new URL('./plan-worker.ts', import.meta.url), { type: 'module' }),
);

type Setting = Extract<JudgeTask, { do: 'readd' }>['setting'];

/** Judges an assessment beside the page's own thread, with the very engine of the server. */
export async function scoreHere(assessment: Assessment, rubric: Rubric, minutes?: number): Promise<ScoreOut> {
  const task: JudgeTask = { do: 'score', ...(minutes === undefined ? {} : { minutes }) };
  return (await judge.ask(assessment, rubric, SEED, task)) as Judged['score'];
}

/** Actions, costs, order and totals under other sliders: fast enough to follow a finger. */
export async function readdHere(assessment: Assessment, rubric: Rubric, setting: Setting): Promise<Judged['readd']> {
  return (await quick.ask(assessment, rubric, SEED, { do: 'readd', setting })) as Judged['readd'];
}

/** Odds and firmness under other sliders: what follows a moment later. */
export async function reweighHere(
  assessment: Assessment,
  rubric: Rubric,
  setting: Setting,
): Promise<Judged['reweigh']> {
  return (await judge.ask(assessment, rubric, SEED, { do: 'reweigh', setting })) as Judged['reweigh'];
}

/** The whole job, planned beside the page's own thread. */
export async function planHere(assessment: Assessment, rubric: Rubric): Promise<PlanOut> {
  return (await planner.ask(assessment, rubric, SEED, { do: 'plan' })) as PlanOut;
}
