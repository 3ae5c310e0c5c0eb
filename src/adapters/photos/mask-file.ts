import { mkdir, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import sharp from 'sharp';
import type { Mask, Sized } from '../../imaging/index.ts';

/** A mask as a grey PNG of 0 and 255, enlarged or shrunk to a size. */
export async function maskPng(mask: Mask, size: Sized): Promise<Buffer> {
  const grey = Buffer.from(mask.data.map((value) => value * 255));
  return sharp(grey, { raw: { width: mask.width, height: mask.height, channels: 1 } })
    .resize(size.width, size.height, { fit: 'fill', kernel: 'linear' })
    .threshold(128)
    .toColourspace('b-w')
    .png({ compressionLevel: 6 })
    .toBuffer();
}

/**
 * Write a mask as a PNG, upright and as large as the photo.
 *
 * @param file Where to; its folder is made
 */
export async function writeMask(mask: Mask, original: Sized, file: string): Promise<void> {
  await mkdir(dirname(file), { recursive: true });
  await writeFile(file, await maskPng(mask, original));
}
