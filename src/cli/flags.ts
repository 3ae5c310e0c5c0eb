import { UsageError } from '../../shared/index.ts';

/** A flag that is a whole number. @throws {UsageError} */
export function whole(text: string, name: string): number {
  const value = Number(text);
  if (!Number.isSafeInteger(value)) throw new UsageError(`Cannot use ${name} ${text}: wanted a whole number`);
  return value;
}

/** A flag in minutes. @throws {UsageError} */
export function minutesOf(text: string, name: string): number {
  const value = Number(text);
  if (!(value >= 0 && value <= 100_000)) throw new UsageError(`Cannot use ${name} ${text}: wanted minutes, 0 or more`);
  return value;
}
