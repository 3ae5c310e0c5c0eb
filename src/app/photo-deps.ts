import type { PhotoRequest } from '../../shared/photo.ts';
import type { DuplicateLimits, Fitness, IntervalModel, MeasuredArea, Spots } from '../imaging/index.ts';

/** A measured photo before its interval, grades and group. */
export interface RawPhoto {
  readonly fit: Fitness;
  readonly assessed: 'outline' | 'whole-frame';
  readonly method: 'model' | 'colour' | 'corrected';
  /** Method under the taps. */
  readonly base: 'model' | 'colour';
  /** How many taps on rust said other than the map without them; the rest tell nothing new. */
  readonly corrections: number;
  /** Rusted fraction of the assessed surface and how sure the map is of it; null when the part has no pixel. */
  readonly area: MeasuredArea | null;
  /** Part's pixels as a fraction of the frame. */
  readonly partFraction: number;
  readonly spots: Spots;
  /** Upright size of the photo as taken, pixels. */
  readonly height: number;
  readonly width: number;
  /** Difference hash, 16 hexadecimal digits. */
  readonly hash: string;
  readonly takenAtMs: number | null;
  /** True when the file holds more frames and only the first was measured. */
  readonly isFirstOfMany: boolean;
  readonly ms: number;
}

/** Fitted intervals by method; null means that none was fitted, and the interval is everything possible. */
export interface PhotoIntervals {
  readonly model: IntervalModel | null;
  readonly colour: IntervalModel | null;
  /** The network's after 1, 2, ... taps; more taps than these count as the last. */
  readonly corrected: readonly IntervalModel[];
}

/** What measuring photos needs from outside. */
export interface PhotoDeps {
  /** Measure one file; rejects with an error that carries a `code` of the photo contract. */
  readonly measureFile: (
    file: string,
    options: { readonly request: PhotoRequest; readonly maskFile?: string | undefined },
  ) => Promise<RawPhoto>;
  /** How many photos are measured at the same time. */
  readonly parallel: number;
  readonly intervals: PhotoIntervals;
  readonly duplicates: DuplicateLimits;
}
