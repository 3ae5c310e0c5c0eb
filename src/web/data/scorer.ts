import type { Assessment, Rubric, ScoreOut } from '../../../shared/index.ts';
import type { Ask, Told } from './score-worker.ts';

/** Seed of every score that a page shows; the server's own when none is asked for. */
export const SEED = 1;

let worker: Worker | null = null;
let last = 0;
const sent = new Set<string>();
const open = new Map<number, { done: (score: ScoreOut) => void; failed: (error: Error) => void }>();

/** Judges an assessment beside the page's own thread, with the very engine of the server. */
export function scoreHere(assessment: Assessment, rubric: Rubric): Promise<ScoreOut> {
  worker ??= start();
  const id = ++last;
  const ask: Ask = { id, seed: SEED, assessment, rubricVersion: rubric.version };
  if (!sent.has(rubric.version)) {
    sent.add(rubric.version);
    ask.rubric = rubric;
  }
  const told = new Promise<ScoreOut>((done, failed) => open.set(id, { done, failed }));
  worker.postMessage(ask);
  return told;
}

function start(): Worker {
  const made = new Worker(new URL('./score-worker.ts', import.meta.url), { type: 'module' });
  made.addEventListener('message', ({ data }: MessageEvent<Told>) => {
    const waiting = open.get(data.id);
    open.delete(data.id);
    if ('score' in data) waiting?.done(data.score);
    else waiting?.failed(new Error(data.error));
  });
  made.addEventListener('error', (event) => {
    for (const waiting of open.values()) waiting.failed(new Error(event.message));
    open.clear();
    sent.clear();
    worker = null;
  });
  return made;
}
