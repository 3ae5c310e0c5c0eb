import { PhotoErrorCode, type PhotoLine, type PhotoRequest } from '../../shared/photo.ts';
import { groupOf, type PhotoTrace } from '../imaging/index.ts';
import { finishPhoto } from './finish-photo.ts';
import type { PhotoDeps, RawPhoto } from './photo-deps.ts';

/** One file to measure. */
export interface PhotoTask {
  readonly file: string;
  readonly request?: PhotoRequest | undefined;
  readonly maskFile?: string | undefined;
}

/** One file's line, with what the table and the draft need beside it. */
export interface PhotoOutcome {
  readonly line: PhotoLine;
  /** Capture time, milliseconds since 1970 in the camera's own time, or null. */
  readonly takenAtMs: number | null;
  readonly isFirstOfMany: boolean;
}

/** How many photos may be finished ahead of the one whose turn it is: keeps the cores busy and the memory flat. */
const AHEAD = 2;

/**
 * Measure photos, all cores at once, and give the results in the order of the tasks as soon as each one's turn has come.
 *
 * A file that cannot be measured gives a line that says why; the others go on.
 *
 * @param tasks Files with what a person said about them
 * @param deps What measuring needs from outside
 */
export async function* measurePhotos(tasks: readonly PhotoTask[], deps: PhotoDeps): AsyncGenerator<PhotoOutcome> {
  const running: Promise<RawPhoto | Failure>[] = [];
  const traces: (PhotoTrace & { group: number })[] = [];
  const start = (index: number) => {
    const task = tasks[index];
    if (task !== undefined) running[index] = measureOne(task, deps);
  };
  for (let index = 0; index < deps.parallel * AHEAD; index++) start(index);
  for (const [index, { file, request }] of tasks.entries()) {
    const raw = await running[index]!;
    delete running[index];
    start(index + deps.parallel * AHEAD);
    if (raw instanceof Failure) {
      const { code, message } = raw;
      yield { line: { file, error: { code, message } }, takenAtMs: null, isFirstOfMany: false };
      continue;
    }
    const trace = { hash: raw.hash, takenAt: raw.takenAtMs };
    const group = groupOf(trace, traces, deps.duplicates);
    traces.push({ ...trace, group });
    const line = finishPhoto(file, raw, { intervals: deps.intervals, group, scale: request?.scale });
    yield { line, takenAtMs: raw.takenAtMs, isFirstOfMany: raw.isFirstOfMany };
  }
}

class Failure {
  constructor(
    readonly code: PhotoErrorCode,
    readonly message: string,
  ) {}
}

function measureOne(task: PhotoTask, deps: PhotoDeps): Promise<RawPhoto | Failure> {
  return deps
    .measureFile(task.file, { request: task.request ?? {}, maskFile: task.maskFile })
    .catch((error: unknown) => {
      const code = PhotoErrorCode.safeParse((error as { code?: unknown } | null)?.code);
      // Anything without a photo's code is our own fault and must not look like a bad photo.
      if (!code.success) throw error;
      return new Failure(code.data, error instanceof Error ? error.message : String(error));
    });
}
