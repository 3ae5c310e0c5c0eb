/** An upright picture: `height` rows of `width` pixels, red, green and blue interleaved, 8-bit sRGB. */
export interface RgbImage {
  readonly height: number;
  readonly width: number;
  readonly data: Uint8Array | Uint8ClampedArray;
}

/** One number a pixel, row by row. */
export interface Plane {
  readonly height: number;
  readonly width: number;
  readonly data: Float32Array;
}

/** One flag a pixel, row by row: 1 is inside, 0 outside. */
export interface Mask {
  readonly height: number;
  readonly width: number;
  readonly data: Uint8Array;
}

/** Several numbers a pixel, one plane after another (channel, row, column). */
export interface FeatureMap {
  readonly channels: number;
  readonly height: number;
  readonly width: number;
  readonly data: Float32Array;
}

/** Anything that has a size. */
export interface Sized {
  readonly height: number;
  readonly width: number;
}

/**
 * Check that a picture's array holds what its size promises.
 *
 * @param image Picture, plane or mask
 * @param channels Numbers a pixel
 * @throws {RangeError} If a side is not a whole number of at least 1, or the array has another length
 */
export function assertSize(image: Sized & { readonly data: ArrayLike<number> }, channels = 1): void {
  const { height, width, data } = image;
  if (!Number.isInteger(height) || !Number.isInteger(width) || height < 1 || width < 1) {
    throw new RangeError(`Cannot use a picture as its sides must be whole numbers from 1: found ${height} x ${width}`);
  }
  if (data.length !== height * width * channels) {
    throw new RangeError(
      `Cannot use a picture as ${height} x ${width} x ${channels} wants ${height * width * channels} numbers: found ${data.length}`,
    );
  }
}

/**
 * Check that two pictures have the same size.
 *
 * @param a First picture
 * @param b Second picture
 * @throws {RangeError} If they differ
 */
export function assertSameSize(a: Sized, b: Sized): void {
  if (a.height !== b.height || a.width !== b.width) {
    throw new RangeError(
      `Cannot compare pictures of different size: ${a.height} x ${a.width} and ${b.height} x ${b.width}`,
    );
  }
}

/**
 * Number of pixels inside a mask.
 *
 * @param mask Mask (height, width)
 * @returns Count of ones
 */
export function countInside(mask: Mask): number {
  let count = 0;
  for (let i = 0; i < mask.data.length; i++) count += mask.data[i]!;
  return count;
}

/**
 * The pixels of a mask that lie on a part.
 *
 * @param mask Mask (height, width)
 * @param part Mask (height, width)
 * @returns Mask of the pixels that both hold
 */
export function insidePart(mask: Mask, part: Mask): Mask {
  const data = new Uint8Array(mask.data.length);
  for (let i = 0; i < data.length; i++) data[i] = mask.data[i]! & part.data[i]!;
  return { height: mask.height, width: mask.width, data };
}

/**
 * A mask with every pixel inside.
 *
 * @param size Height and width in pixels
 * @returns Mask of ones
 */
export function wholeFrame(size: Sized): Mask {
  return { height: size.height, width: size.width, data: new Uint8Array(size.height * size.width).fill(1) };
}

/**
 * Fraction of a part's visible surface that is rusted.
 *
 * @param rust Mask (height, width), 1 is rust
 * @param part Mask (height, width), 1 is the part; pixels outside it do not count
 * @returns Fraction 0 to 1, or null when the part has no pixels
 * @throws {RangeError} If the masks differ in size
 * Source: ASTM D610 grades the assessed surface only, so the background is masked out.
 * @example rustFraction({ height: 1, width: 2, data: Uint8Array.of(1, 0) }, wholeFrame({ height: 1, width: 2 })) // 0.5
 */
export function rustFraction(rust: Mask, part: Mask): number | null {
  assertSameSize(rust, part);
  let rusted = 0;
  let total = 0;
  for (let i = 0; i < part.data.length; i++) {
    if (part.data[i] === 0) continue;
    total++;
    rusted += rust.data[i]!;
  }
  return total === 0 ? null : rusted / total;
}

/**
 * Resize a plane by bilinear interpolation between pixel centres.
 *
 * @param plane Plane (height, width)
 * @param size Wanted height and width in pixels
 * @returns New plane; the edge value is repeated outside the outermost centres
 */
export function resizePlane(plane: Plane, size: Sized): Plane {
  const out = new Float32Array(size.height * size.width);
  const cols = samplePositions(plane.width, size.width);
  const rows = samplePositions(plane.height, size.height);
  for (let row = 0; row < size.height; row++) {
    const top = rows.first[row]! * plane.width;
    const bottom = rows.second[row]! * plane.width;
    const down = rows.share[row]!;
    for (let col = 0; col < size.width; col++) {
      const left = cols.first[col]!;
      const right = cols.second[col]!;
      const across = cols.share[col]!;
      const upper = plane.data[top + left]! * (1 - across) + plane.data[top + right]! * across;
      const lower = plane.data[bottom + left]! * (1 - across) + plane.data[bottom + right]! * across;
      out[row * size.width + col] = upper * (1 - down) + lower * down;
    }
  }
  return { height: size.height, width: size.width, data: out };
}

function samplePositions(from: number, to: number) {
  const first = new Int32Array(to);
  const second = new Int32Array(to);
  const share = new Float64Array(to);
  for (let i = 0; i < to; i++) {
    const at = Math.min(Math.max(((i + 0.5) * from) / to - 0.5, 0), from - 1);
    first[i] = Math.floor(at);
    second[i] = Math.min(first[i]! + 1, from - 1);
    share[i] = at - first[i]!;
  }
  return { first, second, share };
}

/**
 * Shrink a picture by averaging the pixels that fall into each new one.
 *
 * @param image Picture (height, width)
 * @param size Wanted height and width, each at most the old one
 * @returns New picture
 * @throws {RangeError} If a wanted side is larger than the old one
 */
export function shrinkImage(image: RgbImage, size: Sized): RgbImage {
  if (size.height > image.height || size.width > image.width) {
    throw new RangeError(
      `Cannot shrink a picture to a larger size: ${image.height} x ${image.width} to ${size.height} x ${size.width}`,
    );
  }
  const data = new Uint8Array(size.height * size.width * 3);
  for (let row = 0; row < size.height; row++) {
    const top = Math.floor((row * image.height) / size.height);
    const bottom = Math.max(Math.floor(((row + 1) * image.height) / size.height), top + 1);
    for (let col = 0; col < size.width; col++) {
      const left = Math.floor((col * image.width) / size.width);
      const right = Math.max(Math.floor(((col + 1) * image.width) / size.width), left + 1);
      let red = 0;
      let green = 0;
      let blue = 0;
      for (let y = top; y < bottom; y++) {
        for (let x = left; x < right; x++) {
          const at = (y * image.width + x) * 3;
          red += image.data[at]!;
          green += image.data[at + 1]!;
          blue += image.data[at + 2]!;
        }
      }
      const count = (bottom - top) * (right - left);
      const to = (row * size.width + col) * 3;
      data[to] = Math.round(red / count);
      data[to + 1] = Math.round(green / count);
      data[to + 2] = Math.round(blue / count);
    }
  }
  return { height: size.height, width: size.width, data };
}

/**
 * Turn a plane into a mask.
 *
 * @param plane Plane (height, width)
 * @param threshold Pixels at or above it are inside
 * @returns Mask (height, width)
 */
export function thresholdPlane(plane: Plane, threshold: number): Mask {
  const data = new Uint8Array(plane.data.length);
  for (let i = 0; i < data.length; i++) data[i] = plane.data[i]! >= threshold ? 1 : 0;
  return { height: plane.height, width: plane.width, data };
}
