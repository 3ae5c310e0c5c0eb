import { parentPort } from 'node:worker_threads';
import { InputError, type Rubric } from '../shared/index.ts';
import type { JudgeAsk, JudgeTold } from './adapters/serve/judges.ts';
import { pack } from './adapters/serve/pack.ts';
import { score } from './engine/index.ts';
import { plan } from './planning/index.ts';

/** The server's thread that judges: an assessment in, its document out. */
const rubrics = new Map<string, Rubric>();

parentPort!.on('message', ({ id, rubricVersion, rubric: sent, assessment, task }: JudgeAsk) => {
  if (sent) rubrics.set(rubricVersion, sent);
  const rubric = rubrics.get(rubricVersion)!;
  let told: JudgeTold;
  try {
    const { do: what, ...options } = task;
    const document = what === 'score' ? score(rubric, assessment, options) : plan(rubric, assessment, options);
    told = { id, answer: pack(document) };
  } catch (error) {
    const { message, stack } = error as Error;
    told = { id, error: { message, stack, ...(error instanceof InputError ? { faults: error.faults } : {}) } };
  }
  parentPort!.postMessage(told, 'answer' in told ? [told.answer.gzipped.buffer] : []);
});
