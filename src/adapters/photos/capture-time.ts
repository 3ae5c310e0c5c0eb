import exifr from 'exifr';

/** When a photo was taken, as the camera wrote it. */
export interface CaptureTime {
  /** `2026:11:25 10:30:00`, the camera's own time. */
  readonly text: string;
  /** `+01:00`, when the camera wrote one. */
  readonly offset: string | null;
  /** Milliseconds since 1970, the camera's own time taken for UTC. */
  readonly ms: number;
}

/**
 * Read the capture time from an EXIF block; a corrupt block has none.
 *
 * @param exif The block, with or without its `Exif` prefix; or a whole TIFF, as bytes or as a path
 */
export async function readCaptureTime(exif: Uint8Array | string | undefined): Promise<CaptureTime | null> {
  if (exif === undefined || (typeof exif !== 'string' && exif.length < 14)) return null;
  const tiff = typeof exif === 'string' ? exif : withoutPrefix(exif);
  const tags: unknown = await exifr
    .parse(tiff, { pick: ['DateTimeOriginal', 'CreateDate', 'OffsetTimeOriginal'], reviveValues: false })
    // A block that cannot be read is a photo without a time, not a fault of the photo.
    .catch(() => null);
  if (tags === null || typeof tags !== 'object') return null;
  const { DateTimeOriginal, CreateDate, OffsetTimeOriginal } = tags as Record<string, unknown>;
  const text = [DateTimeOriginal, CreateDate].find((value) => typeof value === 'string');
  const match = typeof text === 'string' ? /^(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)/.exec(text) : null;
  if (match === null) return null;
  const [year, month, day, hour, minute, second] = match.slice(1).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const ms = Date.UTC(year, month - 1, day, hour, minute, second);
  if (year < 1970 || Number.isNaN(ms)) return null;
  const offset =
    typeof OffsetTimeOriginal === 'string' && /^[+-]\d\d:\d\d/.test(OffsetTimeOriginal)
      ? OffsetTimeOriginal.slice(0, 6)
      : null;
  return { text: match[0], offset, ms };
}

function withoutPrefix(exif: Uint8Array): Buffer {
  const bytes = Buffer.from(exif.buffer, exif.byteOffset, exif.byteLength);
  return bytes.toString('latin1', 0, 4) === 'Exif' ? bytes.subarray(6) : bytes;
}
