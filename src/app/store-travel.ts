import { strToU8, unzipSync, Zip, ZipDeflate, ZipPassThrough } from 'fflate';
import { z } from 'zod';
import { InputError } from '../../shared/index.ts';
import type { Kept, PhotoFiles, PhotoRow } from './store-port.ts';

/** Bounds of a .zip that comes in. An honest one holds photos, which hardly shrink, and text, which shrinks tenfold. */
const MOST_ENTRIES = 5_000;
const MOST_BYTES = 600 * 1024 * 1024;
const MOST_TEXT_BYTES = 60 * 1024 * 1024;
const MOST_RATIO = 200;
// Small texts may shrink more without being a trap.
const SMALL_BYTES = 1024 * 1024;

// So that the same content is the same bytes: 1980 is where zip's calendar begins.
const MTIME = new Date(1980, 0, 1, 12);

/** Kept details of the photos, so that the unassigned travel too. */
const PhotoList = z.array(
  z.object({
    id: z.string().min(1).max(80),
    file: z.string().regex(/^[0-9a-f]{64}\.[a-z0-9]{1,5}$/),
    name: z.string().max(300),
    takenAt: z.string().max(40).nullable(),
    addedAt: z.string().max(40),
    by: z.string().max(80),
    outline: z
      .array(z.tuple([z.number(), z.number()]))
      .max(2000)
      .nullable(),
    hints: z.array(z.unknown()).max(500).nullable(),
    scale: z.object({ lengthPx: z.number(), lengthMm: z.number() }).nullable(),
    measurement: z.record(z.string(), z.unknown()).nullable(),
    removedAt: z.string().max(40).nullable(),
  }),
);
export type TravellingPhoto = z.infer<typeof PhotoList>[number] & { data: Uint8Array };

/** An assessment as it travels. */
export interface Travelling {
  /** Text of `assessment.json`. */
  assessment: string;
  /** Text of `rubric.json`, or null. */
  rubric: string | null;
  photos: TravellingPhoto[];
  /** Names of entries that were not used. */
  ignored: string[];
}

/**
 * One assessment as a stream of a .zip: `assessment.json`, the rubric that judged it, `photos.json`, and the photo files as
 * stored. The same content is the same bytes.
 */
export function exportZip(
  kept: Kept,
  rubric: string,
  photos: readonly PhotoRow[],
  files: PhotoFiles,
): ReadableStream<Uint8Array> {
  return new ReadableStream<Uint8Array>({
    async start(controller) {
      const zip = new Zip((error, chunk, isLast) => {
        if (error) controller.error(error);
        else {
          if (chunk.length > 0) controller.enqueue(chunk);
          if (isLast) controller.close();
        }
      });
      const text = (name: string, content: string) => {
        const entry = new ZipDeflate(name, { level: 6 });
        entry.mtime = MTIME;
        zip.add(entry);
        entry.push(strToU8(content), true);
      };
      text('assessment.json', `${JSON.stringify(kept.assessment, null, 2)}\n`);
      text('rubric.json', rubric);
      const list = photos.map(({ bytes: _bytes, width: _width, height: _height, mask: _mask, ...rest }) => rest);
      text('photos.json', `${JSON.stringify(list, null, 2)}\n`);
      for (const file of new Set(photos.map((photo) => photo.file))) {
        const bytes = await files.get(file);
        if (!bytes) continue;
        const entry = new ZipPassThrough(`photos/${file}`);
        entry.mtime = MTIME;
        zip.add(entry);
        entry.push(bytes, true);
      }
      zip.end();
    },
  });
}

/**
 * Reads a .zip without ever writing a name of it to the disk.
 *
 * @throws {InputError} names that climb out, too many entries, too large when unpacked, more than 200 times its size, damaged
 */
export function readZip(bytes: Uint8Array): Travelling {
  const fault = (path: string, wanted: string, found: string) => new InputError([{ file: '', path, wanted, found }]);
  let count = 0;
  let total = 0;
  let entries: Record<string, Uint8Array>;
  try {
    entries = unzipSync(bytes, {
      filter: ({ name, size, originalSize }) => {
        count++;
        total += originalSize;
        if (/(^|[\\/])\.\.([\\/]|$)|^[\\/]|^[A-Za-z]:|\\|\0/.test(name)) {
          throw fault(name.slice(0, 100), 'a name inside the archive', 'a name that climbs out of it');
        }
        if (count > MOST_ENTRIES) throw fault('', `at most ${MOST_ENTRIES} files`, 'more');
        const most = name.endsWith('.json') ? MOST_TEXT_BYTES : MOST_BYTES;
        if (total > MOST_BYTES || originalSize > most)
          throw fault(name.slice(0, 100), `at most ${most >> 20} MB unpacked`, 'more');
        if (originalSize > SMALL_BYTES && originalSize > size * MOST_RATIO) {
          throw fault(
            name.slice(0, 100),
            `at most ${MOST_RATIO} times its packed size`,
            `${Math.round(originalSize / Math.max(1, size))} times`,
          );
        }
        return isWanted(name);
      },
    });
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw fault('', 'a whole .zip', 'one that is damaged or cut short');
  }
  const text = (name: string) => (entries[name] ? new TextDecoder().decode(entries[name]) : null);
  const assessment = text('assessment.json');
  if (assessment === null) throw fault('assessment.json', 'a file of that name in the archive', 'none');
  let listed: unknown;
  try {
    listed = JSON.parse(text('photos.json') ?? '[]');
  } catch {
    throw fault('photos.json', 'JSON', 'something else');
  }
  const list = PhotoList.safeParse(listed);
  if (!list.success) {
    throw fault(
      `photos.json ${list.error.issues[0]?.path.join('.') ?? ''}`,
      'the list of photos',
      list.error.issues[0]?.message ?? '',
    );
  }
  const photos = list.data.map((photo) => {
    const data = entries[`photos/${photo.file}`];
    if (!data) throw fault(`photos/${photo.file}`, 'the file of a listed photo', 'none');
    return { ...photo, data };
  });
  const used = new Set([
    'assessment.json',
    'rubric.json',
    'photos.json',
    ...photos.map((photo) => `photos/${photo.file}`),
  ]);
  return {
    assessment,
    rubric: text('rubric.json'),
    photos,
    ignored: Object.keys(entries).filter((name) => !used.has(name)),
  };
}

function isWanted(name: string): boolean {
  return /^(assessment|rubric|photos)\.json$/.test(name) || /^photos\/[^/]+$/.test(name);
}
