import type { PhotoRecord, StoredPhoto } from '../../../shared/index.ts';
import type { PhotoMeasurement, PhotoRequest } from '../../../shared/photo.ts';
import { recordOf, refuseInBin } from '../../app/store-changes.ts';
import { changeOf, ENDINGS, newPhotoRow, putRecord } from '../../app/store-photo-change.ts';
import { photoProblem } from '../../app/store-photo-problem.ts';
import type { Inside, Kept, Outcome, PhotoRow } from '../../app/store-port.ts';
import { ProblemError } from '../../app/store-problem.ts';
import { matches } from '../answers.ts';
import type { ServerDeps } from '../deps.ts';
import { authorOf } from '../guard.ts';
import type { Handlers } from '../routes.ts';
import { readKept } from './assessments.ts';

type Names = 'listPhotos' | 'addPhoto' | 'photoFile' | 'photoMask' | 'measurePhoto' | 'removePhoto' | 'restorePhoto';

const MEDIA_TYPES: Record<string, string> = { jpg: 'image/jpeg', png: 'image/png', webp: 'image/webp' };
export function photoRoutes(deps: ServerDeps): Pick<Handlers, Names> {
  const { store, files } = deps;
  const thumbnails = new Map<string, Promise<Uint8Array>>();

  const rowOf = async (id: string, photo: string): Promise<PhotoRow> => {
    const row = (await store.photos(id)).find((other) => other.id === photo);
    if (!row) throw new ProblemError('not-found', `${id} has no photo ${photo}`);
    return row;
  };
  const fileOf = async (row: PhotoRow): Promise<Uint8Array> => {
    const bytes = await files.get(row.file);
    if (!bytes) throw new ProblemError('not-found', `The file of the photo ${row.id} is missing from the data folder`);
    return bytes;
  };
  const picture = (
    c: { req: { header(name: string): string | undefined } },
    etag: string,
    mediaType: string,
    bytes: () => Promise<Uint8Array>,
  ) => sendPicture(c.req.header('if-none-match'), etag, mediaType, bytes);
  const changed = async <T>(id: string, job: (kept: Kept, inside: Inside) => Promise<Outcome<T>>): Promise<T> => {
    const answer = await store.change(id, async (kept, inside) => {
      refuseInBin(kept);
      return job(kept, inside);
    });
    if (answer === undefined) throw new ProblemError('not-found', `There is no assessment ${id}`);
    return answer;
  };

  return {
    async listPhotos({ params, query }) {
      const kept = await readKept(store, params.id);
      const rows = await store.photos(params.id);
      return rows
        .filter((row) => (row.removedAt !== null) === (query.removed === 'true'))
        .map((row) => storedPhoto(row, kept));
    },

    async addPhoto({ c, params, query }) {
      const kept = await readKept(store, params.id);
      refuseInBin(kept);
      const there = (await store.photos(params.id)).find((row) => row.id === query.photo);
      if (there) return storedPhoto(there, kept);
      if (query.component !== undefined && !kept.assessment.components.some((other) => other.id === query.component)) {
        throw new ProblemError('unfit', undefined, {
          faults: [{ file: '', path: 'component', wanted: 'a component of this assessment', found: query.component }],
        });
      }
      // A body that ends before its stated length rejects here, and nothing is kept.
      const sent = new Uint8Array(await c.req.arrayBuffer());
      const clean = await deps.photos.takeIn(sent).catch((error: unknown) => {
        throw photoProblem(error);
      });
      const file = await files.put(clean.bytes, ENDINGS[clean.format]);
      const author = await authorOf(c.get('caller'), store);
      const name = query.name ?? `${query.photo}.${ENDINGS[clean.format]}`;
      const seen = await firstLook(deps, clean.bytes, name);
      const row = { ...newPhotoRow({ id: query.photo, name, file }, clean, author, deps.now()), ...seen };
      return changed(params.id, async (now, inside) => {
        const twin = await inside.photo(row.id);
        if (twin) return { entries: [], answer: storedPhoto(twin, now) };
        await inside.putPhoto(row);
        if (query.component === undefined) return { entries: [], answer: storedPhoto(row, now) };
        const record: PhotoRecord = {
          ...recordOf(row),
          ...(query.check === undefined ? {} : { check: query.check }),
          ...(query.stage === undefined ? {} : { stage: query.stage }),
        };
        const put = putRecord(now, record, query.component, `photo-${row.id}`, author, deps.now());
        return { ...put, answer: storedPhoto(row, { ...now, ...put.next }) };
      });
    },

    async photoFile({ c, params, query }) {
      const row = await rowOf(params.id, params.photo);
      const mediaType = MEDIA_TYPES[row.file.split('.').at(-1)!] ?? 'application/octet-stream';
      const { width } = query;
      if (width === undefined || width >= row.width) return picture(c, `"${row.file}"`, mediaType, () => fileOf(row));
      return picture(c, `"${row.file}-${width}"`, 'image/jpeg', async () => {
        const key = `${row.file} ${width}`;
        const atHand = thumbnails.get(key) ?? fileOf(row).then((bytes) => deps.photos.shrink(bytes, width));
        thumbnails.set(key, atHand);
        if (thumbnails.size > 500) thumbnails.delete(thumbnails.keys().next().value!);
        return atHand.catch((error: unknown) => {
          thumbnails.delete(key);
          throw error;
        });
      });
    },

    async photoMask({ c, params }) {
      const { mask } = await rowOf(params.id, params.photo);
      const bytes = mask === null ? undefined : await files.get(mask);
      if (mask === null || !bytes) throw new ProblemError('not-found', 'This photo has no kept measurement');
      return picture(c, `"${mask}"`, 'image/png', async () => bytes);
    },

    async measurePhoto({ c, params, body }) {
      const before = await readKept(store, params.id);
      const row = await rowOf(params.id, params.photo);
      const { keep, ...request } = body;
      if (keep !== undefined && row.measurement !== null && (await isKept(deps, params.id, keep))) {
        return {
          measurement: row.measurement as unknown as PhotoMeasurement,
          photo: storedPhoto(row, before),
          version: before.version,
        };
      }
      const { measurement, mask } = await deps.photos
        .measure(await fileOf(row), row.name, request as PhotoRequest)
        .catch((error: unknown) => {
          throw photoProblem(error);
        });
      if (keep === undefined) return { measurement, photo: storedPhoto(row, before), version: before.version };
      const maskFile = mask === null ? null : await files.put(mask, 'png');
      const author = await authorOf(c.get('caller'), store);
      return changed(params.id, async (kept, inside) => {
        const now = (await inside.photo(row.id)) ?? row;
        const next: PhotoRow = {
          ...now,
          outline: request.outline ?? null,
          hints: request.hints ?? null,
          scale: request.scale ?? null,
          measurement: { ...measurement },
          mask: maskFile,
        };
        if (!(await inside.entry(keep))) await inside.putPhoto(next);
        const owner = ownerOf(kept, row.id);
        if (!owner || (await inside.entry(keep))) {
          return { entries: [], answer: { measurement, photo: storedPhoto(next, kept), version: kept.version } };
        }
        const { check, stage } = owner.record;
        const record = {
          ...recordOf(next),
          ...(check === undefined ? {} : { check }),
          ...(stage === undefined ? {} : { stage }),
        };
        const put = putRecord(kept, record, owner.component, keep, author, deps.now());
        const photo = storedPhoto(next, { ...kept, ...put.next });
        return { ...put, answer: { measurement, photo, version: kept.version + 1 } };
      });
    },

    async removePhoto({ c, params }) {
      const row = await rowOf(params.id, params.photo);
      const author = await authorOf(c.get('caller'), store);
      const at = deps.now().toISOString();
      return changed(params.id, async (kept, inside) => {
        await inside.putPhoto({ ...row, removedAt: at });
        if (!ownerOf(kept, row.id)) return { entries: [], answer: null };
        const change = { id: `remove-${row.id}-${kept.version}`, type: 'unassign-photo', photo: row.id } as const;
        return { ...changeOf(kept, change, author, at), answer: null };
      });
    },

    async restorePhoto({ params }) {
      const row = await rowOf(params.id, params.photo);
      return changed(params.id, async (kept, inside) => {
        const next = { ...row, removedAt: null };
        await inside.putPhoto(next);
        return { entries: [], answer: storedPhoto(next, kept) };
      });
    },
  };
}

/**
 * A look at the whole frame, so that a wall of photos can be sorted before anybody has drawn on one. It bounds nothing, and
 * the photo is kept even where it fails.
 */
async function firstLook(
  { photos, files, log }: ServerDeps,
  bytes: Uint8Array,
  name: string,
): Promise<Pick<PhotoRow, 'measurement' | 'mask'>> {
  try {
    const { measurement, mask } = await photos.measure(bytes, name, {});
    return { measurement: { ...measurement }, mask: mask === null ? null : await files.put(mask, 'png') };
  } catch (error) {
    log(`Took in ${name} without measuring it`, error);
    return { measurement: null, mask: null };
  }
}

async function isKept(deps: ServerDeps, id: string, change: string): Promise<boolean> {
  return (
    (await deps.store.change(id, async (_kept, inside) => ({
      entries: [],
      answer: (await inside.entry(change)) !== undefined,
    }))) ?? false
  );
}

async function sendPicture(
  known: string | undefined,
  etag: string,
  mediaType: string,
  bytes: () => Promise<Uint8Array>,
): Promise<Response> {
  const headers = { ETag: etag, 'Cache-Control': 'private, max-age=31536000, immutable' };
  if (matches(known, etag)) return new Response(null, { status: 304, headers });
  return new Response((await bytes()) as Uint8Array<ArrayBuffer>, {
    headers: { ...headers, 'Content-Type': mediaType },
  });
}

function ownerOf(
  kept: Pick<Kept, 'assessment'>,
  photo: string,
): { component: string; record: PhotoRecord } | undefined {
  for (const component of kept.assessment.components) {
    const record = component.photos?.find((other) => other.id === photo);
    if (record) return { component: component.id, record };
  }
  return undefined;
}

function storedPhoto(row: PhotoRow, kept: Pick<Kept, 'assessment'>): StoredPhoto {
  const owner = ownerOf(kept, row.id);
  const { mask: _mask, ...rest } = row;
  return {
    ...rest,
    component: owner?.component ?? null,
    check: owner?.record.check ?? null,
    stage: owner?.record.stage ?? null,
    struck: owner?.record.struck ?? null,
    hints: row.hints as StoredPhoto['hints'],
    measurement: row.measurement as StoredPhoto['measurement'],
  };
}
