import { positive } from './range.ts';

// Nominal size of the pin by thread diameter, mm: ISO 7035 slotted and castle nuts with ISO 1234 pins, from memory.
const PIN_BY_THREAD: readonly (readonly [diameterMm: number, pinMm: number])[] = [
  [4, 1],
  [5, 1.2],
  [6, 1.6],
  [8, 2],
  [10, 2.5],
  [12, 3.2],
  [14, 3.2],
  [16, 4],
  [18, 4],
  [20, 4],
  [22, 5],
  [24, 5],
  [27, 5],
  [30, 6.3],
];

/**
 * Nominal size of the split pin that goes with a metric castle nut.
 *
 * @param diameterMm Thread diameter, mm, above 0
 * @returns Pin size, mm (the hole it is for, not its own wire), or null for a diameter without a row
 * @throws {RangeError} If diameterMm is not above 0
 * Source: ISO 7035 with ISO 1234, from memory
 */
export function splitPinMm(diameterMm: number): number | null {
  positive('thread diameter in mm', diameterMm);
  return PIN_BY_THREAD.find(([diameter]) => diameter === diameterMm)?.[1] ?? null;
}
