import { QueryClient, queryOptions, useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { Assessment, Rubric } from '../../../shared/index.ts';
import { applyChange } from './apply-change.ts';
import { call, NoAnswer, readAssessment } from './client.ts';
import { useWaiting } from './use-outbox.ts';

export const queries = new QueryClient({
  defaultOptions: {
    queries: {
      // The event stream tells what changed; nothing goes stale by itself.
      staleTime: 60_000,
      gcTime: Number.POSITIVE_INFINITY,
      networkMode: 'always',
      retry: (count, error) => error instanceof NoAnswer && count < 2,
    },
    mutations: { networkMode: 'always' },
  },
});

export function useMe() {
  return useQuery({ queryKey: ['me'], queryFn: () => call('me') });
}

export function useList() {
  return useQuery({ queryKey: ['list'], queryFn: () => call('listAssessments') });
}

export function useDemos() {
  return useQuery({ queryKey: ['demos'], queryFn: () => call('listDemos') });
}

export function useDevices(isOwner: boolean) {
  return useQuery({ queryKey: ['devices'], queryFn: () => call('listDevices'), enabled: isOwner });
}

export function usePhotos(id: string) {
  return useQuery({ queryKey: ['photos', id], queryFn: () => call('listPhotos', { params: { id } }) });
}

/** The rubric as this server has it, or the one that judges an imported assessment. */
export function useRubric(version?: string | null) {
  return useQuery(rubricOf(version ?? null));
}

/** @param version null for the server's own */
export function rubricOf(version: string | null): RubricQuery {
  return {
    queryKey: ['rubric', version ?? 'now'],
    queryFn: async () => {
      // The one that is named is mostly the server's own, which is there already.
      const own = version === null ? null : await queries.ensureQueryData(rubricOf(null)).catch(() => null);
      if (own && own.version === version) return own;
      return (await call('rubric', { query: { version: version ?? undefined } })) as unknown as Rubric;
    },
    staleTime: Number.POSITIVE_INFINITY,
  };
}

interface RubricQuery {
  queryKey: readonly ['rubric', string];
  queryFn: () => Promise<Rubric>;
  staleTime: number;
}

export function assessmentOf(id: string) {
  return queryOptions({ queryKey: ['assessment', id], queryFn: ({ signal }) => readAssessment(id, signal) });
}

/** An assessment with everything that still waits on this device already in it. */
export function useAssessment(id: string) {
  const query = useQuery(assessmentOf(id));
  const waiting = useWaiting();
  const changes = useMemo(
    () =>
      waiting.flatMap((item) =>
        item.assessment === id && item.what.kind === 'change' && item.refused === undefined ? [item.what.change] : [],
      ),
    [waiting, id],
  );
  const assessment = useMemo<Assessment | null>(
    () => (query.data ? changes.reduce(applyChange, query.data.assessment) : null),
    [query.data, changes],
  );
  return {
    query,
    assessment,
    version: query.data?.version ?? 0,
    rubricVersion: query.data?.rubricVersion ?? null,
    /** Nothing that the server does not have is in it. */
    isAsServed: changes.length === 0,
  };
}
