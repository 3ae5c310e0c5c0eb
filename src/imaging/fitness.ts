import type { Cast } from './cast.ts';
import { assertSameSize, countInside, type Mask, type Plane, type RgbImage, type Sized } from './image.ts';

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
  /** Variance of the Laplacian of the sharpest quarter of 8 x 8 tiles, grey levels squared, as if the part were lit. */
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
  /** Fraction of pixels exactly equal to their right-hand neighbour, among those neither pure black nor pure white. */
  readonly flatFraction: number;
  /** Fraction of hard steps, 24 levels or more in a channel, among pixels that differ from their right-hand neighbour. */
  readonly stepFraction: number;
  /** Fraction of hard steps where pure white meets another colour: glare fades out, paper and a cut-out end hard. */
  readonly whiteStepFraction: number;
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
  readonly stepFractionFrom: number;
  readonly whiteStepFractionFrom: number;
  readonly litLuma: number;
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
  const { height, width } = plane;
  const edges = laplacian(plane).data;
  const sums = new Float64Array(TILES * TILES);
  const squares = new Float64Array(TILES * TILES);
  const counts = new Float64Array(TILES * TILES);
  // Columns by tile, so that the inner loop has no division.
  const starts = Array.from({ length: TILES + 1 }, (_, tile) => Math.ceil((tile * width) / TILES));
  for (let row = 0; row < height; row++) {
    const tileRow = Math.floor((row * TILES) / height) * TILES;
    for (let tileCol = 0; tileCol < TILES; tileCol++) {
      let [sum, square, count] = [0, 0, 0];
      for (let i = row * width + starts[tileCol]!, end = row * width + starts[tileCol + 1]!; i < end; i++) {
        if (part.data[i] === 0) continue;
        const value = edges[i]!;
        sum += value;
        square += value * value;
        count++;
      }
      sums[tileRow + tileCol]! += sum;
      squares[tileRow + tileCol]! += square;
      counts[tileRow + tileCol]! += count;
    }
  }
  const full = (height * width) / (TILES * TILES);
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

/** From this difference in a channel two neighbours are a hard step: the edge of a letter or of a drawn line. */
const STEP = 24;
const BLACK_TO = 4;
const WHITE_FROM = 251;

/**
 * Gather the figures behind the fitness of a photo.
 *
 * A dim photo of a sharp part has little contrast, so the sharpness is raised to what it would be at `litLuma`.
 *
 * @param image Picture at the analysis size (height, width), sRGB
 * @param part Mask of the part (height, width)
 * @param cast The estimated cast
 * @param options Height and width of the photo as taken, pixels, and the mean luma below which a photo is dim
 * @returns The figures, without judgement
 * @throws {RangeError} If the mask and the picture differ in size
 */
export function fitFigures(
  image: RgbImage,
  part: Mask,
  cast: Cast,
  { original, litLuma }: { readonly original: Sized; readonly litLuma: number },
): FitFigures {
  assertSameSize(image, part);
  const luma = lumaPlane(image);
  const partPx = countInside(part);
  const { data, width, height } = image;
  let [lumaSum, black, white] = [0, 0, 0];
  let [between, flat, differing, steps, whiteRims, whiteSteps] = [0, 0, 0, 0, 0, 0];
  for (let row = 0, i = 0; row < height; row++) {
    for (let col = 0; col < width; col++, i++) {
      if (part.data[i] === 0) continue;
      lumaSum += luma.data[i]!;
      const at = i * 3;
      const red = data[at]!;
      const green = data[at + 1]!;
      const blue = data[at + 2]!;
      const isBlack = red <= BLACK_TO && green <= BLACK_TO && blue <= BLACK_TO;
      const isWhite = isPureWhite(data, at);
      if (isBlack) black++;
      else if (isWhite) white++;
      if (col === width - 1) continue;
      const step = Math.max(
        Math.abs(red - data[at + 3]!),
        Math.abs(green - data[at + 4]!),
        Math.abs(blue - data[at + 5]!),
      );
      if (!isBlack && !isWhite) {
        between++;
        if (step === 0) flat++;
      }
      if (step > 0) differing++;
      if (step >= STEP) steps++;
      if (step > 0 && isWhite !== isPureWhite(data, at + 3)) {
        whiteRims++;
        if (step >= STEP) whiteSteps++;
      }
    }
  }
  const meanLuma = partPx === 0 ? 0 : lumaSum / partPx;
  const lift = meanLuma > 0 && meanLuma < litLuma ? (litLuma / meanLuma) ** 2 : 1;
  return {
    longSidePx: Math.max(original.height, original.width),
    sharpness: sharpness(luma, part) * lift,
    meanLuma,
    blackFraction: partPx === 0 ? 0 : black / partPx,
    whiteFraction: partPx === 0 ? 0 : white / partPx,
    partFraction: partPx / part.data.length,
    partPx,
    castDegrees: cast.degrees,
    // A few pixels between black and white say nothing of the rest.
    flatFraction: between < partPx * BETWEEN_FROM ? 0 : flat / between,
    stepFraction: differing === 0 ? 0 : steps / differing,
    whiteStepFraction: whiteRims === 0 ? 0 : whiteSteps / whiteRims,
  };
}

function isPureWhite(data: RgbImage['data'], at: number): boolean {
  return data[at]! >= WHITE_FROM && data[at + 1]! >= WHITE_FROM && data[at + 2]! >= WHITE_FROM;
}

const BETWEEN_FROM = 0.1;

/** From this share one colour fills the picture: nothing was photographed. */
const ONE_COLOUR_FROM = 0.98;

/**
 * Decide whether a photo is fit to measure, and say what to do if not.
 *
 * Each fault is named by its cause: a photo too small, too dark or too bright is not also called blurred, since its blur
 * cannot be told, and one too dark is not called clipped for being black.
 *
 * @param figures Figures of the photo
 * @param limits Our limits, from rubric/imaging.yaml
 * @param leaning The way the light leans, for the words
 * @returns `ok`, and every problem found; a problem is a result, not an error
 */
export function judgeFitness(figures: FitFigures, limits: FitLimits, leaning: Cast['leaning'] = 'warm'): Fitness {
  const problems: FitProblem[] = [];
  const add = (id: FitProblemId, what: string, advice: string) => problems.push({ id, what, advice });
  const isSmall = figures.longSidePx < limits.longSidePxFrom;
  const isDark = figures.meanLuma < limits.meanLumaFrom;
  const isOnWhite =
    !isSmall &&
    figures.whiteFraction > limits.whiteFractionTo &&
    figures.whiteStepFraction > limits.whiteStepFractionFrom;
  const isBright = figures.meanLuma > limits.meanLumaTo && !isOnWhite;
  const isDrawn =
    !isSmall &&
    !isDark &&
    !isBright &&
    figures.flatFraction > limits.flatFractionTo &&
    (figures.stepFraction > limits.stepFractionFrom || figures.flatFraction > ONE_COLOUR_FROM);
  // Whatever lies behind the part counts too as long as nobody has drawn round it.
  const orOutline = figures.partFraction === 1 ? '; if it is only the background, draw round the part' : '';
  if (isSmall) {
    add(
      'too-few-pixels',
      `Too few pixels: longer side ${pixels(figures.longSidePx)}, wanted at least ${limits.longSidePxFrom}`,
      'Send the photo as the camera took it, not a thumbnail',
    );
  }
  if (isOnWhite) {
    add(
      'not-a-photo',
      `Not a photo as taken: ${percent(figures.whiteFraction)} of it is pure white with hard edges, as in a screenshot, a drawing or a part cut out`,
      `Photograph the part itself, or send the photo as the camera took it${orOutline}`,
    );
  } else if (isDrawn) {
    add(
      'not-a-photo',
      `Not a photo: ${percent(figures.flatFraction)} of it is perfectly flat colour, as in a screenshot or a drawing`,
      'Photograph the part itself, or send the photo as the camera took it',
    );
  } else if (figures.sharpness < limits.sharpnessFrom && !isSmall && !isDark && !isBright) {
    add(
      'blurred',
      `Blurred: sharpness ${figures.sharpness.toFixed(1)}, wanted at least ${limits.sharpnessFrom}`,
      'Wipe the lens, tap the part to focus, hold still or rest the camera, and take it again',
    );
  }
  if (isDark) {
    add(
      'too-dark',
      `Too dark: mean brightness ${Math.round(figures.meanLuma)} of 255, wanted at least ${limits.meanLumaFrom}`,
      `Bring a lamp to the side of the part, or tap the part so that the camera exposes for it${orOutline}`,
    );
  }
  if (isBright) {
    add(
      'too-bright',
      `Too bright: mean brightness ${Math.round(figures.meanLuma)} of 255, wanted at most ${limits.meanLumaTo}`,
      `Move the lamp away, switch the flash off or turn the part out of the sun, and take it again${orOutline}`,
    );
  }
  const isBlown = figures.whiteFraction > limits.whiteFractionTo && !isBright && !isOnWhite;
  const isBlack = figures.blackFraction > limits.blackFractionTo && !isDark;
  if (isBlown || isBlack) {
    const found = [
      ...(isBlown
        ? [`${percent(figures.whiteFraction)} pure white, wanted at most ${percent(limits.whiteFractionTo)}`]
        : []),
      ...(isBlack
        ? [`${percent(figures.blackFraction)} pure black, wanted at most ${percent(limits.blackFractionTo)}`]
        : []),
    ];
    add(
      'clipped',
      `Colour lost: ${found.join('; ')}`,
      isBlown
        ? `Soften the light with a sheet of paper or shade, switch the flash off, and take it again${orOutline}`
        : `Light the dark side too, with a lamp or a sheet of white paper, and take it again${orOutline}`,
    );
  }
  const isSpeck = figures.partPx < limits.partPxFrom && !isSmall;
  if (figures.partFraction < limits.partFractionFrom || isSpeck) {
    add(
      'too-small',
      figures.partFraction < limits.partFractionFrom
        ? `Part too small: it fills ${percent(figures.partFraction)} of the frame, wanted at least ${percent(limits.partFractionFrom)}`
        : `Part too small: it holds ${pixels(figures.partPx)} once shrunk for measuring, wanted at least ${limits.partPxFrom}`,
      'Go closer until the part fills most of the frame',
    );
  }
  if (figures.castDegrees > limits.castDegreesTo) {
    add(
      'strong-cast',
      `Coloured light: it leans ${leaning} by ${figures.castDegrees.toFixed(1)} degrees, wanted at most ${limits.castDegreesTo}`,
      'Use daylight or a white lamp, away from coloured walls and tarpaulins',
    );
  }
  return { ok: problems.length === 0, problems };
}

function percent(fraction: number): string {
  return `${Math.round(fraction * 1000) / 10} %`;
}

function pixels(count: number): string {
  return count === 1 ? '1 pixel' : `${count} pixels`;
}
