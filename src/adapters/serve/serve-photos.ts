import sharp from 'sharp';
import type { PhotoMeasurement, PhotoRequest } from '../../../shared/photo.ts';
import { finishPhoto } from '../../app/finish-photo.ts';
import type { PhotoIntervals } from '../../app/photo-deps.ts';
import type { CleanPhoto, PhotoPool } from '../photos/index.ts';

const MASK_LONG_SIDE_PX = 1024;
const THUMBNAIL_QUALITY = 78;

/** What the server does with photos, over the processes that decode and measure them. */
export function servePhotos(pool: PhotoPool, intervals: PhotoIntervals, mostBytes: number) {
  return {
    mostBytes,
    takeIn: (bytes: Uint8Array): Promise<CleanPhoto> => pool.clean({ bytes }),
    async measure(
      bytes: Uint8Array,
      name: string,
      request: PhotoRequest,
    ): Promise<{ measurement: PhotoMeasurement; mask: Uint8Array | null }> {
      const raw = await pool.measure({ bytes }, { request, maskLongSidePx: MASK_LONG_SIDE_PX });
      const measurement = finishPhoto(name, raw, { intervals, group: 1, scale: request.scale });
      return { measurement, mask: raw.maskPng ?? null };
    },
    /** Only ever given what `takeIn` has decoded before. */
    async shrink(bytes: Uint8Array, width: number): Promise<Uint8Array> {
      return sharp(bytes)
        .rotate()
        .resize({ width, withoutEnlargement: true })
        .jpeg({ quality: THUMBNAIL_QUALITY })
        .toBuffer();
    },
  };
}
