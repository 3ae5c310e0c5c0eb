import { open, readFile } from 'node:fs/promises';
import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import { PhotoError } from './photo-error.ts';
import { type PhotoFormat, sniffFormat } from './sniff.ts';

/** A photo as bytes or as a file. */
export type PhotoSource = { readonly path: string } | { readonly bytes: Uint8Array };

/** A file that looks like a picture and is not too large. */
export interface PhotoFile {
  /** What the pixel library opens. */
  readonly input: string | Uint8Array;
  readonly format: PhotoFormat;
}

/**
 * Check size and kind before anything is decoded.
 *
 * @throws {PhotoError} `not-found`, `empty`, `too-large` or `not-a-picture`
 */
export async function openPhoto(source: PhotoSource, limits: ImagingSettings['intake']): Promise<PhotoFile> {
  if ('bytes' in source) {
    const format = checkHead(source.bytes.subarray(0, 64), source.bytes.length, limits);
    return { input: source.bytes, format };
  }
  const file = await open(source.path, 'r').catch((cause: NodeJS.ErrnoException) => {
    const found = cause.code === 'ENOENT' ? 'no such file' : (cause.code ?? cause.message);
    throw new PhotoError('not-found', `Cannot open: wanted a file that can be read, found ${found}`, { cause });
  });
  try {
    const stat = await file.stat();
    if (!stat.isFile()) throw new PhotoError('not-found', 'Cannot open: wanted a file, found a folder or a device');
    const head = new Uint8Array(64);
    const { bytesRead } = await file.read(head, 0, 64, 0);
    const format = checkHead(head.subarray(0, bytesRead), stat.size, limits);
    return { input: source.path, format };
  } finally {
    await file.close();
  }
}

/** All bytes of an opened photo. */
export async function photoBytes(photo: PhotoFile): Promise<Uint8Array> {
  return typeof photo.input === 'string' ? readFile(photo.input) : photo.input;
}

function checkHead(head: Uint8Array, size: number, limits: ImagingSettings['intake']): PhotoFormat {
  if (size === 0) throw new PhotoError('empty', 'Cannot read: wanted a picture, found a file of 0 bytes');
  if (size > limits.fileBytesTo) {
    const megabytes = (bytes: number) => Math.round(bytes / 1e6);
    throw new PhotoError(
      'too-large',
      `Cannot read: wanted at most ${megabytes(limits.fileBytesTo)} MB, found ${megabytes(size)} MB`,
    );
  }
  const format = sniffFormat(head);
  if (format === null) {
    throw new PhotoError(
      'not-a-picture',
      'Cannot read: wanted a JPEG, PNG, WebP, AVIF, TIFF or HEIC, found a file that starts like none of them',
    );
  }
  return format;
}
