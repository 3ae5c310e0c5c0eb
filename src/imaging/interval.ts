import { exp, ln } from '../standards/index.ts';

/** What a map of rust says of its area; fractions of the assessed surface, 0 to 1. */
export interface MeasuredArea {
  readonly fraction: number;
  /** Where the map is sure of rust; at most `fraction`. */
  readonly sureFraction: number;
  /** Where the map does not rule rust out; at least `fraction`. */
  readonly possibleFraction: number;
}

/** One photo of known area, measured by a method that never saw its scene. */
export interface CalibrationPhoto {
  /** Photos of one place share a group. */
  readonly group: string;
  readonly trueFraction: number;
  readonly measured: MeasuredArea;
  /**
   * How many times larger the errors of the network that predicted it are than those of the network in use, on photos that
   * neither saw, at least 1; 1 unless given. A network trained without a scene knows less than the one in use.
   */
  readonly weakness?: number | undefined;
}

/** How far the truth lies from a measured area, by its size and by the map's own doubt. */
export interface IntervalModel {
  /** Added to both sides before taking logarithms, so that nothing and nearly nothing compare. */
  readonly floorFraction: number;
  /** Doubt of a map that has none of its own, above 0. */
  readonly baseDoubt: number;
  /** Bands by measured fraction, smallest first; `low` and `high` are logarithms of a factor for each unit of doubt. */
  readonly bands: readonly { readonly fromFraction: number; readonly low: number; readonly high: number }[];
}

/** Choices of the fit. */
export interface IntervalOptions {
  /** Wanted share of truths inside, 0 to 1. */
  readonly coverage: number;
  readonly floorFraction: number;
  readonly baseDoubt: number;
  /** Lower ends of the bands of measured fraction; one band from 0 unless given. */
  readonly bandsFrom?: readonly number[];
  /** Factor on the logarithms, for scenes that turned out harder; 1 unless given. */
  readonly widen?: number;
}

/** Doubt of a map: how far apart, as a logarithm, lie the areas where it is sure and where rust is possible. */
function doubtOf(
  { sureFraction, possibleFraction }: MeasuredArea,
  { floorFraction, baseDoubt }: { readonly floorFraction: number; readonly baseDoubt: number },
): number {
  return baseDoubt + ln((possibleFraction + floorFraction) / (sureFraction + floorFraction));
}

/**
 * Fit a conformal interval across scene groups.
 *
 * Errors are counted in units of the map's own doubt, so that a photo on which the map is unsure gets a wide interval and
 * one on which it is sure a narrow one, at the same coverage.
 *
 * Every group weighs the same, however many photos it has, since the next user's photo comes from a new place. The
 * quantile is that of the weighted scores with one more photo reckoned at infinity, the usual correction for a finite
 * sample. That correction counts photos, not scenes: known scenes being few (a dozen), fresh ones are covered a few points
 * less often than asked for, which `widen` makes good.
 *
 * @param photos At least 20 photos, each measured without its own group
 * @param options Coverage, floor, base doubt and bands
 * @returns The interval model
 * @throws {RangeError} If there are fewer than 20 photos
 * Source: Vovk, Gammerman and Shafer 2005 (split conformal); Papadopoulos, Gammerman and Vovk 2008 (errors in units of their
 * expected size); Dunn, Wasserman and Ramdas 2022, doi 10.1080/01621459.2022.2060112 (groups)
 */
export function fitInterval(photos: readonly CalibrationPhoto[], options: IntervalOptions): IntervalModel {
  if (photos.length < 20) {
    throw new RangeError(`Cannot fit an interval as it wants at least 20 photos: found ${photos.length}`);
  }
  const { coverage, floorFraction, baseDoubt, bandsFrom = [0], widen = 1 } = options;
  const tail = (1 - coverage) / 2;
  const bands = bandsFrom.map((fromFraction, index) => {
    const before = bandsFrom[index + 1] ?? Number.POSITIVE_INFINITY;
    const inBand = photos.filter(({ measured: { fraction } }) => fraction >= fromFraction && fraction < before);
    const used = inBand.length >= 20 ? inBand : photos;
    const perGroup = new Map<string, number>();
    for (const photo of used) perGroup.set(photo.group, (perGroup.get(photo.group) ?? 0) + 1);
    const scores = used.map((photo) => ({
      score:
        ln((photo.trueFraction + floorFraction) / (photo.measured.fraction + floorFraction)) /
        (doubtOf(photo.measured, options) * (photo.weakness ?? 1)),
      weight: 1 / perGroup.get(photo.group)!,
    }));
    return {
      fromFraction,
      low: Math.max(0, -quantile(scores, tail)) * widen,
      high: Math.max(0, quantile(scores, 1 - tail)) * widen,
    };
  });
  return { floorFraction, baseDoubt, bands };
}

/** Weighted quantile, leaning outwards: the weight of one mean photo is added beyond the end that is asked for. */
function quantile(scores: readonly { score: number; weight: number }[], level: number): number {
  const outwards = level >= 0.5;
  const sorted = [...scores].sort((a, b) => (outwards ? a.score - b.score : b.score - a.score));
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0);
  const wanted = (outwards ? level : 1 - level) * (total + total / sorted.length);
  let reached = 0;
  for (const { score, weight } of sorted) {
    reached += weight;
    if (reached >= wanted - 1e-12) return score;
  }
  return sorted.at(-1)!.score;
}

/**
 * The interval of the true rusted fraction round a measured one.
 *
 * @param measured Measured area
 * @param model The fitted interval
 * @returns Fractions 0 to 1, low at most the measured one, high at least
 */
export function areaInterval(measured: MeasuredArea, model: IntervalModel): { low: number; high: number } {
  const { fraction } = measured;
  const doubt = doubtOf(measured, model);
  const band = model.bands.findLast((b) => fraction >= b.fromFraction) ?? model.bands[0]!;
  const base = fraction + model.floorFraction;
  return {
    low: Math.max(0, Math.min(base * exp(-band.low * doubt) - model.floorFraction, fraction)),
    high: Math.min(1, Math.max(base * exp(band.high * doubt) - model.floorFraction, fraction)),
  };
}

/**
 * Exact binomial interval of a share, for reporting how often an interval held.
 *
 * @param hits Number inside
 * @param count Number tried, at least 1
 * @returns 95 % interval, fractions 0 to 1
 * Source: Clopper and Pearson 1934, doi 10.1093/biomet/26.4.404
 */
export function binomialInterval(hits: number, count: number): { low: number; high: number } {
  const solve = (target: (p: number) => number) => {
    let low = 0;
    let high = 1;
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (target(middle) > 0) high = middle;
      else low = middle;
    }
    return (low + high) / 2;
  };
  const atLeast = (p: number) => 1 - binomialBelow(hits, count, p);
  const atMost = (p: number) => binomialBelow(hits + 1, count, p);
  return {
    low: hits === 0 ? 0 : solve((p) => atLeast(p) - 0.025),
    high: hits === count ? 1 : solve((p) => 0.025 - atMost(p)),
  };
}

/** P(X < limit) for X binomial. */
function binomialBelow(limit: number, count: number, p: number): number {
  if (p <= 0) return limit > 0 ? 1 : 0;
  if (p >= 1) return limit > count ? 1 : 0;
  let logTerm = count * ln(1 - p);
  let sum = 0;
  for (let k = 0; k < limit && k <= count; k++) {
    sum += exp(logTerm);
    if (k < count) logTerm += ln((count - k) / (k + 1)) + ln(p / (1 - p));
  }
  return Math.min(1, sum);
}
