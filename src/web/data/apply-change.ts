import { applyChange as makeChange } from '../../../shared/apply-change.ts';
import type { Change } from '../../../shared/change.ts';
import type { Assessment } from '../../../shared/index.ts';
import { today } from '../format.ts';

/**
 * An assessment with one more change, for showing what waits to be sent. A change that does not fit leaves it as it is:
 * the server has the last word.
 */
export function applyChange(assessment: Assessment, change: Change): Assessment {
  const applied = makeChange(assessment, change, { today: today() });
  return applied.refused ? assessment : applied.assessment;
}
