import type { QueryClient } from '@tanstack/react-query';
import type { Change } from '../../../shared/change.ts';
import { applyChange } from './apply-change.ts';
import { call, type ReadAssessment, Refused, sayTrouble } from './client.ts';
import type { SendResult, Waiting } from './outbox.ts';

const MOST_AT_ONCE = 200;

/** Sends what waits: changes of one assessment together and in order, photos one by one after them. */
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
      for (const item of items) {
        if (item.what.kind === 'photo') await sendPhoto(queries, item, item.what, done, refused);
      }
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
    await call('addPhoto', {
      params: { id: item.assessment },
      query: { photo: item.id, name, component, check, stage },
      raw: file,
    });
    done.push(item.id);
  } catch (error) {
    if (!isFinal(error)) throw error;
    refused.push({ id: item.id, why: sayTrouble(error) });
  }
  void queries.invalidateQueries({ queryKey: ['photos', item.assessment] });
}

/** The server has said no for good: trying again brings the same answer. */
function isFinal(error: unknown): boolean {
  if (!(error instanceof Refused)) return false;
  const { status } = error.problem;
  return status >= 400 && status < 500 && status !== 401 && status !== 408 && status !== 429;
}
