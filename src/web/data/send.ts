import type { QueryClient } from '@tanstack/react-query';
import type { StoredPhoto } from '../../../shared/api.ts';
import type { Change } from '../../../shared/change.ts';
import { applyChange } from './apply-change.ts';
import { call, type ReadAssessment, Refused, sayTrouble } from './client.ts';
import type { SendResult, Waiting } from './outbox.ts';

const MOST_AT_ONCE = 200;
/** As many as the server works on at once, so that it never waits and the page sees each few arrive. */
const PHOTOS_AT_ONCE = 4;

/** Sends what waits: changes of one assessment together and in order, a few photos after them. */
export function sender(queries: QueryClient): (batch: readonly Waiting[]) => Promise<SendResult> {
  return async (batch) => {
    const done: string[] = [];
    const refused: { id: string; why: string }[] = [];
    for (const assessment of new Set(batch.map((item) => item.assessment))) {
      const items = batch.filter((item) => item.assessment === assessment);
      const changes = items
        .flatMap((item) => (item.what.kind === 'change' ? [item.what.change] : []))
        .slice(0, MOST_AT_ONCE);
      if (changes.length > 0) await sendChanges(queries, assessment, changes, done, refused);
      const photos = items.filter((item) => item.what.kind === 'photo').slice(0, PHOTOS_AT_ONCE);
      await Promise.all(
        photos.map(async (item) => {
          if (item.what.kind === 'photo') await sendPhoto(queries, item, item.what, done, refused);
        }),
      );
    }
    return { done, refused };
  };
}

async function sendChanges(
  queries: QueryClient,
  assessment: string,
  changes: readonly Change[],
  done: string[],
  refused: { id: string; why: string }[],
): Promise<void> {
  try {
    const answer = await call('changeAssessment', { params: { id: assessment }, json: { changes } });
    const kept = new Set<string>();
    for (const { id, outcome, problem } of answer.results) {
      if (outcome === 'refused') refused.push({ id, why: problem?.detail ?? problem?.title ?? outcome });
      else kept.add(id);
    }
    // What is known to be kept is shown at once; the fresh copy follows.
    queries.setQueryData<ReadAssessment>(['assessment', assessment], (old) =>
      old
        ? {
            ...old,
            assessment: changes.filter((change) => kept.has(change.id)).reduce(applyChange, old.assessment),
            version: Math.max(old.version, answer.version),
          }
        : old,
    );
    done.push(...kept);
    void queries.invalidateQueries({ queryKey: ['assessment', assessment] });
    void queries.invalidateQueries({ queryKey: ['photos', assessment] });
    void queries.invalidateQueries({ queryKey: ['list'] });
  } catch (error) {
    if (!isFinal(error)) throw error;
    for (const change of changes) refused.push({ id: change.id, why: sayTrouble(error) });
  }
}

async function sendPhoto(
  queries: QueryClient,
  item: Waiting,
  photo: Extract<Waiting['what'], { kind: 'photo' }>,
  done: string[],
  refused: { id: string; why: string }[],
): Promise<void> {
  const { file, name, component, check, stage } = photo;
  try {
    const kept = await call('addPhoto', {
      params: { id: item.assessment },
      query: { photo: item.id, name, component, check, stage },
      raw: file,
    });
    done.push(item.id);
    // Shown at once: fetching the whole list again for each of two hundred would cost more than sending them.
    queries.setQueryData<StoredPhoto[]>(['photos', item.assessment], (old) =>
      old ? [...old.filter((other) => other.id !== kept.id), kept] : old,
    );
    if (photo.component !== undefined) void queries.invalidateQueries({ queryKey: ['photos', item.assessment] });
  } catch (error) {
    if (!isFinal(error)) throw error;
    refused.push({ id: item.id, why: sayTrouble(error) });
  }
}

/** The server has said no for good: trying again brings the same answer. */
function isFinal(error: unknown): boolean {
  if (!(error instanceof Refused)) return false;
  const { status } = error.problem;
  return status >= 400 && status < 500 && status !== 401 && status !== 408 && status !== 429;
}
