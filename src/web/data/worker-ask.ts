import type { Assessment, Rubric } from '../../../shared/index.ts';

/** A task for a worker. Rubric and assessment travel once, and are known by version and stamp from then on. */
export interface Ask<Task> {
  id: number;
  seed: number;
  rubricVersion: string;
  rubric?: Rubric;
  stamp: number;
  assessment?: Assessment;
  task: Task;
}

export type Told = { id: number; answer: unknown } | { id: number; error: string };

/** In a worker: answers every task with what `work` makes of it. */
export function answerAsks<Task>(
  work: (rubric: Rubric, assessment: Assessment, seed: number, task: Task) => unknown,
): void {
  const rubrics = new Map<string, Rubric>();
  let last: { stamp: number; assessment: Assessment } | null = null;
  self.addEventListener('message', ({ data }: MessageEvent<Ask<Task>>) => {
    const { id, seed, rubricVersion, stamp, task } = data;
    if (data.rubric) rubrics.set(rubricVersion, data.rubric);
    if (data.assessment) last = { stamp, assessment: data.assessment };
    const rubric = rubrics.get(rubricVersion);
    let told: Told;
    try {
      if (!rubric) throw new RangeError(`Cannot judge: wanted rubric ${rubricVersion}, found none`);
      if (last?.stamp !== stamp) throw new RangeError('Cannot judge: wanted the assessment, found another');
      told = { id, answer: work(rubric, last.assessment, seed, task) };
    } catch (error) {
      told = { id, error: error instanceof Error ? error.message : String(error) };
    }
    self.postMessage(told);
  });
}

/** In the page: one worker, started when it is first asked. */
export class AskedWorker<Task> {
  readonly #start: () => Worker;
  readonly #open = new Map<number, { done: (answer: unknown) => void; failed: (error: Error) => void }>();
  readonly #sent = new Set<string>();
  #worker: Worker | null = null;
  #last = 0;
  #stamp = 0;

  constructor(start: () => Worker) {
    this.#start = start;
  }

  /** @throws Error when the browser cannot run the worker, or the work fails */
  ask(assessment: Assessment, rubric: Rubric, seed: number, task: Task): Promise<unknown> {
    this.#worker ??= this.#make();
    const id = ++this.#last;
    const stamp = stampOf(assessment);
    const ask: Ask<Task> = { id, seed, rubricVersion: rubric.version, stamp, task };
    if (!this.#sent.has(rubric.version)) {
      this.#sent.add(rubric.version);
      ask.rubric = rubric;
    }
    if (this.#stamp !== stamp) {
      this.#stamp = stamp;
      ask.assessment = assessment;
    }
    const told = new Promise<unknown>((done, failed) => this.#open.set(id, { done, failed }));
    this.#worker.postMessage(ask);
    return told;
  }

  #make(): Worker {
    const made = this.#start();
    made.addEventListener('message', ({ data }: MessageEvent<Told>) => {
      const waiting = this.#open.get(data.id);
      this.#open.delete(data.id);
      if ('answer' in data) waiting?.done(data.answer);
      else waiting?.failed(new Error(data.error));
    });
    made.addEventListener('error', (event) => {
      for (const waiting of this.#open.values()) waiting.failed(new Error(event.message));
      this.#open.clear();
      this.#sent.clear();
      this.#stamp = 0;
      this.#worker = null;
    });
    return made;
  }
}

let last = 0;
const stamps = new WeakMap<Assessment, number>();

/** A number for each state of an assessment, from 1. */
export function stampOf(assessment: Assessment): number {
  let stamp = stamps.get(assessment);
  if (stamp === undefined) {
    stamp = ++last;
    stamps.set(assessment, stamp);
  }
  return stamp;
}
