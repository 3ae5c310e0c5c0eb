/*
 * Math.exp, Math.log and Math.pow may differ in the last digit from one engine to the next, and a verdict must
 * come out byte for byte the same on the server and on the page. These use only + - * / and whole-number rounding,
 * which every engine does alike.
 */

// ln 2 in two parts: the first has trailing zero bits, so that k times it is exact for every k that can occur.
const LN2_HIGH = 0.6931471803691238;
const LN2_LOW = 1.9082149292705877e-10;
const EXP_OVERFLOW = 709.782712893384;
const EXP_UNDERFLOW = -745.1332191019412;
const EXP_TERMS = 15;
const LN_TERMS = 12;

function powerOfTwo(exponent: number): number {
  let base = exponent < 0 ? 0.5 : 2;
  let left = exponent < 0 ? -exponent : exponent;
  let result = 1;
  while (left > 0) {
    if (left % 2 === 1) result *= base;
    base *= base;
    left = Math.floor(left / 2);
  }
  return result;
}

/**
 * The exponential function, the same in every engine.
 *
 * @param x Any number, no unit
 * @returns e to the power x, accurate to 1e-13 of itself; 0 below -745.2, Infinity above 709.8
 * @throws {RangeError} If x is not a number
 * Source: Taylor series after taking out whole powers of two
 */
export function exp(x: number): number {
  if (Number.isNaN(x)) throw new RangeError('Cannot take exp: wanted a number, found NaN');
  if (x > EXP_OVERFLOW) return Number.POSITIVE_INFINITY;
  if (x < EXP_UNDERFLOW) return 0;
  const k = Math.floor(x / (LN2_HIGH + LN2_LOW) + 0.5);
  const r = x - k * LN2_HIGH - k * LN2_LOW;
  let sum = 1;
  for (let n = EXP_TERMS; n >= 1; n -= 1) sum = 1 + (sum * r) / n;
  // Two steps, so that neither factor overflows or vanishes before the product does.
  const half = Math.floor(k / 2);
  return sum * powerOfTwo(half) * powerOfTwo(k - half);
}

/**
 * The natural logarithm, the same in every engine.
 *
 * @param x Number above 0, no unit
 * @returns ln x, accurate to 1e-13 of itself
 * @throws {RangeError} If x is not above 0 and finite
 * Source: series of the inverse hyperbolic tangent after taking out whole powers of two
 */
export function ln(x: number): number {
  if (!(x > 0 && x <= Number.MAX_VALUE)) throw new RangeError(`Cannot take ln: x must be above 0, found ${x}`);
  let m = x;
  let k = 0;
  for (let step = 512; step >= 1; step /= 2) {
    const factor = powerOfTwo(step);
    while (m >= factor) {
      m /= factor;
      k += step;
    }
    while (m * factor < 1) {
      m *= factor;
      k -= step;
    }
  }
  if (m < Math.SQRT1_2) {
    m *= 2;
    k -= 1;
  } else if (m >= 2 * Math.SQRT1_2) {
    m /= 2;
    k += 1;
  }
  const s = (m - 1) / (m + 1);
  const s2 = s * s;
  let sum = 0;
  for (let n = LN_TERMS; n >= 0; n -= 1) sum = sum * s2 + 1 / (2 * n + 1);
  return k * LN2_HIGH + (2 * s * sum + k * LN2_LOW);
}

/**
 * The logarithm to base ten, the same in every engine.
 *
 * @param x Number above 0, no unit
 * @returns log10 x
 * @throws {RangeError} If x is not above 0 and finite
 * Source: ln x / ln 10
 */
export function log10(x: number): number {
  return ln(x) / Math.LN10;
}

/**
 * A number at or above zero to a power, the same in every engine.
 *
 * Whole powers up to 64 are multiplied out, so that squares and cubes are exact where they can be.
 *
 * @param base Number at or above 0, no unit
 * @param exponent Any number, no unit; must be above 0 when the base is 0
 * @returns base to the power exponent, accurate to 1e-13 of itself while the result is between 1e-300 and 1e300
 * @throws {RangeError} If the base is negative, or 0 with an exponent at or below 0
 * Source: exp(exponent ln base)
 */
export function pow(base: number, exponent: number): number {
  if (!(base >= 0)) throw new RangeError(`Cannot take a power: base must be at least 0, found ${base}`);
  if (base === 0) {
    if (!(exponent > 0)) throw new RangeError(`Cannot take a power of 0: exponent must be above 0, found ${exponent}`);
    return 0;
  }
  if (Number.isInteger(exponent) && exponent >= 0 && exponent <= 64) {
    let result = 1;
    for (let n = 0; n < exponent; n += 1) result *= base;
    return result;
  }
  return exp(exponent * ln(base));
}
