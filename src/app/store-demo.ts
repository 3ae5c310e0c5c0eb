import type { Assessment, PhotoRecord } from '../../shared/index.ts';
import { recordOf } from './store-changes.ts';
import { ENDINGS, newPhotoRow, type PhotoWork, putRecord } from './store-photo-change.ts';
import type { Author, PhotoFiles, PhotoRow, Store } from './store-port.ts';

/** An invented job that can be opened. */
export interface Demo {
  id: string;
  name: string;
  about: string;
  /** Read when first asked for. */
  assessment: () => Promise<Assessment>;
  /** Bytes of a photo by the name that the assessment gives it. */
  photo: (file: string) => Promise<Uint8Array>;
}

/** What bringing a demo's photos in needs from outside. */
export interface DemoPhotoDeps {
  store: Store;
  files: PhotoFiles;
  photos: PhotoWork;
  now: () => Date;
}

/** Under whose name the program itself brings photos in: not the user's, so that undo never takes them away. */
const PROGRAM: Author = { name: 'Keepworthy', device: 'demo' };

/**
 * Brings the photos that a demo's assessment names into the store, cleaned and measured as any other. Those that are there
 * already are left alone, so that it may be cut short and run again.
 *
 * @param id Of the kept assessment
 * @param isLeft Asked between photos; true ends it early
 */
export async function takeDemoPhotosIn(
  id: string,
  photo: Demo['photo'],
  deps: DemoPhotoDeps,
  isLeft: () => boolean = () => false,
): Promise<void> {
  const kept = await deps.store.read(id);
  if (!kept || kept.deletedAt !== null) return;
  const there = new Set((await deps.store.photos(id)).map((row) => row.id));
  for (const component of kept.assessment.components) {
    for (const record of component.photos ?? []) {
      if (isLeft()) return;
      if (!there.has(record.id)) await takeIn(id, component.id, record, await photo(record.file), deps);
    }
  }
}

async function takeIn(
  id: string,
  component: string,
  record: PhotoRecord,
  bytes: Uint8Array,
  { store, files, photos, now }: DemoPhotoDeps,
): Promise<void> {
  const name = record.file.split('/').at(-1)!;
  const clean = await photos.takeIn(bytes);
  const outline = record.outline ?? null;
  const { measurement, mask } = await photos.measure(clean.bytes, name, outline ? { outline } : {});
  const file = await files.put(clean.bytes, ENDINGS[clean.format]);
  const row: PhotoRow = {
    ...newPhotoRow({ id: record.id, name, file }, clean, PROGRAM, now()),
    outline,
    measurement: { ...measurement },
    mask: mask && (await files.put(mask, 'png')),
  };
  await store.change(id, async (kept, inside) => {
    const owner = kept.assessment.components.find((other) => other.id === component);
    const isNamed = owner?.photos?.some((other) => other.id === record.id) === true;
    if (!isNamed || (await inside.photo(row.id))) return { entries: [], answer: null };
    await inside.putPhoto(row);
    // What the demo says of the photo stays; its file and what was measured are what this computer has.
    const next = { ...record, ...recordOf(row), date: record.date };
    return { ...putRecord(kept, next, component, `demo-photo-${row.id}`, PROGRAM, now()), answer: null };
  });
}
