import decodeHeif from 'heic-decode';
import sharp from 'sharp';
import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import { faultOf, readHead } from './decode.ts';
import { PhotoError } from './photo-error.ts';
import { openPhoto, type PhotoSource, photoBytes } from './read-photo.ts';
import { stripJpeg, stripPng, stripWebp } from './strip.ts';

/** A photo fit to be kept: no place, no maker's notes, no hidden second picture. */
export interface CleanPhoto {
  readonly bytes: Uint8Array;
  readonly format: 'jpeg' | 'png' | 'webp';
  /** Upright size. */
  readonly height: number;
  readonly width: number;
  /** `2026-11-25T10:30:00`, the camera's own time, or null. */
  readonly takenAt: string | null;
}

const JPEG_QUALITY = 92;

/**
 * Take a photo in: decode it once to see that it is whole, then keep only picture, profile, orientation and capture time.
 *
 * JPEG, PNG and WebP keep their very pixels; TIFF, AVIF and HEIC become an upright JPEG.
 *
 * @throws {PhotoError} When it cannot be read, is too large or is damaged
 */
export async function cleanPhoto(
  source: PhotoSource,
  settings: Pick<ImagingSettings, 'intake' | 'analysis'>,
): Promise<CleanPhoto> {
  const photo = await openPhoto(source, settings.intake);
  const head = await readHead(photo, settings.intake);
  const kept = { orientation: head.orientation, takenAt: head.takenAt };
  const takenAt = head.takenAt === null ? null : new Date(head.takenAt.ms).toISOString().slice(0, 19);
  const facts = { ...head.original, takenAt };
  const bytes = await photoBytes(photo);
  if (head.isHevc) {
    const { width, height, data } = await decodeHeif({ buffer: bytes }).catch((cause: unknown) => {
      throw new PhotoError('damaged', 'Cannot take in: wanted a whole HEIC picture', { cause });
    });
    const jpeg = await sharp(data, { raw: { width, height, channels: 4 } })
      .flatten()
      .jpeg({ quality: JPEG_QUALITY })
      .toBuffer();
    return { ...facts, height, width, format: 'jpeg', bytes: stripJpeg(jpeg, { ...kept, orientation: 1 }) };
  }
  const whole = sharp(bytes, { limitInputPixels: settings.intake.pixelsTo, failOn: 'error' });
  if (photo.format === 'tiff' || photo.format === 'avif' || photo.format === 'heic') {
    const jpeg = await whole
      .autoOrient()
      .flatten()
      .toColourspace('srgb')
      .jpeg({ quality: JPEG_QUALITY })
      .toBuffer()
      .catch((cause: Error) => {
        throw new PhotoError('damaged', `Cannot take in: wanted a whole picture, found "${faultOf(cause)}"`, { cause });
      });
    return { ...facts, format: 'jpeg', bytes: stripJpeg(jpeg, { ...kept, orientation: 1 }) };
  }
  // Decoding to a thumbnail reads every byte and so finds a cut-short file.
  await whole
    .resize(64)
    .raw()
    .toBuffer()
    .catch((cause: Error) => {
      throw new PhotoError('damaged', `Cannot take in: wanted a whole picture, found "${faultOf(cause)}"`, { cause });
    });
  const strip = { jpeg: stripJpeg, png: stripPng, webp: stripWebp }[photo.format];
  return { ...facts, format: photo.format, bytes: strip(bytes, kept) };
}
