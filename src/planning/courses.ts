import type { Prepared } from '../engine/index.ts';
import type { Way } from './ways.ts';

/** How a way goes over some of the draws: shares that sum to 1. */
export interface Course {
  passes: number;
  /** Share found barred at each hold point, in order. */
  failsAt: number[];
  /** Found barred when nothing but replacing is left: refinishing when the work is done, reuse at once. */
  failsLate: number;
  /** Reuse barred, refinishing still allowed. */
  restorable: number;
  /** May it be taken under some of the draws and some completion of the missing answers? */
  canBe: boolean;
}

/** What one set of effects makes of a way: -1 it passes, -2 barred late, -3 reuse barred but not refinishing, else the hold point. */
export type End = number;
export const PASSES: End = -1;
export const LATE: End = -2;
export const RESTORABLE: End = -3;

/** How a way ends when these effects hold. */
export function endOf(way: Way, effect: number, { c }: Prepared, finish: number): End {
  if (way.option.action === 'replace') return PASSES;
  const barred = effect & c.compiled.refinishBits[finish]!;
  if (way.option.action === 'reuse') {
    if ((effect & c.compiled.reuseBits[finish]!) === 0) return PASSES;
    return barred === 0 ? RESTORABLE : LATE;
  }
  if (barred === 0) return PASSES;
  const at = way.stretches.findIndex(({ knownBits }) => knownBits !== null && (barred & knownBits) !== 0);
  return at >= 0 ? at : LATE;
}

/**
 * Courses of all ways over the draws that pass a test (all draws when none does).
 *
 * @param test of a set of effects
 */
export function coursesOver(
  prepared: Prepared,
  ways: readonly Way[],
  finish: number,
  test: (effect: number) => boolean = () => true,
): Course[] {
  const { drawn, completions } = prepared;
  const some = drawn.effects.some(test);
  return ways.map((way) => {
    const course: Course = {
      passes: 0,
      failsAt: way.stretches.map(() => 0),
      failsLate: 0,
      restorable: 0,
      canBe: false,
    };
    let total = 0;
    drawn.effects.forEach((effect, k) => {
      if (some && !test(effect)) return;
      const count = drawn.counts[k]!;
      total += count;
      const end = endOf(way, effect, prepared, finish);
      if (end === PASSES) course.passes += count;
      else if (end === LATE) course.failsLate += count;
      else if (end === RESTORABLE) course.restorable += count;
      else course.failsAt[end]! += count;
    });
    // Draws allow for a grader's error; what an answer bars stays barred.
    course.canBe = course.passes > 0 && completions.some((effect) => endOf(way, effect, prepared, finish) === PASSES);
    course.passes /= total;
    course.failsLate /= total;
    course.restorable /= total;
    course.failsAt = course.failsAt.map((share) => share / total);
    return course;
  });
}
