import type { Rubric } from '../../../shared/index.ts';
import { readFrom as read } from '../../engine/index.ts';

/** On what a number stands: title and clause of a published source, or whose word it is. */
export type Standing = ReturnType<typeof read>;

/** Reads a `from` of the rubric for showing: as a reason has it, with the words that stand after a basis. */
export function readFrom(rubric: Rubric, from: string): Standing {
  const { source, basis } = read(rubric, from);
  return { source: source ?? (from.trim().split(/\s+/).slice(1).join(' ') || null), basis };
}
