export { bestLookSet } from './look-set.ts';
export { type ScoreOptions, score } from './score.ts';
export { valueOfAnswer } from './value-of-answer.ts';
