export { bestLookSet } from './look-set.ts';
export { type PreparedJob, prepare, type ScoreOptions } from './prepare.ts';
export { type Readded, type Reweighed, readd, reweigh, type Setting } from './readd.ts';
export { score, scoreOf } from './score.ts';
export { valueOfAnswer } from './value-of-answer.ts';
