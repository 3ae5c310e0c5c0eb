import { fillStream, TWO_TO_32 } from '../engine/index.ts';
import { normalQuantile } from '../standards/index.ts';

// One buffer serves every stream: it is read before the next is drawn.
let integers = new Uint32Array(0);

function draw(seed: number, name: string, draws: number): Uint32Array {
  if (integers.length !== draws) integers = new Uint32Array(draws);
  fillStream(integers, seed, name);
  return integers;
}

/** Standard normal scores of a named stream: seed and name alone make them, so that adding a part changes no other. */
export function scoresOf(
  seed: number,
  name: string,
  draws: number,
  out: Float64Array = new Float64Array(draws),
): Float64Array {
  uniformsOf(seed, name, draws, out);
  for (let d = 0; d < draws; d++) out[d] = normalQuantile(out[d]!);
  return out;
}

/** Uniform numbers of a named stream, above 0 and below 1. */
export function uniformsOf(
  seed: number,
  name: string,
  draws: number,
  out: Float64Array = new Float64Array(draws),
): Float64Array {
  const uniform = draw(seed, name, draws);
  for (let d = 0; d < draws; d++) out[d] = (uniform[d]! + 0.5) / TWO_TO_32;
  return out;
}

/**
 * How often something happens in `trials` tries, read from one uniform number by the inverse of the binomial distribution.
 *
 * @param u above 0 and below 1
 * @param probability 0 to 1
 */
export function timesHappened(u: number, trials: number, probability: number): number {
  if (probability <= 0) return 0;
  if (probability >= 1) return trials;
  let term = 1;
  for (let k = 0; k < trials; k++) term *= 1 - probability;
  let happened = 0;
  let below = term;
  const odds = probability / (1 - probability);
  while (u > below && happened < trials) {
    term *= (odds * (trials - happened)) / (happened + 1);
    happened++;
    below += term;
  }
  return happened;
}
