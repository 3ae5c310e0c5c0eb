import { z } from 'zod';

/** Lower-case words joined by hyphens; ids are never reused or renamed once published. */
export const Id = z
  .string()
  .regex(/^[a-z0-9]+(?:[-.][a-z0-9]+)*$/, 'wanted lower-case words joined by hyphens')
  .max(80);

/** A line of text a person reads. */
export const Text = z.string().min(1).max(4000);

/** Calendar date, ISO 8601 (`2026-11-25`). */
export const DateText = z.iso.date();

/** Chance, 0 to 1. */
export const Probability = z.number().min(0).max(1);

/** Money or hours, never negative, never infinite. */
export const Amount = z.number().min(0).max(1e9);

/**
 * Low, usual and high: the 10 %, 50 % and 90 % points of a guess. *Usual* is the middle;
 * either side is log-normal. `low <= usual <= high`; all three zero, or all above zero.
 */
export const ThreePoint = z
  .tuple([Amount, Amount, Amount])
  .refine(([low, usual, high]) => low <= usual && usual <= high, 'wanted low <= usual <= high')
  .refine(([low, , high]) => low > 0 || high === 0, 'wanted all three zero, or all above zero');
export type ThreePoint = z.infer<typeof ThreePoint>;

/** Unit of a measured answer. Lengths may be entered in `mm` or `in` and are kept as entered. */
export const Unit = z.enum(['mm', 'in', 'um', '%', 'deg', 'Nm', 'degC', 'HV', 'count', 'years']);
export type Unit = z.infer<typeof Unit>;

/** Unit of length in which an assessment's measurements are entered unless an answer names its own. */
export const LengthUnit = z.enum(['mm', 'in']);

/** ISO 4217 alphabetic code. */
export const Currency = z.string().regex(/^[A-Z]{3}$/, 'wanted an ISO 4217 code such as EUR');

/** A web address; only http and https are ever shown as a link. */
export const WebAddress = z
  .string()
  .max(500)
  .regex(/^https?:\/\/[^\s<>"'`]+$/i, 'wanted an http or https address');

/** Millimetres in an inch, exactly (ISO 80000-3). */
export const MM_PER_INCH = 25.4;

/** Unit in which a figure was entered: a check in mm takes the assessment's unit of length when the answer names none. */
export function enteredUnit(check: { unit: string }, unit: string | undefined, lengthUnit: string): string {
  return unit ?? (check.unit === 'mm' ? lengthUnit : check.unit);
}

/** A figure in another unit; only mm and in are exchanged. */
export function inUnit(figure: number, from: string, to: string): number {
  if (from === 'in' && to === 'mm') return figure * MM_PER_INCH;
  return from === 'mm' && to === 'in' ? figure / MM_PER_INCH : figure;
}
