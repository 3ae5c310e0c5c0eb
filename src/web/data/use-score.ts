import { useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { Assessment, Rubric, ScoreOut } from '../../../shared/index.ts';
import { words } from '../words.ts';
import { call, NoAnswer, sayTrouble } from './client.ts';
import { queries, useAssessment, useRubric } from './queries.ts';
import { questionsOf } from './questions.ts';
import { SEED, scoreHere } from './scorer.ts';
import { stampOf } from './worker-ask.ts';

export interface Trouble {
  title: string;
  text: string;
}

/** Everything a page of one assessment shows: the assessment, its rubric, its verdicts. */
export interface Scored {
  assessment: Assessment | null;
  rubric: Rubric | null;
  version: number;
  score: ScoreOut | null;
  /** Newer answers are being worked in. */
  isUpdating: boolean;
  answered: { done: number; all: number };
  trouble: Trouble | null;
  retry: () => void;
}

/** Judges an assessment in the page, with the very engine of the server, so that it goes on with the network down. */
export function useScored(id: string, minutes: number | null = null): Scored {
  const { query, assessment, version, rubricVersion } = useAssessment(id);
  const rubricQuery = useRubric(query.data ? rubricVersion : undefined);
  const rubric = rubricQuery.data ?? null;
  const scoreQuery = useQuery({
    // The object itself is the key: a new answer makes a new object, an unchanged one is not judged again.
    queryKey: ['score', id, assessment && stampOf(assessment), rubric?.version, minutes],
    queryFn: () =>
      // A browser that cannot run the worker shows what the server has worked out.
      scoreHere(assessment!, rubric!, minutes ?? undefined).catch(() =>
        call('score', { params: { id }, query: { seed: SEED, ...(minutes === null ? {} : { minutes }) } }),
      ),
    enabled: assessment !== null && rubric !== null,
    staleTime: Number.POSITIVE_INFINITY,
    gcTime: 60_000,
    placeholderData: (before: ScoreOut | undefined) => (before?.assessment.id === id ? before : undefined),
  });
  const answered = useMemo(() => countAnswered(assessment, rubric), [assessment, rubric]);
  const error = query.error ?? rubricQuery.error ?? scoreQuery.error;
  const hasAll = assessment !== null && rubric !== null && scoreQuery.data !== undefined;
  return {
    assessment,
    rubric,
    version,
    score: scoreQuery.data ?? null,
    isUpdating: scoreQuery.isPlaceholderData || scoreQuery.isFetching,
    answered,
    trouble: error && !hasAll ? troubleOf(error) : null,
    retry: () => void queries.refetchQueries({ type: 'active' }),
  };
}

function troubleOf(error: unknown): Trouble {
  if (error instanceof NoAnswer) return words.offline;
  return { title: words.broken.title, text: sayTrouble(error) };
}

function countAnswered(assessment: Assessment | null, rubric: Rubric | null): { done: number; all: number } {
  if (!assessment || !rubric) return { done: 0, all: 0 };
  const questions = questionsOf(assessment, rubric);
  return { done: questions.filter((question) => question.answer !== null).length, all: questions.length };
}
