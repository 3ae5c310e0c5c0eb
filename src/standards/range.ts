/**
 * Returns the value when it is finite and within its bounds.
 *
 * @param name Name of the quantity with its unit, for the message
 * @param value The number to check
 * @param low Smallest allowed value, same unit
 * @param high Largest allowed value, same unit; left out means no upper bound
 * @returns The value itself
 * @throws {RangeError} If the value is not a number or lies outside
 * Source: none, a guard against a caller's mistake
 */
export function inRange(name: string, value: number, low: number, high = Number.MAX_VALUE): number {
  if (!(value >= low && value <= high)) {
    const wanted = high === Number.MAX_VALUE ? `at least ${low}` : `from ${low} to ${high}`;
    throw new RangeError(`Cannot use ${name}: must be ${wanted}, found ${value}`);
  }
  return value;
}

/**
 * Returns the value when it is finite and above zero.
 *
 * @param name Name of the quantity with its unit, for the message
 * @param value The number to check
 * @returns The value itself
 * @throws {RangeError} If the value is not a number, zero or less
 * Source: none, a guard against a caller's mistake
 */
export function positive(name: string, value: number): number {
  if (!(value > 0 && value <= Number.MAX_VALUE)) {
    throw new RangeError(`Cannot use ${name}: must be above 0, found ${value}`);
  }
  return value;
}
