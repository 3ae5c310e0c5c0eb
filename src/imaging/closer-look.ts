import { type FeatureMap, type Plane, type RgbImage, resizePlane, type Sized } from './image.ts';
import type { Corner } from './outline.ts';

/** A piece of a picture, pixels. */
export interface Window extends Sized {
  readonly top: number;
  readonly left: number;
}

/** Pixels of the joined map to eight of the picture; the network gives two, or three of a part that is enlarged by a half. */
const MAP_PIXELS = 3;
/** Windows begin and end on whole pixels of the joined map. */
const STEP = 8;
/** Log-odds where nobody looked: no rust. */
const UNSEEN = -6;

/**
 * The piece of a picture to look at when the part is outlined.
 *
 * @param corners The outline, pixels of the photo as taken
 * @param from Height and width of that photo
 * @param image Height and width of the picture, multiples of 8
 * @param limits Margin as a fraction of the outline's longer side, and the largest enlargement, at least 1
 * @returns The window in pixels of the picture, or null when it would be the whole picture
 */
export function closerWindow(
  corners: readonly Corner[],
  from: Sized,
  image: Sized,
  { margin, enlargeTo }: { readonly margin: number; readonly enlargeTo: number },
): Window | null {
  const xs = corners.map(([x]) => (x * image.width) / from.width);
  const ys = corners.map(([, y]) => (y * image.height) / from.height);
  const [wide, high] = [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)];
  const around = 2 * margin * Math.max(wide, high);
  const across = span(Math.min(...xs), wide, Math.max(wide + around, image.width / enlargeTo), image.width);
  const down = span(Math.min(...ys), high, Math.max(high + around, image.height / enlargeTo), image.height);
  const window = { left: across.start, width: across.length, top: down.start, height: down.length };
  return window.width === image.width && window.height === image.height ? null : window;
}

/** So long a piece round the middle of a stretch, moved inside what there is. */
function span(start: number, stretch: number, wanted: number, whole: number) {
  const length = Math.min(whole, STEP * Math.ceil(wanted / STEP));
  const at = Math.round((start + stretch / 2 - length / 2) / STEP) * STEP;
  return { start: Math.max(0, Math.min(at, whole - length)), length };
}

/**
 * Cut a window out of a picture.
 *
 * @param image Picture (height, width)
 * @param window Inside the picture
 * @returns Picture of the window's size
 */
export function cutWindow(image: RgbImage, { top, left, height, width }: Window): RgbImage {
  const data = new Uint8Array(height * width * 3);
  for (let row = 0; row < height; row++) {
    const from = ((top + row) * image.width + left) * 3;
    data.set(image.data.subarray(from, from + width * 3), row * width * 3);
  }
  return { height, width, data };
}

/**
 * Lay what was seen in a window into a map of the whole picture, at three eighths of the picture's size.
 *
 * @param seen Log-odds of rust and features of the window, of any size
 * @param window The window in pixels of the picture
 * @param image Height and width of the picture
 * @returns Log-odds and features of that size; outside the window no rust, and features 0
 */
export function layWindow(
  seen: { readonly logits: Plane; readonly features?: FeatureMap | undefined },
  window: Window,
  image: Sized,
): { logits: Plane; features?: FeatureMap } {
  const onMap = (pixels: number) => (pixels / STEP) * MAP_PIXELS;
  const size = { height: onMap(image.height), width: onMap(image.width) };
  const inside = { height: onMap(window.height), width: onMap(window.width) };
  const lay = (plane: Plane, into: Float32Array) => {
    const { data } = resizePlane(plane, inside);
    for (let row = 0; row < inside.height; row++) {
      const at = (onMap(window.top) + row) * size.width + onMap(window.left);
      into.set(data.subarray(row * inside.width, (row + 1) * inside.width), at);
    }
    return into;
  };
  const count = size.height * size.width;
  const logits = { ...size, data: lay(seen.logits, new Float32Array(count).fill(UNSEEN)) };
  if (seen.features === undefined) return { logits };
  const { channels, height, width, data } = seen.features;
  const all = new Float32Array(channels * count);
  for (let channel = 0; channel < channels; channel++) {
    const plane = { height, width, data: data.subarray(channel * height * width, (channel + 1) * height * width) };
    lay(plane, all.subarray(channel * count, (channel + 1) * count));
  }
  return { logits, features: { ...size, channels, data: all } };
}
