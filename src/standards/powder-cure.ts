import { exp, ln } from './elementary.ts';
import { inRange, positive } from './range.ts';

/** Light alloys for which a powder cure can be judged; `6xxx-T6` is any stronger or unknown 6000 alloy. */
export type CureAlloy = '6061-T6' | '6xxx-T6' | 'A356-T6' | '7075-T6';

/** Whether a part may be cured: the hours it can stand at this temperature in all, and why. */
export interface CureVerdict {
  readonly isAllowed: boolean;
  readonly budgetMinutes: number | null;
  readonly because: string;
  readonly source: string;
}

// Hours at a temperature in degrees C after which the alloy falls under its least strength.
const CURE_HOURS: Readonly<Record<'6061-T6' | '6xxx-T6', readonly (readonly [celsius: number, hours: number])[]>> = {
  '6061-T6': [
    [177, 64],
    [199, 16],
    [218, 4],
  ],
  '6xxx-T6': [
    [177, 8],
    [199, 2],
    [218, 0.5],
  ],
};
const AGED_AT_C = { 'A356-T6': 155, '7075-T6': 120 } as const;

function budgetHours(rows: readonly (readonly [number, number])[], cureC: number): number {
  const above = rows.findIndex(([celsius]) => cureC <= celsius);
  if (above < 0) return 0;
  if (above === 0 || cureC === rows[above]![0]) return rows[above]![1];
  const [coolC, coolHours] = rows[above - 1]!;
  const [warmC, warmHours] = rows[above]!;
  // Time to soften falls in a straight line on a log scale, as the rows themselves do.
  return exp(ln(coolHours) + (ln(warmHours / coolHours) * (cureC - coolC)) / (warmC - coolC));
}

/**
 * Whether a light alloy stands a powder cure. Cure times add up over repeats.
 *
 * @param alloy Alloy and temper
 * @param cureC Metal temperature, degrees C, at least 0
 * @param minutes Time at that temperature, min, above 0
 * @param minutesBefore Time already spent at such heat, min, at least 0
 * @returns Whether it is allowed, with the minutes it can stand in all (null where no figure is known)
 * @throws {RangeError} If a figure is outside its range
 * Source: university project on reheating 6xxx extrusions (second hand); between its rows computed; A356 second hand; 7075 from memory
 */
export function powderCure(alloy: CureAlloy, cureC: number, minutes: number, minutesBefore = 0): CureVerdict {
  inRange('cure temperature in degrees C', cureC, 0);
  positive('cure time in min', minutes);
  inRange('time already spent in min', minutesBefore, 0);
  if (alloy === 'A356-T6' || alloy === '7075-T6') {
    const agedC = AGED_AT_C[alloy];
    const isAllowed = cureC < agedC;
    const because = isAllowed
      ? `Cooler than the ${agedC} C at which it was aged`
      : `Aged at about ${agedC} C: a cure at ${cureC} C over-ages it and strength is lost for good`;
    const source = alloy === 'A356-T6' ? 'casting paper, second hand' : 'from memory';
    return { isAllowed, budgetMinutes: null, because, source };
  }
  const budgetMinutes = budgetHours(CURE_HOURS[alloy], cureC) * 60;
  const isAllowed = minutes + minutesBefore <= budgetMinutes;
  const because = isAllowed
    ? `Stands about ${Math.round(budgetMinutes)} min at ${cureC} C in all: record the time, it adds up`
    : `Only about ${Math.round(budgetMinutes)} min at ${cureC} C in all before it falls under its least strength`;
  return { isAllowed, budgetMinutes, because, source: 'project on reheating 6xxx extrusions, second hand' };
}
