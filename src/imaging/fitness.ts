import type { Cast } from './cast.ts';
import { assertSameSize, countInside, type Mask, type Plane, type RgbImage } from './image.ts';

/** What can be wrong with a photo. */
export type FitProblemId =
  | 'too-few-pixels'
  | 'blurred'
  | 'too-dark'
  | 'too-bright'
  | 'clipped'
  | 'too-small'
  | 'strong-cast'
  | 'not-a-photo';

/** One reason why a photo is not fit to measure. */
export interface FitProblem {
  readonly id: FitProblemId;
  /** What is wrong, with the figure found and the limit. */
  readonly what: string;
  /** What to do about it. */
  readonly advice: string;
}

/** Whether a photo is fit to measure. */
export interface Fitness {
  readonly ok: boolean;
  readonly problems: readonly FitProblem[];
}

/** The figures behind the fitness, each over the part's pixels. */
export interface FitFigures {
  /** Longer side of the original photo, pixels. */
  readonly longSidePx: number;
  /** Variance of the Laplacian of the sharpest quarter of 8 x 8 tiles, grey levels squared. */
  readonly sharpness: number;
  /** Mean luma, 0 to 255. */
  readonly meanLuma: number;
  /** Fraction of pixels with every channel at most 4. */
  readonly blackFraction: number;
  /** Fraction of pixels with every channel at least 251. */
  readonly whiteFraction: number;
  /** Pixels of the part, as a fraction of the frame. */
  readonly partFraction: number;
  /** Pixels of the part. */
  readonly partPx: number;
  /** Angle of the cast, degrees. */
  readonly castDegrees: number;
  /** Fraction of pixels exactly equal to their right-hand neighbour, clipped ones apart. */
  readonly flatFraction: number;
}

/** Our limits of fitness. */
export interface FitLimits {
  readonly longSidePxFrom: number;
  readonly sharpnessFrom: number;
  readonly meanLumaFrom: number;
  readonly meanLumaTo: number;
  readonly blackFractionTo: number;
  readonly whiteFractionTo: number;
  readonly partFractionFrom: number;
  readonly partPxFrom: number;
  readonly castDegreesTo: number;
  readonly flatFractionTo: number;
}

/** What this method cannot see, named beside every result. */
export const NOT_MEASURED = ['light alloy', 'zinc', 'black oxide'] as const;

/**
 * Luma of every pixel.
 *
 * @param image Picture (height, width), sRGB
 * @returns Plane, 0 to 255, not rounded
 * Source: ITU-R BT.601 weights
 */
export function lumaPlane(image: RgbImage): Plane {
  const data = new Float32Array(image.height * image.width);
  for (let i = 0; i < data.length; i++) {
    data[i] = 0.299 * image.data[i * 3]! + 0.587 * image.data[i * 3 + 1]! + 0.114 * image.data[i * 3 + 2]!;
  }
  return { height: image.height, width: image.width, data };
}

/**
 * Laplacian of a plane with the four-neighbour kernel, the edges mirrored without repeating the edge pixel.
 *
 * @param plane Plane (height, width), both at least 2
 * @returns Plane of the same size
 */
export function laplacian(plane: Plane): Plane {
  const { height, width, data } = plane;
  const out = new Float32Array(data.length);
  for (let row = 0; row < height; row++) {
    const above = (row === 0 ? Math.min(1, height - 1) : row - 1) * width;
    const below = (row === height - 1 ? Math.max(height - 2, 0) : row + 1) * width;
    for (let col = 0; col < width; col++) {
      const left = col === 0 ? Math.min(1, width - 1) : col - 1;
      const right = col === width - 1 ? Math.max(width - 2, 0) : col + 1;
      const i = row * width + col;
      out[i] =
        data[above + col]! + data[below + col]! + data[row * width + left]! + data[row * width + right]! - 4 * data[i]!;
    }
  }
  return { height, width, data: out };
}

/**
 * Blur figure: variance of the Laplacian over the pixels of a mask.
 *
 * @param plane Luma (height, width), 0 to 255
 * @param part Optional mask; the whole frame without it
 * @returns Variance in grey levels squared; small means blurred, or bare of detail
 * Source: Pech-Pacheco and others 2000, doi 10.1109/ICPR.2000.903548
 */
export function laplacianVariance(plane: Plane, part?: Mask): number {
  const edges = laplacian(plane);
  let sum = 0;
  let squares = 0;
  let count = 0;
  for (let i = 0; i < edges.data.length; i++) {
    if (part !== undefined && part.data[i] === 0) continue;
    const value = edges.data[i]!;
    sum += value;
    squares += value * value;
    count++;
  }
  return count === 0 ? 0 : squares / count - (sum / count) ** 2;
}

const TILES = 8;

/**
 * Sharpness where the part has most detail: the mean blur figure of the sharpest quarter of its tiles.
 *
 * A sharp photo of a smooth panel has little detail over most of its area; its edges still tell.
 *
 * @param plane Luma (height, width), 0 to 255
 * @param part Mask (height, width)
 * @returns Variance in grey levels squared
 */
export function sharpness(plane: Plane, part: Mask): number {
  const edges = laplacian(plane);
  const sums = new Float64Array(TILES * TILES);
  const squares = new Float64Array(TILES * TILES);
  const counts = new Float64Array(TILES * TILES);
  for (let row = 0; row < plane.height; row++) {
    const tileRow = Math.floor((row * TILES) / plane.height) * TILES;
    for (let col = 0; col < plane.width; col++) {
      const i = row * plane.width + col;
      if (part.data[i] === 0) continue;
      const tile = tileRow + Math.floor((col * TILES) / plane.width);
      const value = edges.data[i]!;
      sums[tile]! += value;
      squares[tile]! += value * value;
      counts[tile]!++;
    }
  }
  const full = (plane.height * plane.width) / (TILES * TILES);
  const tiles: number[] = [];
  for (let tile = 0; tile < counts.length; tile++) {
    const count = counts[tile]!;
    if (count >= full / 4) tiles.push(squares[tile]! / count - (sums[tile]! / count) ** 2);
  }
  if (tiles.length === 0) return laplacianVariance(plane, part);
  tiles.sort((a, b) => b - a);
  const best = tiles.slice(0, Math.max(1, Math.round(tiles.length / 4)));
  return best.reduce((sum, value) => sum + value, 0) / best.length;
}

/**
 * Gather the figures behind the fitness of a photo.
 *
 * @param image Picture at the analysis size (height, width), sRGB
 * @param part Mask of the part (height, width)
 * @param cast The estimated cast
 * @param original Height and width of the photo as taken, pixels
 * @returns The figures, without judgement
 * @throws {RangeError} If the mask and the picture differ in size
 */
export function fitFigures(
  image: RgbImage,
  part: Mask,
  cast: Cast,
  original: { readonly height: number; readonly width: number },
): FitFigures {
  assertSameSize(image, part);
  const luma = lumaPlane(image);
  const partPx = countInside(part);
  let lumaSum = 0;
  let black = 0;
  let white = 0;
  let flat = 0;
  let compared = 0;
  const { data, width } = image;
  for (let i = 0; i < part.data.length; i++) {
    if (part.data[i] === 0) continue;
    lumaSum += luma.data[i]!;
    const red = data[i * 3]!;
    const green = data[i * 3 + 1]!;
    const blue = data[i * 3 + 2]!;
    if (red <= 4 && green <= 4 && blue <= 4) black++;
    else if (red >= 251 && green >= 251 && blue >= 251) white++;
    if ((i + 1) % width !== 0) {
      compared++;
      if (red === data[i * 3 + 3] && green === data[i * 3 + 4] && blue === data[i * 3 + 5]) flat++;
    }
  }
  return {
    longSidePx: Math.max(original.height, original.width),
    sharpness: sharpness(luma, part),
    meanLuma: partPx === 0 ? 0 : lumaSum / partPx,
    blackFraction: partPx === 0 ? 0 : black / partPx,
    whiteFraction: partPx === 0 ? 0 : white / partPx,
    partFraction: partPx / part.data.length,
    partPx,
    castDegrees: cast.degrees,
    flatFraction: compared === 0 ? 0 : flat / compared,
  };
}

/**
 * Decide whether a photo is fit to measure, and say what to do if not.
 *
 * @param figures Figures of the photo
 * @param limits Our limits, from rubric/imaging.yaml
 * @param leaning The way the light leans, for the words
 * @returns `ok`, and every problem found; a problem is a result, not an error
 */
export function judgeFitness(figures: FitFigures, limits: FitLimits, leaning: Cast['leaning'] = 'warm'): Fitness {
  const problems: FitProblem[] = [];
  const add = (id: FitProblemId, what: string, advice: string) => problems.push({ id, what, advice });
  const percent = (fraction: number) => `${Math.round(fraction * 1000) / 10} %`;
  if (figures.longSidePx < limits.longSidePxFrom) {
    add(
      'too-few-pixels',
      `Longer side ${figures.longSidePx} pixels, wanted at least ${limits.longSidePxFrom}`,
      'Send the photo as the camera took it, not a thumbnail',
    );
  }
  if (figures.flatFraction > limits.flatFractionTo) {
    add(
      'not-a-photo',
      `${percent(figures.flatFraction)} of it is perfectly flat colour: a screenshot or a drawing`,
      'Photograph the part itself',
    );
  } else if (figures.sharpness < limits.sharpnessFrom) {
    add(
      'blurred',
      `Sharpness ${figures.sharpness.toFixed(1)}, wanted at least ${limits.sharpnessFrom}`,
      'Wipe the lens, tap the part to focus, hold still or rest the camera, and take it again',
    );
  }
  if (figures.meanLuma < limits.meanLumaFrom) {
    add(
      'too-dark',
      `Mean brightness ${Math.round(figures.meanLuma)} of 255, wanted at least ${limits.meanLumaFrom}`,
      'Bring a lamp to the side of the part, or tap the part so that the camera exposes for it',
    );
  }
  if (figures.meanLuma > limits.meanLumaTo) {
    add(
      'too-bright',
      `Mean brightness ${Math.round(figures.meanLuma)} of 255, wanted at most ${limits.meanLumaTo}`,
      'Move the lamp away or turn the part out of the sun, and take it again',
    );
  }
  if (figures.whiteFraction > limits.whiteFractionTo || figures.blackFraction > limits.blackFractionTo) {
    add(
      'clipped',
      `${percent(figures.whiteFraction)} pure white and ${percent(figures.blackFraction)} pure black, wanted at most ${percent(limits.whiteFractionTo)} and ${percent(limits.blackFractionTo)}`,
      'Soften the light with a sheet of paper or shade, switch the flash off, and take it again',
    );
  }
  if (figures.partFraction < limits.partFractionFrom || figures.partPx < limits.partPxFrom) {
    add(
      'too-small',
      `The part fills ${percent(figures.partFraction)} of the frame, wanted at least ${percent(limits.partFractionFrom)}`,
      'Go closer until the part fills most of the frame',
    );
  }
  if (figures.castDegrees > limits.castDegreesTo) {
    add(
      'strong-cast',
      `The light leans ${leaning} by ${figures.castDegrees.toFixed(1)} degrees, wanted at most ${limits.castDegreesTo}`,
      'Use daylight or a white lamp, away from coloured walls and tarpaulins',
    );
  }
  return { ok: problems.length === 0, problems };
}
