import sharp, { type OutputInfo } from 'sharp';
import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import type { RgbImage, Sized } from '../../imaging/index.ts';
import { type CaptureTime, readCaptureTime } from './capture-time.ts';
import { PhotoError } from './photo-error.ts';
import type { PhotoFile } from './read-photo.ts';

// One photo at a time a process: the pool keeps the cores busy, and a cache of decoded files would only grow.
sharp.cache(false);
sharp.concurrency(1);

/** A photo upright, in sRGB, at the size at which it is looked at. */
export interface DecodedPhoto {
  readonly image: RgbImage;
  /** Height and width of the upright photo as taken. */
  readonly original: Sized;
  readonly takenAt: CaptureTime | null;
  /** True when the file holds more frames and only the first was used. */
  readonly isFirstOfMany: boolean;
}

/** What can be told about a photo without decoding it. */
export interface PhotoHead {
  readonly original: Sized;
  readonly takenAt: CaptureTime | null;
  readonly isFirstOfMany: boolean;
  /** True for pictures that only the HEIC decoder can open. */
  readonly isHevc: boolean;
  /** EXIF orientation, 1 to 8. */
  readonly orientation: number;
}

/** Sides of the network's input are multiples of this. */
export const SIDE_STEP = 32;
const NEUTRAL = { r: 128, g: 128, b: 128 };

/**
 * The size at which a photo is looked at.
 *
 * A long panorama is looked at with its short side at three quarters of the usual long side, so that it is not shrunk
 * out of sight; it then goes through the network by tiles.
 *
 * @returns Height and width, multiples of 32
 */
export function analysisSize(original: Sized, limits: ImagingSettings['analysis']): Sized {
  const long = Math.max(original.height, original.width);
  const short = Math.min(original.height, original.width);
  const isLong = long / short > limits.tileFromRatio;
  const shortTo = isLong ? limits.longSidePx * 0.75 : Number.POSITIVE_INFINITY;
  const longTo = isLong ? limits.longSidePx * limits.tilesTo * 0.75 : limits.longSidePx;
  const scale = Math.min(shortTo / short, longTo / long);
  const side = (pixels: number) => Math.max(SIDE_STEP, Math.round((pixels * scale) / SIDE_STEP) * SIDE_STEP);
  return { height: side(original.height), width: side(original.width) };
}

/**
 * Read a photo's head.
 *
 * @throws {PhotoError} `damaged`, `unsupported` or `too-many-pixels`
 */
export async function readHead(photo: PhotoFile, limits: ImagingSettings['intake']): Promise<PhotoHead> {
  // The bound is checked on the header below, so that the message can name the size.
  const metadata = await sharp(photo.input, { limitInputPixels: false, failOn: 'error' })
    .metadata()
    .catch((cause: Error) => {
      throw damaged(cause);
    });
  const { width, height, pages = 1, orientation = 1 } = metadata;
  if (!width || !height) throw new PhotoError('damaged', 'Cannot decode: wanted a picture with a size, found none');
  if (width * height > limits.pixelsTo) {
    throw new PhotoError(
      'too-many-pixels',
      `Cannot decode: wanted at most ${limits.pixelsTo / 1e6} million pixels, found ${width} x ${height}`,
    );
  }
  const isHeif = photo.format === 'heic' || photo.format === 'avif';
  // A HEIF file's own turning is already in its size; its EXIF orientation only repeats it.
  const isTurned = !isHeif && orientation >= 5;
  return {
    original: isTurned ? { height: width, width: height } : { height, width },
    // A TIFF is itself one EXIF block; the pixel library does not hand its tags out.
    takenAt: await readCaptureTime(photo.format === 'tiff' ? photo.input : metadata.exif),
    isFirstOfMany: pages > 1 && photo.format !== 'heic',
    isHevc: metadata.compression === 'hevc',
    orientation: isHeif ? 1 : orientation,
  };
}

/**
 * Decode a photo to the size at which it is looked at.
 *
 * Turned upright, its colour profile followed to sRGB, 8 bits, transparency laid on mid grey; the first frame only.
 *
 * @throws {PhotoError} `damaged`
 */
export async function decodePhoto(
  photo: PhotoFile,
  head: PhotoHead,
  settings: Pick<ImagingSettings, 'intake' | 'analysis'>,
): Promise<DecodedPhoto> {
  const size = analysisSize(head.original, settings.analysis);
  const { data, info } = await sharp(photo.input, {
    limitInputPixels: settings.intake.pixelsTo,
    failOn: 'error',
    sequentialRead: true,
    animated: false,
  })
    .autoOrient()
    .resize(size.width, size.height, { fit: 'fill' })
    .flatten({ background: NEUTRAL })
    .toColourspace('srgb')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true })
    .catch((cause: Error) => {
      throw damaged(cause);
    });
  return { image: threeChannels(data, info), ...pick(head) };
}

/** Shrink pixels that another decoder gave: red, green, blue and opacity, row by row. */
export async function shrinkPixels(
  rgba: Uint8Array,
  head: PhotoHead,
  settings: Pick<ImagingSettings, 'intake' | 'analysis'>,
): Promise<DecodedPhoto> {
  const size = analysisSize(head.original, settings.analysis);
  const { data, info } = await sharp(rgba, {
    raw: { width: head.original.width, height: head.original.height, channels: 4 },
    limitInputPixels: settings.intake.pixelsTo,
  })
    .resize(size.width, size.height, { fit: 'fill' })
    .flatten({ background: NEUTRAL })
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  return { image: threeChannels(data, info), ...pick(head) };
}

/** Enlarge a piece of a photo to the size at which a photo of its shape is looked at. */
export async function enlarge(piece: RgbImage, limits: ImagingSettings['analysis']): Promise<RgbImage> {
  const { height, width } = analysisSize(piece, limits);
  const { data, info } = await sharp(piece.data, { raw: { width: piece.width, height: piece.height, channels: 3 } })
    .resize(width, height, { fit: 'fill' })
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  return threeChannels(data, info);
}

function pick(head: PhotoHead) {
  return { original: head.original, takenAt: head.takenAt, isFirstOfMany: head.isFirstOfMany };
}

function threeChannels(data: Uint8Array, info: OutputInfo): RgbImage {
  const { height, width, channels } = info;
  if (channels === 3) return { height, width, data };
  const rgb = new Uint8Array(height * width * 3);
  for (let i = 0; i < height * width; i++) {
    for (let c = 0; c < 3; c++) rgb[i * 3 + c] = data[i * channels + (channels < 3 ? 0 : c)]!;
  }
  return { height, width, data: rgb };
}

function damaged(cause: Error): PhotoError {
  const found = faultOf(cause);
  const code = /unsupported|no decoding plugin|not built with support/i.test(found) ? 'unsupported' : 'damaged';
  return new PhotoError(code, `Cannot decode: wanted a whole picture, found "${found}"`, { cause });
}

/** A decoder's own word for a fault, without its name before it. */
export function faultOf(cause: Error): string {
  return cause.message
    .split('\n')[0]!
    .trim()
    .replace(/^(?:Vips\w+|\w+(?:load|save)\w*|source|heif):\s*/i, '');
}
