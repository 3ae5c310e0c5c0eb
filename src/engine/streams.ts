/** How many different 32-bit integers there are: a plain number, since it does not fit 32 bits itself. */
export const TWO_TO_32 = 4294967296;

/**
 * Named random streams: the draws of one check of one component depend on the seed and those two names alone,
 * so adding or reordering parts changes no other part.
 *
 * The name is hashed with FNV-1a (Fowler, Noll, Vo; 32 bit, four offsets) and the numbers come from sfc32
 * (Chris Doty-Humphrey, PractRand), which is exact in 32-bit integer arithmetic and so the same in every engine.
 */

const OFFSETS = [0x811c9dc5, 0x01000193, 0x9e3779b9, 0x85ebca6b] as const;

function hash(name: string, offset: number): number {
  let h = offset;
  for (let i = 0; i < name.length; i++) {
    const code = name.charCodeAt(i);
    h = Math.imul(h ^ (code & 0xff), 0x01000193);
    h = Math.imul(h ^ (code >>> 8), 0x01000193);
  }
  h ^= h >>> 16;
  h = Math.imul(h, 0x7feb352d);
  h ^= h >>> 15;
  return h | 0;
}

/**
 * Fills an array with the first uniform 32-bit integers of a named stream.
 *
 * @param out array of any length; every element is written
 * @param seed whole number
 * @param name name of the stream, such as `lower-arm|web-rust`
 */
export function fillStream(out: Uint32Array, seed: number, name: string): void {
  const key = `${seed}|${name}`;
  let a = hash(key, OFFSETS[0]);
  let b = hash(key, OFFSETS[1]);
  let c = hash(key, OFFSETS[2]);
  let d = hash(key, OFFSETS[3]) | 1;
  const warmUp = 12;
  for (let i = -warmUp; i < out.length; i++) {
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + t) | 0;
    if (i >= 0) out[i] = t;
  }
}

/**
 * Turns probabilities into thresholds for a uniform 32-bit integer: value k is drawn when exactly k thresholds are
 * at or below the number. A value of probability 0 is never drawn.
 *
 * @param weights probabilities of the values in order, any positive sum
 * @returns one threshold fewer than there are values, each 0 to 2^32 (a plain number, since 2^32 does not fit 32 bits)
 */
export function thresholds(weights: ArrayLike<number>): Float64Array {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) sum += weights[i]!;
  const out = new Float64Array(weights.length - 1);
  let below = 0;
  for (let i = 0; i < out.length; i++) {
    below += weights[i]!;
    out[i] = Math.round((below / sum) * TWO_TO_32);
  }
  // Rounding must not let a value of probability 0 at the end be drawn, nor hide one that is possible.
  for (let i = out.length - 1; i >= 0 && weights[i + 1] === 0; i--) out[i] = TWO_TO_32;
  return out;
}

/** Value drawn for one uniform 32-bit integer; see `thresholds`. */
export function valueAt(u: number, limits: Float64Array): number {
  let k = 0;
  while (k < limits.length && u >= limits[k]!) k++;
  return k;
}

const UNSURE = 255;
const BUCKETS = 256;

/**
 * Table that gives the value of most uniform integers at once: by their top eight bits, or 255 where a threshold lies
 * among the integers that share these.
 *
 * @param limits from `thresholds`, fewer than 255
 */
export function bucketsOf(limits: Float64Array): Uint8Array {
  const out = new Uint8Array(BUCKETS);
  const wide = TWO_TO_32 / BUCKETS;
  let from = 0;
  for (let k = 0; k < limits.length; k++) {
    // The bucket that the threshold cuts is unsure, unless it begins there.
    const at = limits[k]! / wide;
    const cut = Math.floor(at);
    if (cut > from) out.fill(k, from, cut);
    if (cut < BUCKETS && cut !== at) out[cut] = UNSURE;
    from = Math.max(from, Math.ceil(at));
  }
  if (from < BUCKETS) out.fill(limits.length, from);
  return out;
}

/** Thresholds ready for drawing: the rows one after the other, and their tables from `bucketsOf`. */
export interface Rows {
  limits: Float64Array;
  buckets: Uint8Array;
  /** Thresholds in a row. */
  steps: number;
}

/** Makes rows of chances ready for drawing; each has as many values. */
export function rowsOf(weights: readonly ArrayLike<number>[]): Rows {
  const rows = weights.map(thresholds);
  const steps = rows[0]!.length;
  const limits = new Float64Array(rows.length * steps);
  const buckets = new Uint8Array(rows.length * BUCKETS);
  rows.forEach((row, r) => {
    limits.set(row, r * steps);
    buckets.set(bucketsOf(row), r * BUCKETS);
  });
  return { limits, buckets, steps };
}

/**
 * Turns uniform integers into values by one row of thresholds.
 *
 * @param out one value a draw
 * @param uniform integers, as long as `out`
 */
export function fillByRow(out: Uint8Array, uniform: Uint32Array, { buckets, limits }: Rows): void {
  for (let d = 0; d < out.length; d++) {
    const k = buckets[uniform[d]! >>> 24]!;
    out[d] = k === UNSURE ? valueAt(uniform[d]!, limits) : k;
  }
}

/**
 * Turns uniform integers into values, each by the row of its draw.
 *
 * @param out one value a draw
 * @param uniform integers, as long as `out`
 * @param rowOf row of each draw
 */
export function fillByRows(out: Uint8Array, uniform: Uint32Array, rowOf: Uint8Array, rows: Rows): void {
  const { buckets, limits, steps } = rows;
  for (let d = 0; d < out.length; d++) {
    let k = buckets[(rowOf[d]! << 8) | (uniform[d]! >>> 24)]!;
    if (k === UNSURE) {
      k = 0;
      const from = rowOf[d]! * steps;
      for (let at = from; at < from + steps; at++) if (uniform[d]! >= limits[at]!) k++;
    }
    out[d] = k;
  }
}
