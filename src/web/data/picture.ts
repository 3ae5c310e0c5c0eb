import limits from 'virtual:imaging-limits';
import type { RgbImage, Sized } from '../../imaging/image.ts';
import { measurePhoto, type PhotoFinding, type PhotoTap } from '../../imaging/measurement.ts';
import type { Corner } from '../../imaging/outline.ts';

/** A picture in the page: upright, at the size at which photos are looked at, with its own size. */
export interface Picture {
  image: RgbImage;
  original: Sized;
}

/**
 * Decodes a picture that this browser can read.
 *
 * @param source File, or address on this server
 * @throws {Error} When the browser cannot decode it (some phones' HEIC); the server can
 */
export async function readPicture(source: Blob | string): Promise<Picture> {
  const blob = typeof source === 'string' ? await fetchBlob(source) : source;
  const bitmap = await createImageBitmap(blob, { imageOrientation: 'from-image' });
  const original = { height: bitmap.height, width: bitmap.width };
  const scale = Math.min(1, limits.analysis.longSidePx / Math.max(original.height, original.width));
  const height = Math.max(1, Math.round(original.height * scale));
  const width = Math.max(1, Math.round(original.width * scale));
  const canvas = document.createElement('canvas');
  canvas.height = height;
  canvas.width = width;
  const at = canvas.getContext('2d', { willReadFrequently: true })!;
  at.imageSmoothingQuality = 'high';
  at.drawImage(bitmap, 0, 0, width, height);
  bitmap.close();
  const { data } = at.getImageData(0, 0, width, height);
  const rgb = new Uint8Array(height * width * 3);
  for (let i = 0; i < height * width; i++) {
    rgb[i * 3] = data[i * 4]!;
    rgb[i * 3 + 1] = data[i * 4 + 1]!;
    rgb[i * 3 + 2] = data[i * 4 + 2]!;
  }
  return { image: { height, width, data: rgb }, original };
}

async function fetchBlob(address: string): Promise<Blob> {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`Cannot read the picture: wanted 200, found ${answer.status}`);
  return answer.blob();
}

/** Measures by the colour rule, at once and on this device. */
export function quickMeasure(
  picture: Picture,
  said: { outline?: readonly Corner[] | undefined; taps?: readonly PhotoTap[] } = {},
): PhotoFinding {
  const outline = said.outline && said.outline.length >= 3 ? said.outline : undefined;
  return measurePhoto({ ...picture, logits: null, outline, taps: said.taps }, limits);
}
