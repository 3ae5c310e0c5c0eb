import type { PhotoMeasurement, PhotoScale, PhotoSpots } from '../../shared/photo.ts';
import { areaInterval, type IntervalModel, type Spread, scaledAreas } from '../imaging/index.ts';
import { gradesFromPercent, type RustType, rustGradeD610Label } from '../standards/index.ts';
import type { PhotoIntervals, RawPhoto } from './photo-deps.ts';

const LETTERS: Readonly<Record<Spread, RustType | undefined>> = {
  none: undefined,
  spot: 'S',
  general: 'G',
  pinpoint: 'P',
  hybrid: 'H',
};

/** Per cent with four places: a hundredth of the finest grade's limit. */
function percentOf(fraction: number): number {
  return Math.round(fraction * 1e6) / 1e4;
}

/**
 * Turn a raw measurement into the one that is shown and kept: percentage with its interval, grades, areas.
 *
 * Grades follow from the rounded percentage, which is what is kept.
 *
 * @param file Name as the user gave it
 * @param raw The measurement
 * @param options Fitted intervals, group number, and the drawn length when there is one
 * @returns The measurement; area, grades and spots are null when the photo is not fit
 */
export function finishPhoto(
  file: string,
  raw: RawPhoto,
  options: { readonly intervals: PhotoIntervals; readonly group: number; readonly scale?: PhotoScale | undefined },
): PhotoMeasurement {
  const base = {
    file,
    fit: { ok: raw.fit.ok, problems: raw.fit.problems.map((problem) => ({ ...problem })) },
    assessed: raw.assessed,
  };
  const rest = { group: options.group, method: raw.method, ms: Math.round(raw.ms * 10) / 10 };
  if (!raw.fit.ok || raw.area === null) return { ...base, rustAreaPercent: null, grades: null, spots: null, ...rest };
  const model = intervalFor(raw, options.intervals);
  const { low, high } = model === null ? { low: 0, high: 1 } : areaInterval(raw.area, model);
  const value = percentOf(raw.area.fraction);
  const grades = gradesFromPercent(value);
  const measured: PhotoMeasurement = {
    ...base,
    rustAreaPercent: { value, low: Math.min(percentOf(low), value), high: Math.max(percentOf(high), value) },
    grades: {
      iso4628_3: grades.iso4628_3,
      astmD610: rustGradeD610Label(value, LETTERS[raw.spots.spread]),
      iso10289: grades.iso10289,
    },
    spots: roundSpots(raw),
    ...rest,
  };
  if (options.scale === undefined || raw.assessed === 'whole-frame') return measured;
  const { partCm2, rustCm2 } = scaledAreas(raw.partFraction, raw.area.fraction, { ...options.scale, ...sizeOf(raw) });
  return { ...measured, areaCm2: { part: Math.round(partCm2 * 10) / 10, rust: Math.round(rustCm2 * 10) / 10 } };
}

function intervalFor({ base, corrections }: RawPhoto, intervals: PhotoIntervals): IntervalModel | null {
  const corrected =
    base === 'model' && corrections > 0
      ? (intervals.corrected[corrections - 1] ?? intervals.corrected.at(-1))
      : undefined;
  return corrected ?? intervals[base];
}

function roundSpots({ spots }: RawPhoto): PhotoSpots {
  const [a, b, c, d, e] = spots.sizes;
  return {
    count: spots.count,
    spread: spots.spread,
    largestPercent: percentOf(spots.largestPercent / 100),
    medianPercent: percentOf(spots.medianPercent / 100),
    sizes: [a, b, c, d, e],
  };
}

function sizeOf(raw: RawPhoto) {
  return { height: raw.height, width: raw.width };
}
