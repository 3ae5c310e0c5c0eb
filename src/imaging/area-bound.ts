import { leastRustGrade } from '../standards/index.ts';

/** A measured photo as it may stand in an assessment. */
export interface OutlinedPhoto<Stage extends string = string> {
  /** True when a person outlined the part; a whole frame gives a look, never a bound. */
  readonly isOutlined: boolean;
  /** False when the photo was declined. */
  readonly isFit: boolean;
  /** True when a person struck the measurement. */
  readonly isStruck: boolean;
  /** 90 % interval of the rusted share, per cent. */
  readonly lowPercent: number;
  readonly highPercent: number;
  readonly stage: Stage;
  /** ISO date. */
  readonly date: string;
}

/** What a photo says about an area check: at least this bad. */
export interface AreaBound<Stage extends string = string> {
  /** Lowest grade (0 none to 5 severe) that the check can have. */
  readonly lowGrade: number;
  readonly lowPercent: number;
  readonly highPercent: number;
  readonly stage: Stage;
  readonly date: string;
}

/**
 * The bound that an outlined photo puts on an area check.
 *
 * It only ever worsens: the lower end of the check's interval rises to the grade of the low bound. It says nothing about
 * the upper end, fires no knock-out and clears none. The caller lets it lapse when a later stage is graded.
 *
 * @param photo The measured photo
 * @returns The bound, or null when the photo has no outline, was declined or was struck
 * Source: grades 0 to 5 after ISO 4628-1, areas after ISO 4628-3; between two pictures the better one counts
 */
export function areaBound<Stage extends string>(photo: OutlinedPhoto<Stage>): AreaBound<Stage> | null {
  if (!photo.isOutlined || !photo.isFit || photo.isStruck) return null;
  return {
    lowGrade: leastRustGrade(photo.lowPercent),
    lowPercent: photo.lowPercent,
    highPercent: photo.highPercent,
    stage: photo.stage,
    date: photo.date,
  };
}
