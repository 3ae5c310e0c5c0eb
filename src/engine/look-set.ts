/** A look that could be taken: what it costs in minutes, on top of a set-up that others may share. */
export interface Candidate {
  minutes: number;
  /** Index of the shared set-up, or -1. */
  setup: number;
}

/** Most looks for which every set is tried. */
export const MOST_EXACT = 12;

/** Minutes of a set of looks, each set-up counted once. `set` has bit i for candidate i. */
export function minutesOf(set: number, candidates: readonly Candidate[], setupMinutes: readonly number[]): number {
  let minutes = 0;
  let setups = 0;
  for (let i = 0; i < candidates.length; i++) {
    if ((set & (1 << i)) === 0) continue;
    minutes += candidates[i]!.minutes;
    const { setup } = candidates[i]!;
    if (setup >= 0 && (setups & (1 << setup)) === 0) {
      setups |= 1 << setup;
      minutes += setupMinutes[setup]!;
    }
  }
  return minutes;
}

/**
 * The set of looks worth most after paying for its minutes, within the minutes there are. Every set is tried, so the
 * answer is exact.
 *
 * @param candidates at most `MOST_EXACT` looks
 * @param setupMinutes minutes of each shared set-up; at most 31
 * @param minutes minutes there are, or Infinity
 * @param worthOf money saved by knowing all the answers of a set
 * @param minuteRate money a minute costs
 * @returns bits of the chosen candidates, and the money left after paying for the minutes
 * @throws RangeError when there are too many candidates
 */
export function bestLookSet(
  candidates: readonly Candidate[],
  setupMinutes: readonly number[],
  minutes: number,
  worthOf: (set: number) => number,
  minuteRate: number,
): { set: number; net: number } {
  if (candidates.length > MOST_EXACT)
    throw new RangeError(`Cannot try every set: wanted at most ${MOST_EXACT} looks, found ${candidates.length}`);
  let best = { set: 0, net: 0 };
  for (let set = 1; set < 1 << candidates.length; set++) {
    const needed = minutesOf(set, candidates, setupMinutes);
    if (needed > minutes) continue;
    const net = worthOf(set) - needed * minuteRate;
    if (net > best.net + 1e-9) best = { set, net };
  }
  return best;
}
