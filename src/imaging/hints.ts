import { labImage } from './colour.ts';
import {
  assertSameSize,
  type FeatureMap,
  type Mask,
  type Plane,
  type RgbImage,
  type Sized,
  shrinkImage,
} from './image.ts';
import { findRegions } from './regions.ts';

/** A tap on one pixel of the map, with what it says. */
export interface Tap {
  readonly row: number;
  readonly col: number;
  /** True for "rust" or "part", false for "not rust" or "not the part". */
  readonly yes: boolean;
}

/** How far a tap's pull reaches, in each sense; at one reach it has fallen to a quarter. */
export interface HintReach {
  /** Fraction of the longer side. */
  readonly positionReach: number;
  /** CIELAB units. */
  readonly colourReach: number;
  /** Local spread of lightness, CIELAB units. */
  readonly textureReach: number;
  /** Root mean square distance of the network's features, each in standard deviations over the picture. */
  readonly featureReach: number;
  /** Share of the pull that fades with distance on the picture; the rest reaches all pixels that look alike. */
  readonly nearShare: number;
  /** Added to the diagonal, so that contradicting taps average out. */
  readonly ridge: number;
  /** Log-odds wanted at a tap. */
  readonly target: number;
}

/** What tells pixels apart, each channel already divided by its reach. */
export interface HintFeatures extends FeatureMap {
  readonly reach: HintReach;
}

const TEXTURE_RADIUS = 2;

/**
 * Gather what tells pixels apart at the map's size: colour, texture and, where at hand, the network's features.
 *
 * @param image Picture (height, width), at least the map's size
 * @param size Height and width of the map
 * @param options Reaches, and the network's features (channel, height, width) of the map's size when there are any
 * @returns Channels scaled so that a distance of 1 is one reach
 * @throws {RangeError} If the features have another size than the map
 */
export function hintFeatures(
  image: RgbImage,
  size: Sized,
  options: { readonly reach: HintReach; readonly network?: FeatureMap | undefined },
): HintFeatures {
  const { reach, network } = options;
  if (network !== undefined) assertSameSize(network, size);
  const count = size.height * size.width;
  const lab = labImage(shrinkImage(image, size));
  const channels = 4 + (network?.channels ?? 0);
  const data = new Float32Array(channels * count);
  for (let i = 0; i < count; i++) {
    data[i] = lab.l[i]! / (2 * reach.colourReach);
    data[count + i] = lab.a[i]! / reach.colourReach;
    data[2 * count + i] = lab.b[i]! / reach.colourReach;
  }
  data.set(
    localSpread({ ...size, data: lab.l }).map((value) => value / reach.textureReach),
    3 * count,
  );
  if (network !== undefined) {
    const share = 1 / (reach.featureReach * Math.sqrt(network.channels));
    for (let channel = 0; channel < network.channels; channel++) {
      const from = channel * count;
      let sum = 0;
      let squares = 0;
      for (let i = 0; i < count; i++) {
        const value = network.data[from + i]!;
        sum += value;
        squares += value * value;
      }
      const deviation = Math.sqrt(Math.max(squares / count - (sum / count) ** 2, 1e-12));
      const scale = share / deviation;
      for (let i = 0; i < count; i++) data[(4 + channel) * count + i] = network.data[from + i]! * scale;
    }
  }
  return { channels, height: size.height, width: size.width, data, reach };
}

/** Standard deviation in a 5 x 5 window, edges cut off. */
function localSpread(plane: Plane): Float32Array {
  const { height, width } = plane;
  const stride = width + 1;
  const sums = new Float64Array((height + 1) * stride);
  const squares = new Float64Array((height + 1) * stride);
  for (let row = 0; row < height; row++) {
    let sum = 0;
    let square = 0;
    for (let col = 0; col < width; col++) {
      const value = plane.data[row * width + col]!;
      sum += value;
      square += value * value;
      sums[(row + 1) * stride + col + 1] = sums[row * stride + col + 1]! + sum;
      squares[(row + 1) * stride + col + 1] = squares[row * stride + col + 1]! + square;
    }
  }
  const out = new Float32Array(height * width);
  for (let row = 0; row < height; row++) {
    const top = Math.max(row - TEXTURE_RADIUS, 0) * stride;
    const bottom = Math.min(row + TEXTURE_RADIUS + 1, height) * stride;
    for (let col = 0; col < width; col++) {
      const left = Math.max(col - TEXTURE_RADIUS, 0);
      const right = Math.min(col + TEXTURE_RADIUS + 1, width);
      const count = ((bottom - top) / stride) * (right - left);
      const sum = sums[bottom + right]! - sums[top + right]! - sums[bottom + left]! + sums[top + left]!;
      const square = squares[bottom + right]! - squares[top + right]! - squares[bottom + left]! + squares[top + left]!;
      out[row * width + col] = Math.sqrt(Math.max(square / count - (sum / count) ** 2, 0));
    }
  }
  return out;
}

/**
 * Put a map of log-odds right by a few taps.
 *
 * Each tap asks for a clear yes or no where it stands; what is missing spreads to the pixels that look alike and lie near.
 *
 * @param logits Log-odds of rust (height, width); above 0 is rust
 * @param features Features of the same size
 * @param taps Taps in pixels of the map
 * @returns New log-odds
 * @throws {RangeError} If sizes differ or a tap lies outside the map
 */
export function correctByTaps(logits: Plane, features: HintFeatures, taps: readonly Tap[]): Plane {
  assertSameSize(logits, features);
  const { ridge, target } = features.reach;
  const pulls = taps.map((tap) => tapPull(features, tap));
  const at = taps.map((tap) => tap.row * logits.width + tap.col);
  const matrix = pulls.map((_, i) => pulls.map((pull, j) => pull[at[i]!]! + (i === j ? ridge : 0)));
  const missing = taps.map((tap, i) => {
    const now = logits.data[at[i]!]!;
    return tap.yes ? Math.max(target - now, 0) : Math.min(-target - now, 0);
  });
  const weights = solve(matrix, missing);
  const data = Float32Array.from(logits.data);
  for (const [n, pull] of pulls.entries()) {
    const weight = weights[n]!;
    for (let i = 0; i < data.length; i++) data[i]! += weight * pull[i]!;
  }
  return { height: logits.height, width: logits.width, data };
}

/** Pull of one tap on every pixel, 1 at the tap itself: an inverse-quadratic kernel, which needs no exponential. */
function tapPull(features: HintFeatures, tap: Tap): Float32Array {
  const { height, width, channels, data, reach } = features;
  if (!(tap.row >= 0 && tap.row < height && tap.col >= 0 && tap.col < width)) {
    throw new RangeError(
      `Cannot use a tap outside ${height} x ${width} pixels: found row ${tap.row}, column ${tap.col}`,
    );
  }
  const count = height * width;
  const centre = tap.row * width + tap.col;
  const distance = new Float32Array(count);
  for (let channel = 0; channel < channels; channel++) {
    const from = channel * count;
    const here = data[from + centre]!;
    for (let i = 0; i < count; i++) {
      const step = data[from + i]! - here;
      distance[i]! += step * step;
    }
  }
  const span = 1 / (reach.positionReach * Math.max(height, width));
  for (let row = 0; row < height; row++) {
    const down = ((row - tap.row) * span) ** 2;
    for (let col = 0; col < width; col++) {
      const i = row * width + col;
      const alike = 1 / (1 + distance[i]!);
      const near = 1 / (1 + down + ((col - tap.col) * span) ** 2);
      distance[i] = alike * alike * (1 - reach.nearShare + reach.nearShare * near * near);
    }
  }
  return distance;
}

/** Solve a small symmetric system by Gauss's method with pivots. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const count = rows.length;
  for (let col = 0; col < count; col++) {
    let pivot = col;
    for (let row = col + 1; row < count; row++) {
      if (Math.abs(rows[row]![col]!) > Math.abs(rows[pivot]![col]!)) pivot = row;
    }
    [rows[col], rows[pivot]] = [rows[pivot]!, rows[col]!];
    const lead = rows[col]![col]!;
    for (let row = 0; row < count; row++) {
      if (row === col) continue;
      const share = rows[row]![col]! / lead;
      if (share === 0) continue;
      for (let k = col; k <= count; k++) rows[row]![k]! -= share * rows[col]![k]!;
    }
  }
  return rows.map((row, i) => row[count]! / row[i]!);
}

/**
 * The part, from taps "part" and "not the part".
 *
 * Pixels that look like the part's taps and lie near them belong to it; only patches that hold a "part" tap are kept.
 *
 * @param features Features (height, width)
 * @param taps Taps in pixels of the map; at least one must say yes
 * @returns Mask (height, width)
 * @throws {RangeError} If no tap says "part"
 */
export function partByTaps(features: HintFeatures, taps: readonly Tap[]): Mask {
  const yes = taps.filter((tap) => tap.yes);
  if (yes.length === 0) throw new RangeError('Cannot find the part as no tap says "part"');
  const size = { height: features.height, width: features.width };
  const { target } = features.reach;
  // With taps on one side only, what is far from all of them is taken for the other side.
  const prior = yes.length === taps.length ? -target / 3 : 0;
  const start: Plane = { ...size, data: new Float32Array(size.height * size.width).fill(prior) };
  const logits = correctByTaps(start, features, taps);
  const inside: Mask = { ...size, data: Uint8Array.from(logits.data, (value) => (value > 0 ? 1 : 0)) };
  const { labels } = findRegions(inside);
  const kept = new Set(yes.map((tap) => labels[tap.row * size.width + tap.col]!));
  return { ...size, data: inside.data.map((value, i) => (value === 1 && kept.has(labels[i]!) ? 1 : 0)) };
}
