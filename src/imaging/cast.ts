import { linearFromSrgb } from './colour.ts';
import type { Mask, RgbImage } from './image.ts';

/** What the light seems to do to the colours. */
export interface Cast {
  /** Angle between the estimated light and a neutral one, degrees 0 to 55. */
  readonly degrees: number;
  /** Factors on linear red, green and blue that would make the light neutral; green is 1. */
  readonly gains: readonly [number, number, number];
  /** `warm`, `cool`, `green` or `magenta`: the way the light leans. */
  readonly leaning: 'warm' | 'cool' | 'green' | 'magenta';
}

// Minkowski norm 6, as Finlayson and Trezzi found best: "Shades of gray and colour constancy", Color Imaging Conference 2004.
const CLIPPED = 250;

/**
 * Estimate the colour of the light from the whole picture.
 *
 * Bright surfaces count most, so that a picture full of rust is not taken for one in warm light. Blown pixels have lost
 * their colour and are left out.
 *
 * @param image Picture (height, width), sRGB
 * @param part Optional mask of the pixels to use
 * @returns The cast; 0 degrees when nothing can be told
 * Source: Finlayson and Trezzi 2004 (shades of grey, norm 6)
 */
export function estimateCast(image: RgbImage, part?: Mask): Cast {
  const sums = [0, 0, 0];
  for (let i = 0; i < image.height * image.width; i++) {
    if (part !== undefined && part.data[i] === 0) continue;
    const red = image.data[i * 3]!;
    const green = image.data[i * 3 + 1]!;
    const blue = image.data[i * 3 + 2]!;
    if (red >= CLIPPED || green >= CLIPPED || blue >= CLIPPED) continue;
    sums[0]! += SIXTH[red]!;
    sums[1]! += SIXTH[green]!;
    sums[2]! += SIXTH[blue]!;
  }
  if (sums[0] === 0 || sums[1] === 0 || sums[2] === 0) return { degrees: 0, gains: [1, 1, 1], leaning: 'warm' };
  const [red, green, blue] = sums.map((sum) => Math.cbrt(Math.sqrt(sum))) as [number, number, number];
  const cosine = (red + green + blue) / (Math.sqrt(3) * Math.hypot(red, green, blue));
  const degrees = (Math.acos(Math.min(cosine, 1)) * 180) / Math.PI;
  return { degrees, gains: [green / red, 1, green / blue], leaning: leaningOf(red, green, blue) };
}

const SIXTH = Float64Array.from({ length: 256 }, (_, i) => linearFromSrgb(i) ** 6);

function leaningOf(red: number, green: number, blue: number): Cast['leaning'] {
  const warmth = (red - blue) / (red + blue);
  const greenness = (2 * green - red - blue) / (red + green + blue);
  if (Math.abs(warmth) >= Math.abs(greenness)) return warmth >= 0 ? 'warm' : 'cool';
  return greenness >= 0 ? 'green' : 'magenta';
}

/**
 * The factors that take back part of a cast.
 *
 * @param cast The estimated cast
 * @param strength 0 (leave the picture alone) to 1 (make the light neutral)
 * @returns Factors on linear red, green and blue
 */
export function partialGains(cast: Cast, strength: number): [number, number, number] {
  return [1 + (cast.gains[0] - 1) * strength, 1, 1 + (cast.gains[2] - 1) * strength];
}
