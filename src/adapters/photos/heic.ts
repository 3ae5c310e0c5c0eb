import decodeHeif from 'heic-decode';
import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import { type DecodedPhoto, type PhotoHead, shrinkPixels } from './decode.ts';
import { PhotoError } from './photo-error.ts';
import { type PhotoFile, photoBytes } from './read-photo.ts';

/**
 * Decode a phone's HEIC to the size at which it is looked at. Runs in a process of its own, one at a time.
 *
 * @throws {PhotoError} `too-many-pixels`, `damaged`, or `too-large` when the decoder asks for more memory than it may have
 */
export async function decodeHeic(
  photo: PhotoFile,
  head: PhotoHead,
  settings: Pick<ImagingSettings, 'intake' | 'analysis'>,
): Promise<DecodedPhoto> {
  const { heicPixelsTo } = settings.intake;
  const pixels = head.original.height * head.original.width;
  if (pixels > heicPixelsTo) {
    throw new PhotoError(
      'too-many-pixels',
      `Cannot decode: wanted a HEIC of at most ${heicPixelsTo / 1e6} million pixels, found ${head.original.width} x ${head.original.height}`,
    );
  }
  const bytes = await photoBytes(photo);
  const decoded = await decodeHeif({ buffer: bytes }).catch((cause: unknown) => {
    const found = cause instanceof Error ? cause.message : String(cause);
    throw new PhotoError('damaged', `Cannot decode: wanted a whole HEIC picture, found "${found}"`, { cause });
  });
  const { width, height, data } = decoded;
  if (width * height > heicPixelsTo) {
    throw new PhotoError('damaged', `Cannot decode: wanted the size in its header, found ${width} x ${height}`);
  }
  // The decoder has already turned the picture upright, so its size rules.
  const rgba = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  return shrinkPixels(rgba, { ...head, original: { height, width } }, settings);
}

/**
 * Bound the memory that any WebAssembly code in this process may take.
 *
 * The decoder's memory lies outside the JavaScript heap, so the heap's limit does not see it. Refusing to grow makes the
 * decoder fail cleanly.
 */
export function boundWasmMemory(bytesTo: number): void {
  const grow = WebAssembly.Memory.prototype.grow;
  WebAssembly.Memory.prototype.grow = function (this: WebAssembly.Memory, pages: number) {
    if (this.buffer.byteLength + pages * 65_536 > bytesTo) {
      throw new RangeError(`Cannot grow memory above ${bytesTo} bytes`);
    }
    return grow.call(this, pages);
  };
}
