import { ProblemError } from './store-problem.ts';

/** Codes of the photo contract that are about the kind of file, and about its size. */
const WRONG_TYPE: ReadonlySet<string> = new Set(['not-a-picture', 'unsupported']);
const TOO_LARGE: ReadonlySet<string> = new Set(['too-large', 'too-many-pixels']);
const UNFIT: ReadonlySet<string> = new Set([
  'empty',
  'damaged',
  'too-slow',
  'crashed',
  'outline',
  'hints',
  'scale',
  'no-model',
]);

/** What a person is told about a photo that cannot be used. Anything else is a fault of ours. */
export function photoProblem(error: unknown): unknown {
  const code = (error as { code?: unknown } | null)?.code;
  const message = error instanceof Error ? error.message : String(error);
  if (typeof code !== 'string') return error;
  if (WRONG_TYPE.has(code)) return new ProblemError('wrong-type', message);
  if (TOO_LARGE.has(code)) return new ProblemError('too-large', message);
  // The message says all; a list of faults beside it would say it twice.
  if (UNFIT.has(code)) return new ProblemError('unfit', message);
  return error;
}
