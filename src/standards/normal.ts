import { exp, ln } from './elementary.ts';

const SQRT_TWO_PI = 2.5066282746310007;
// Past this distance the series loses digits in the tail and the continued fraction is short.
const SERIES_LIMIT = 3;
const FRACTION_DEPTH = 60;

/**
 * Chance that a standard normal variable is at or below z.
 *
 * @param z Standard score, any number, no unit
 * @returns Probability 0 to 1; accurate to 1e-12 of itself down to z = -37
 * @throws {RangeError} If z is not a number
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.11 (series) and 26.2.14 (continued fraction)
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) throw new RangeError('Cannot take the normal distribution: wanted a number, found NaN');
  const size = z < 0 ? -z : z;
  if (size > 38.6) return z < 0 ? 0 : 1;
  const density = exp(-0.5 * size * size) / SQRT_TWO_PI;
  if (size <= SERIES_LIMIT) {
    let term = size;
    let sum = size;
    for (let n = 3; term > sum * 1e-18; n += 2) {
      term *= (size * size) / n;
      sum += term;
    }
    return z < 0 ? 0.5 - density * sum : 0.5 + density * sum;
  }
  let fraction = size;
  for (let n = FRACTION_DEPTH; n >= 1; n -= 1) fraction = size + n / fraction;
  const tail = density / fraction;
  return z < 0 ? tail : 1 - tail;
}

const CENTRE_TOP = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.693765509461, 45921.95393154987, 67265.7709270087,
  33430.57558358813, 2509.0809287301227,
];
const CENTRE_BOTTOM = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271, 28729.085735721943,
  5226.495278852854,
];
const TAIL_TOP = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684, 0.2417807251774506,
  0.022723844989269184, 0.0007745450142783414,
];
const TAIL_BOTTOM = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-9,
];
const FAR_TOP = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
];
const FAR_BOTTOM = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 1.8463183175100548e-5,
  1.421511758316446e-7, 2.0442631033899397e-15,
];

function ratio(top: readonly number[], bottom: readonly number[], x: number): number {
  let a = 0;
  let b = 0;
  for (let n = top.length - 1; n >= 0; n -= 1) {
    a = a * x + top[n]!;
    b = b * x + bottom[n]!;
  }
  return a / b;
}

/**
 * Standard score below which a standard normal variable falls with a given chance.
 *
 * @param p Probability, above 0 and below 1
 * @returns Standard score z, no unit, accurate to 1e-12 of itself
 * @throws {RangeError} If p is not above 0 and below 1
 * Source: M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988), 477-484 (coefficients from memory, checked in tests)
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`Cannot take a quantile: p must be above 0 and below 1, found ${p}`);
  const q = p - 0.5;
  if (q <= 0.425 && q >= -0.425) return q * ratio(CENTRE_TOP, CENTRE_BOTTOM, 0.180625 - q * q);
  const r = Math.sqrt(-ln(q < 0 ? p : 1 - p));
  const z = r <= 5 ? ratio(TAIL_TOP, TAIL_BOTTOM, r - 1.6) : ratio(FAR_TOP, FAR_BOTTOM, r - 5);
  return q < 0 ? -z : z;
}
