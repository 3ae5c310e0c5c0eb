import type { z } from 'zod';
import { applyChange, type PhotoRecord, type PutPhoto } from '../../shared/index.ts';
import type { Author, Kept, KeptEntry, Outcome } from './store-port.ts';
import { ProblemError } from './store-problem.ts';

/** Ending of a kept photo's file by its format. */
export const ENDINGS = { jpeg: 'jpg', png: 'png', webp: 'webp' } as const;

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
    undoes: null,
  };
  return { next: { assessment: applied.assessment, rubricVersion: kept.rubricVersion }, entries: [entry] };
}
