import { ln } from '../standards/index.ts';
import { estimateCast, partialGains } from './cast.ts';
import { labImage } from './colour.ts';
import { type ColourRule, colourRuleMargin } from './colour-rule.ts';
import { type FitLimits, type Fitness, fitFigures, judgeFitness } from './fitness.ts';
import { correctByTaps, type HintReach, hintFeatures, partByTaps, type Tap } from './hints.ts';
import {
  countInside,
  type FeatureMap,
  insidePart,
  type Mask,
  type Plane,
  type RgbImage,
  resizePlane,
  type Sized,
  shrinkImage,
  thresholdPlane,
  wholeFrame,
} from './image.ts';
import type { MeasuredArea } from './interval.ts';
import { type Corner, outlineFault, rasteriseOutline } from './outline.ts';
import { measureSpots, type Spots, type SpreadLimits } from './spots.ts';

/** The limits that a measurement uses; the photo part of rubric/imaging.yaml fits. */
export interface MeasureLimits {
  readonly fitness: FitLimits;
  readonly cast: { readonly strength: number };
  readonly colourRule: ColourRule;
  readonly spread: SpreadLimits;
  readonly hints: HintReach;
  readonly interval: { readonly sureProbability: number };
}

/** A person's tap on the upright photo, pixels. */
export interface PhotoTap {
  readonly x: number;
  readonly y: number;
  readonly is: 'rust' | 'not-rust' | 'part' | 'not-part';
}

/** A photo ready to measure. */
export interface PhotoLook {
  /** Upright picture at the analysis size. */
  readonly image: RgbImage;
  /** Height and width of the upright photo as taken. */
  readonly original: Sized;
  /** The network's log-odds of rust, above 0 is rust, at any size of the same frame; null for the colour rule. */
  readonly logits: Plane | null;
  /** The network's features at the size of the log-odds. */
  readonly features?: FeatureMap | undefined;
  readonly outline?: readonly Corner[] | undefined;
  readonly taps?: readonly PhotoTap[] | undefined;
}

/** What a photo shows. */
export interface PhotoFinding {
  readonly fit: Fitness;
  readonly assessed: 'outline' | 'whole-frame';
  readonly method: 'model' | 'colour' | 'corrected';
  /** How many taps on rust said other than the map without them; the rest tell nothing new. */
  readonly corrections: number;
  /** Rusted fraction of the assessed surface and how sure the map is of it; null when the part has no pixel. */
  readonly area: MeasuredArea | null;
  readonly spots: Spots;
  /** Part's pixels as a fraction of the frame. */
  readonly partFraction: number;
  /** Rust inside the part, at the analysis size. */
  readonly rust: Mask;
  readonly part: Mask;
}

const COLOUR_LOGIT_UNITS = 4;
// The colour rule looks at means of 3 x 3 pixels: single pixels are mostly noise, and labelled photos came out better.
const COLOUR_STEP = 3;

/**
 * What is wrong with a caller's outline or taps, or null.
 *
 * @param request Outline and taps in pixels of the upright photo
 * @param original Height and width of that photo
 * @returns Null, or which of the two is at fault and a sentence saying what was wanted and found
 */
export function requestFault(
  request: { readonly outline?: readonly Corner[] | undefined; readonly taps?: readonly PhotoTap[] | undefined },
  original: Sized,
): { readonly code: 'outline' | 'hints'; readonly message: string } | null {
  if (request.outline !== undefined) {
    const fault = outlineFault(request.outline, original);
    if (fault !== null) return { code: 'outline', message: fault };
  }
  for (const [index, tap] of (request.taps ?? []).entries()) {
    if (!(tap.x >= 0 && tap.y >= 0 && tap.x < original.width && tap.y < original.height)) {
      return {
        code: 'hints',
        message: `wanted taps inside ${original.width} x ${original.height} pixels, found [${tap.x}, ${tap.y}] at tap ${index + 1}`,
      };
    }
  }
  const partTaps = (request.taps ?? []).filter((tap) => tap.is === 'part' || tap.is === 'not-part');
  if (partTaps.length > 0 && request.outline !== undefined) {
    return { code: 'hints', message: 'wanted an outline or taps on the part, found both' };
  }
  if (partTaps.length > 0 && !partTaps.some((tap) => tap.is === 'part')) {
    return { code: 'hints', message: 'wanted at least one tap "part", found only "not-part"' };
  }
  return null;
}

/**
 * Measure the rust on one photo.
 *
 * Taps move the map of log-odds at its own size (a quarter of the analysis size for the network, a third for the colour rule);
 * the mask is cut at the analysis size.
 *
 * @param look The picture, the network's map or null, and what a person said; checked by `requestFault` before
 * @param limits Our limits
 * @returns Fitness, area, spots and the masks; the area is given even when the photo is not fit
 */
export function measurePhoto(look: PhotoLook, limits: MeasureLimits): PhotoFinding {
  const { image, original } = look;
  const size = { height: image.height, width: image.width };
  const cast = estimateCast(image);
  const taps = look.taps ?? [];
  const rustTaps = taps.filter((tap) => tap.is === 'rust' || tap.is === 'not-rust');
  const partTaps = taps.filter((tap) => tap.is === 'part' || tap.is === 'not-part');
  const mapSize = look.logits ?? {
    height: Math.max(1, Math.round(size.height / COLOUR_STEP)),
    width: Math.max(1, Math.round(size.width / COLOUR_STEP)),
  };
  const features =
    taps.length > 0 ? hintFeatures(image, mapSize, { reach: limits.hints, network: look.features }) : null;

  let logits =
    look.logits ??
    colourLogits(shrinkImage(image, mapSize), partialGains(cast, limits.cast.strength), limits.colourRule);
  const onMap = mapTaps(rustTaps, original, mapSize);
  const corrections = onMap.filter(({ row, col, yes }) => logits.data[row * mapSize.width + col]! >= 0 !== yes).length;
  if (features !== null && onMap.length > 0) logits = correctByTaps(logits, features, onMap);
  const map = resizePlane(logits, size);
  const part =
    look.outline !== undefined
      ? rasteriseOutline(look.outline, original, size)
      : partTaps.length > 0 && features !== null
        ? enlargeMask(partByTaps(features, mapTaps(partTaps, original, mapSize)), size)
        : wholeFrame(size);
  const isOutlined = look.outline !== undefined || partTaps.length > 0;
  const rust = insidePart(thresholdPlane(map, 0), part);
  return {
    fit: judgeFitness(
      fitFigures(image, part, cast, { original, litLuma: limits.fitness.litLuma }),
      limits.fitness,
      cast.leaning,
    ),
    assessed: isOutlined ? 'outline' : 'whole-frame',
    method: rustTaps.length > 0 ? 'corrected' : look.logits === null ? 'colour' : 'model',
    corrections,
    area: areaOf(map, part, limits.interval.sureProbability),
    spots: measureSpots(rust, part, limits.spread),
    partFraction: countInside(part) / part.data.length,
    rust,
    part,
  };
}

function colourLogits(image: RgbImage, gains: readonly [number, number, number], rule: ColourRule): Plane {
  const margin = colourRuleMargin(labImage(image, gains), rule);
  return { ...margin, data: margin.data.map((value) => value / COLOUR_LOGIT_UNITS) };
}

/** Shares of the part that are rust, surely rust and possibly rust, in one pass; null when the part has no pixel. */
function areaOf(map: Plane, part: Mask, sureProbability: number): MeasuredArea | null {
  const sure = ln(sureProbability / (1 - sureProbability));
  let [partPx, isSure, isRust, isPossible] = [0, 0, 0, 0];
  for (let i = 0; i < part.data.length; i++) {
    if (part.data[i] === 0) continue;
    partPx++;
    const logit = map.data[i]!;
    if (logit < -sure) continue;
    isPossible++;
    if (logit >= 0) isRust++;
    if (logit >= sure) isSure++;
  }
  if (partPx === 0) return null;
  return { fraction: isRust / partPx, sureFraction: isSure / partPx, possibleFraction: isPossible / partPx };
}

function enlargeMask(mask: Mask, size: Sized): Mask {
  return thresholdPlane(resizePlane({ ...mask, data: Float32Array.from(mask.data) }, size), 0.5);
}

/** Taps from pixels of the photo to pixels of the map. */
function mapTaps(taps: readonly PhotoTap[], from: Sized, to: Sized): Tap[] {
  return taps.map((tap) => ({
    row: Math.min(Math.floor((tap.y * to.height) / from.height), to.height - 1),
    col: Math.min(Math.floor((tap.x * to.width) / from.width), to.width - 1),
    yes: tap.is === 'rust' || tap.is === 'part',
  }));
}
