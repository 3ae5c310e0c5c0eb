import { type Fault, InputError, type Problem, type ProblemName, StoreError } from '../../shared/index.ts';

const TITLES: Record<ProblemName, [status: number, title: string]> = {
  'bad-request': [400, 'The request cannot be read'],
  'not-paired': [401, 'This device is not paired'],
  'not-allowed': [403, 'This device may not do that'],
  'not-found': [404, 'There is no such thing here'],
  conflict: [409, 'It does not go with what is there'],
  gone: [410, 'It is in the bin'],
  stale: [412, 'Somebody has changed it meanwhile'],
  'too-large': [413, 'That is too much at once'],
  'wrong-type': [415, 'That kind of file is not taken'],
  unfit: [422, 'Something in it is not right'],
  'need-if-match': [428, 'Say which version you saw'],
  'too-many': [429, 'Too many tries'],
  'wrong-host': [421, 'This address is not served here'],
  'wrong-origin': [403, 'Another site asked for this'],
  'disk-full': [507, 'The disk is full'],
  'read-only': [503, 'Nothing can be written now'],
  fault: [500, 'Something went wrong on our side'],
};

/** Problem details (RFC 9457) of a named problem. */
export function problem(
  name: ProblemName,
  detail?: string,
  more: { faults?: readonly Fault[]; version?: number } = {},
): Problem {
  const [status, title] = TITLES[name];
  return {
    type: `/problems/${name}`,
    title,
    status,
    ...(detail === undefined ? {} : { detail }),
    ...(more.faults ? { faults: more.faults.map(({ path, wanted, found }) => ({ path, wanted, found })) } : {}),
    ...(more.version === undefined ? {} : { version: more.version }),
  };
}

/** A request that cannot be met, for a reason its sender should read. */
export class ProblemError extends Error {
  readonly problem: Problem;
  constructor(...args: Parameters<typeof problem>) {
    super(args[1] ?? args[0]);
    this.name = 'ProblemError';
    this.problem = problem(...args);
  }
}

/** What a person is told of any error. What is not known is a fault of ours, and its text stays in our own log. */
export function problemOf(error: unknown): Problem {
  if (error instanceof ProblemError) return error.problem;
  if (error instanceof InputError) return problem('unfit', error.message.slice(0, 2000), { faults: error.faults });
  if (error instanceof StoreError) {
    if (error.code === 'disk-full') return problem('disk-full', error.message);
    return problem('read-only', error.message);
  }
  return problem('fault', 'The server has written down what happened');
}
