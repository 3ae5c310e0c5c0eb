import type { Assessment, Rubric } from '../../shared/index.ts';
import { SEED } from '../../src/web/data/scorer.ts';
import { AskedWorker } from '../../src/web/data/worker-ask.ts';

/** What the page of this script is given: the rubric, the assessments, and where the built page keeps its workers. */
export interface Given {
  rubric: Rubric;
  assessments: Assessment[];
  workers: { score: string; plan: string };
}

/** Judges and plans every assessment in the built page's own workers, and posts the documents back as text. */
async function judgeAll(): Promise<void> {
  const given = (await (await fetch('/given')).json()) as Given;
  const ask = async (task: 'score' | 'plan', assessment: Assessment) => {
    const worker = new AskedWorker<{ do: string }>(() => new Worker(given.workers[task], { type: 'module' }));
    return JSON.stringify(await worker.ask(assessment, given.rubric, SEED, { do: task }));
  };
  const told: Record<string, string> = { agent: navigator.userAgent };
  for (const assessment of given.assessments) {
    for (const task of ['score', 'plan'] as const) told[`${assessment.id} ${task}`] = await ask(task, assessment);
  }
  await post(told);
}

const post = (told: object) =>
  fetch(`/told${location.search}`, { method: 'POST', body: JSON.stringify(told) }).then(() => undefined);

judgeAll().catch((error: unknown) => post({ error: String(error) }));
