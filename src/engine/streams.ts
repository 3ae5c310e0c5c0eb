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
    out[i] = Math.round((below / sum) * 4294967296);
  }
  // Rounding must not let a value of probability 0 at the end be drawn, nor hide one that is possible.
  for (let i = out.length - 1; i >= 0 && weights[i + 1] === 0; i--) out[i] = 4294967296;
  return out;
}

/** Value drawn for one uniform 32-bit integer; see `thresholds`. */
export function valueAt(u: number, limits: Float64Array): number {
  let k = 0;
  while (k < limits.length && u >= limits[k]!) k++;
  return k;
}
