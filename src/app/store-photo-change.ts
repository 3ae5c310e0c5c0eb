import type { z } from 'zod';
import { applyChange, type PhotoRecord, type PutPhoto } from '../../shared/index.ts';
import type { PhotoMeasurement, PhotoRequest } from '../../shared/photo.ts';
import type { Author, Kept, KeptEntry, Outcome, PhotoRow } from './store-port.ts';
import { ProblemError } from './store-problem.ts';

/** Ending of a kept photo's file by its format. */
export const ENDINGS = { jpeg: 'jpg', png: 'png', webp: 'webp' } as const;

/** A photo made fit to be kept. */
export interface TakenIn {
  bytes: Uint8Array;
  format: keyof typeof ENDINGS;
  height: number;
  width: number;
  takenAt: string | null;
}

/** Taking photos in and measuring them. */
export interface PhotoWork {
  /** Bytes as they came, to what is kept. Rejects with an error that carries a `code` of the photo contract. */
  takeIn: (bytes: Uint8Array) => Promise<TakenIn>;
  /** The photo at a content address, measured; the mask as PNG. */
  measure: (
    bytes: Uint8Array,
    name: string,
    request: PhotoRequest,
  ) => Promise<{ measurement: PhotoMeasurement; mask: Uint8Array | null }>;
}

/** The row of a photo that nobody has measured yet. @param file where its bytes are kept */
export function newPhotoRow(
  { id, name, file }: Pick<PhotoRow, 'id' | 'name' | 'file'>,
  { bytes, width, height, takenAt }: TakenIn,
  author: Author,
  now: Date,
): PhotoRow {
  return {
    id,
    file,
    name,
    bytes: bytes.length,
    width,
    height,
    takenAt,
    addedAt: now.toISOString(),
    by: author.name,
    outline: null,
    hints: null,
    scale: null,
    measurement: null,
    mask: null,
    removedAt: null,
  };
}

type Made = Required<Pick<Outcome<never>, 'next' | 'entries'>>;

/** Puts a photo's record, new or newly measured, on a component. @param id of the change */
export function putRecord(
  kept: Kept,
  record: PhotoRecord,
  component: string,
  id: string,
  author: Author,
  now: Date,
): Made {
  const change: z.infer<typeof PutPhoto> = { id, type: 'put-photo', component, photo: record };
  return changeOf(kept, change, author, now.toISOString());
}

/** One change that goes with a photo, as the store keeps it. @throws {ProblemError} `unfit` */
export function changeOf(kept: Kept, change: KeptEntry['change'], author: Author, at: string): Made {
  const applied = applyChange(kept.assessment, change);
  if (applied.refused) throw new ProblemError('unfit', undefined, { faults: [applied.refused] });
  const entry = {
    id: change.id,
    version: kept.version + 1,
    at,
    by: author.name,
    device: author.device,
    change,
    undo: applied.undo,
    touches: applied.touches,
    list: null,
    undoes: null,
  };
  return { next: { assessment: applied.assessment, rubricVersion: kept.rubricVersion }, entries: [entry] };
}
