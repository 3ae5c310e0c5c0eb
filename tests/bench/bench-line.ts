/** One line of the benchmark: a ratio or a size of our own against its limit, never a bare time. */
export interface BenchLine {
  readonly name: string;
  readonly value: number;
  readonly limit: number;
  readonly isMet: boolean;
  /** A second column: how another way did in the same run. */
  readonly beside?: string;
}

/** A figure that must not be above its limit. */
export function atMost(name: string, value: number, limit: number, beside?: string): BenchLine {
  return { name, value, limit, isMet: value <= limit, ...(beside === undefined ? {} : { beside }) };
}

/** Middle value. */
export function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

/**
 * How many times longer one way takes than another. The two take turns, and the least time of each counts: whatever else
 * the machine does only ever adds to a time. The first turns only warm up.
 *
 * @returns ratio of the least times, and the least time of the first, ms
 */
export function ratioOf(ours: () => void, other: () => void, turns: number): { ratio: number; ms: number } {
  let [a, b] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (let turn = 0; turn < turns + 3; turn++) {
    const [mine, theirs] = [timeOf(ours), timeOf(other)];
    if (turn < 3) continue;
    a = Math.min(a, mine);
    b = Math.min(b, theirs);
  }
  return { ratio: a / b, ms: a };
}

/** Time that a call takes, ms. */
export function timeOf(call: () => void): number {
  const start = performance.now();
  call();
  return performance.now() - start;
}
