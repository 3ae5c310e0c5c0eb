export * from './api.ts';
export * from './assessment.ts';
export * from './change.ts';
export * from './faults.ts';
export * from './rubric.ts';
export * from './units.ts';
export * from './verdict.ts';
export * from './words.ts';
