import type { Mask, Sized } from './image.ts';

/** A corner of an outline, pixels of the upright photo from its top left corner: across, down. */
export type Corner = readonly [x: number, y: number];

/**
 * What is wrong with an outline, in words, or null when it can be used.
 *
 * @param corners Corners in order, pixels of the upright photo
 * @param size Height and width of that photo, pixels
 * @returns Null, or a sentence without a full stop: what was wanted and what was found
 */
export function outlineFault(corners: readonly Corner[], size: Sized): string | null {
  if (corners.length < 3) return `wanted at least 3 corners, found ${corners.length}`;
  for (const [index, [x, y]] of corners.entries()) {
    if (!Number.isFinite(x) || !Number.isFinite(y)) return `wanted numbers, found [${x}, ${y}] at corner ${index + 1}`;
    if (x < 0 || y < 0 || x > size.width || y > size.height) {
      return `wanted corners inside ${size.width} x ${size.height} pixels, found [${x}, ${y}] at corner ${index + 1}`;
    }
  }
  const crossing = findCrossing(corners);
  if (crossing !== null) {
    return `wanted an outline that does not cross itself, found side ${crossing[0] + 1} crossing side ${crossing[1] + 1}`;
  }
  if (outlineArea(corners) < 1) return 'wanted an outline with an area, found all corners on a line';
  return null;
}

/**
 * The first two sides of a polygon that cross or touch where they should not.
 *
 * @param corners Corners in order; side n runs from corner n to the next
 * @returns Two side numbers from 0, or null
 */
export function findCrossing(corners: readonly Corner[]): [number, number] | null {
  const count = corners.length;
  for (let first = 0; first < count; first++) {
    const a = corners[first]!;
    const b = corners[(first + 1) % count]!;
    for (let second = first + 1; second < count; second++) {
      const c = corners[second]!;
      const d = corners[(second + 1) % count]!;
      const isNext = second === first + 1;
      const isPrevious = (second + 1) % count === first;
      if (isNext || isPrevious) {
        // Neighbours share a corner; they are at fault only when one runs back over the other.
        const [shared, p, q] = isNext ? [b, a, d] : [a, b, c];
        if (count > 2 && turn(p, shared, q) === 0 && isBehind(shared, p, q)) return [first, second];
        continue;
      }
      if (cross(a, b, c, d)) return [first, second];
    }
  }
  return null;
}

function turn(a: Corner, b: Corner, c: Corner): number {
  return Math.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
}

function isBehind(corner: Corner, p: Corner, q: Corner): boolean {
  return (p[0] - corner[0]) * (q[0] - corner[0]) + (p[1] - corner[1]) * (q[1] - corner[1]) > 0;
}

function isOn(a: Corner, b: Corner, p: Corner): boolean {
  return (
    p[0] >= Math.min(a[0], b[0]) &&
    p[0] <= Math.max(a[0], b[0]) &&
    p[1] >= Math.min(a[1], b[1]) &&
    p[1] <= Math.max(a[1], b[1])
  );
}

function cross(a: Corner, b: Corner, c: Corner, d: Corner): boolean {
  const abc = turn(a, b, c);
  const abd = turn(a, b, d);
  const cda = turn(c, d, a);
  const cdb = turn(c, d, b);
  if (abc !== abd && cda !== cdb) return true;
  return (
    (abc === 0 && isOn(a, b, c)) ||
    (abd === 0 && isOn(a, b, d)) ||
    (cda === 0 && isOn(c, d, a)) ||
    (cdb === 0 && isOn(c, d, b))
  );
}

/**
 * Area of a polygon.
 *
 * @param corners Corners in order, either way round
 * @returns Square pixels
 * Source: Gauss's area formula
 */
export function outlineArea(corners: readonly Corner[]): number {
  let twice = 0;
  for (let i = 0; i < corners.length; i++) {
    const [x1, y1] = corners[i]!;
    const [x2, y2] = corners[(i + 1) % corners.length]!;
    twice += x1 * y2 - x2 * y1;
  }
  return Math.abs(twice) / 2;
}

/**
 * The pixels whose centre lies inside a polygon (even-odd rule).
 *
 * @param corners Corners in order, in pixels of `from`
 * @param from Height and width that the corners refer to
 * @param size Height and width of the wanted mask
 * @returns Mask; empty when no centre lies inside
 */
export function rasteriseOutline(corners: readonly Corner[], from: Sized, size: Sized): Mask {
  const data = new Uint8Array(size.height * size.width);
  const acrossScale = size.width / from.width;
  const downScale = size.height / from.height;
  const points = corners.map(([x, y]) => [x * acrossScale, y * downScale] as const);
  for (let row = 0; row < size.height; row++) {
    const y = row + 0.5;
    const hits: number[] = [];
    for (let i = 0; i < points.length; i++) {
      const [x1, y1] = points[i]!;
      const [x2, y2] = points[(i + 1) % points.length]!;
      if (y1 <= y !== y2 <= y) hits.push(x1 + ((y - y1) / (y2 - y1)) * (x2 - x1));
    }
    hits.sort((a, b) => a - b);
    for (let i = 0; i + 1 < hits.length; i += 2) {
      const start = Math.max(Math.ceil(hits[i]! - 0.5), 0);
      const end = Math.min(Math.ceil(hits[i + 1]! - 0.5), size.width);
      if (end > start) data.fill(1, row * size.width + start, row * size.width + end);
    }
  }
  return { height: size.height, width: size.width, data };
}
