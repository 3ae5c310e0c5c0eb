import { lumaPlane } from './fitness.ts';
import { type RgbImage, shrinkImage } from './image.ts';

/** What tells near-duplicates apart. */
export interface PhotoTrace {
  /** 64 bits as 16 hexadecimal digits. */
  readonly hash: string;
  /** When the photo was taken, milliseconds since 1970 in the camera's own time, or null. */
  readonly takenAt: number | null;
}

/** Our limits for calling two photos one subject. */
export interface DuplicateLimits {
  /** At most this many of 64 bits differ, whatever the time. */
  readonly sameBits: number;
  /** Taken within this many seconds, ... */
  readonly burstSeconds: number;
  /** ... and at most this many bits differ. */
  readonly burstBits: number;
}

/**
 * Difference hash of a picture: is each cell of a 8 x 9 grid brighter than the one to its left?
 *
 * @param image Picture, at least 8 high and 9 wide
 * @returns 16 hexadecimal digits
 * Source: the difference hash is common practice, no source
 */
export function differenceHash(image: RgbImage): string {
  const small = image.height < 8 || image.width < 9 ? null : shrinkImage(image, { height: 8, width: 9 });
  if (small === null) return '0'.repeat(16);
  const luma = lumaPlane(small).data;
  let text = '';
  for (let row = 0; row < 8; row++) {
    let bits = 0;
    for (let col = 0; col < 8; col++) bits = bits * 2 + (luma[row * 9 + col + 1]! > luma[row * 9 + col]! ? 1 : 0);
    text += bits.toString(16).padStart(2, '0');
  }
  return text;
}

/**
 * Number of bits in which two hashes differ.
 *
 * @param first 16 hexadecimal digits
 * @param second 16 hexadecimal digits
 * @returns 0 to 64
 */
export function hashDistance(first: string, second: string): number {
  let distance = 0;
  for (let i = 0; i < 16; i++) {
    let differing = Number.parseInt(first[i]!, 16) ^ Number.parseInt(second[i]!, 16);
    while (differing > 0) {
      distance += differing & 1;
      differing >>= 1;
    }
  }
  return distance;
}

/**
 * The group of the next photo: that of the first earlier photo which shows the same, else a new one.
 *
 * @param next Trace of the photo
 * @param earlier Traces with their groups, in the order of the list
 * @param limits Our limits, from rubric/imaging.yaml
 * @returns Group number; new ones count up from 1
 */
export function groupOf(
  next: PhotoTrace,
  earlier: readonly (PhotoTrace & { readonly group: number })[],
  limits: DuplicateLimits,
): number {
  let highest = 0;
  for (const photo of earlier) {
    highest = Math.max(highest, photo.group);
    const bits = hashDistance(photo.hash, next.hash);
    if (bits <= limits.sameBits) return photo.group;
    if (photo.takenAt === null || next.takenAt === null) continue;
    if (Math.abs(photo.takenAt - next.takenAt) <= limits.burstSeconds * 1000 && bits <= limits.burstBits) {
      return photo.group;
    }
  }
  return highest + 1;
}
