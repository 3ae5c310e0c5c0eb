import { Worker } from 'node:worker_threads';
import { type Assessment, type Fault, InputError, type Rubric } from '../../../shared/index.ts';
import type { Packed } from '../../app/verdict-port.ts';

/** A task for the thread that judges. The rubric travels once and is known by its version from then on. */
export interface JudgeAsk {
  id: number;
  rubricVersion: string;
  rubric?: Rubric;
  assessment: Assessment;
  task: { do: 'score'; seed: number; minutes?: number } | { do: 'plan'; seed: number };
}

export type JudgeTold =
  | { id: number; answer: Packed }
  | { id: number; error: { message: string; stack?: string | undefined; faults?: readonly Fault[] } };

export interface Judges {
  score: (rubric: Rubric, assessment: Assessment, options: { seed: number; minutes?: number }) => Promise<Packed>;
  plan: (rubric: Rubric, assessment: Assessment, options: { seed: number }) => Promise<Packed>;
  close: () => Promise<void>;
}

/**
 * Judges in a thread of its own, started with the first task, so that a long list never holds up anybody's answers. The
 * thread also writes the document down: four megabytes of text are work too.
 *
 * @param program Built program of the thread
 */
export function openJudges(program: URL): Judges {
  const open = new Map<number, { done: (answer: Packed) => void; failed: (error: Error) => void }>();
  const sent = new Set<string>();
  let worker: Worker | null = null;
  let last = 0;

  const fail = (error: Error) => {
    for (const waiting of open.values()) waiting.failed(error);
    open.clear();
    sent.clear();
    worker = null;
  };
  const start = () => {
    const made = new Worker(program);
    // It must not keep the program from ending.
    made.unref();
    made.on('message', (told: JudgeTold) => {
      const waiting = open.get(told.id);
      open.delete(told.id);
      if ('answer' in told) waiting?.done(told.answer);
      else waiting?.failed(asError(told.error));
    });
    made.on('error', fail);
    made.on('exit', () => fail(new Error('The thread that judges has ended')));
    return made;
  };
  const ask = (rubric: Rubric, assessment: Assessment, task: JudgeAsk['task']) => {
    worker ??= start();
    const id = ++last;
    const isKnown = sent.has(rubric.version);
    sent.add(rubric.version);
    const told = new Promise<Packed>((done, failed) => open.set(id, { done, failed }));
    const message: JudgeAsk = { id, rubricVersion: rubric.version, assessment, task, ...(isKnown ? {} : { rubric }) };
    worker.postMessage(message);
    return told;
  };

  return {
    score: (rubric, assessment, options) => ask(rubric, assessment, { do: 'score', ...options }),
    plan: (rubric, assessment, options) => ask(rubric, assessment, { do: 'plan', ...options }),
    close: async () => {
      await worker?.terminate();
    },
  };
}

function asError({ message, stack, faults }: Extract<JudgeTold, { error: unknown }>['error']): Error {
  if (faults) return new InputError(faults);
  const error = new Error(message);
  if (stack) error.stack = stack;
  return error;
}
