import { queryOptions, useQuery } from '@tanstack/react-query';
import { useMemo } from 'react';
import type { Assessment, Rubric, ScoreOut } from '../../../shared/index.ts';
import { words } from '../words.ts';
import { NoAnswer, readScore, sayTrouble } from './client.ts';
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
  const { query, assessment, version, rubricVersion, isAsServed } = useAssessment(id);
  const rubricQuery = useRubric(query.data ? rubricVersion : undefined);
  const rubric = rubricQuery.data ?? null;
  const served = servedScore(id, minutes);
  // Asked for together with the assessment: the server has most verdicts ready, of this version or of one before.
  const lastKnown = useQuery({ ...served, enabled: isFirst(id), notifyOnChangeProps: ['data'] });
  const scoreQuery = useQuery({
    // The object itself is the key: a new answer makes a new object, an unchanged one is not judged again.
    queryKey: ['score', id, assessment && stampOf(assessment), rubric?.version, minutes],
    queryFn: () => {
      // A browser that cannot run the worker shows what the server has worked out.
      const here = () =>
        scoreHere(assessment!, rubric!, minutes ?? undefined).catch(
          async () => (await readScore(id, questionOf(minutes))).score,
        );
      if (!isAsServed || !isFirst(id)) return here();
      return firstOf(queries.fetchQuery(served), () => readScore(id, questionOf(minutes)), version, here);
    },
    enabled: assessment !== null && rubric !== null,
    // The key says all that goes into it: reading everything once more must not judge everything once more.
    staleTime: 'static',
    gcTime: 60_000,
    placeholderData: (before: ScoreOut | undefined) => (before?.assessment.id === id ? before : undefined),
  });
  const answered = useMemo(() => countAnswered(assessment, rubric), [assessment, rubric]);
  const error = query.error ?? rubricQuery.error ?? scoreQuery.error;
  const hasAll = assessment !== null && rubric !== null && scoreQuery.data !== undefined;
  // Without the rubric half of the page would be missing, and be drawn twice.
  const known = rubric ? lastKnown.data : undefined;
  const isNewest = isAsServed && known?.version === version;
  return {
    assessment,
    rubric,
    version,
    score: scoreQuery.data ?? known?.score ?? null,
    isUpdating: scoreQuery.data ? scoreQuery.isPlaceholderData || scoreQuery.isFetching : !isNewest,
    answered,
    trouble: error && !hasAll ? troubleOf(error) : null,
    retry: () => {
      void queries.refetchQueries({ type: 'active' });
      if (scoreQuery.isError) void scoreQuery.refetch();
    },
  };
}

function questionOf(minutes: number | null): { seed: number; minutes?: number } {
  return { seed: SEED, ...(minutes === null ? {} : { minutes }) };
}

type Served = Awaited<ReturnType<typeof readScore>>;

export function servedScore(id: string, minutes: number | null) {
  return queryOptions<Served>({
    queryKey: ['served', id, minutes],
    queryFn: () => readScore(id, { ...questionOf(minutes), ready: 'true' }),
    staleTime: 'static',
    // Long enough for the page that was asked for to come.
    gcTime: 10_000,
    retry: false,
  });
}

/** Has this page no verdicts of the assessment yet? From then on it judges by itself, also without a network. */
function isFirst(id: string): boolean {
  return queries.getQueriesData({ queryKey: ['score', id] }).every(([, score]) => score === undefined);
}

/** Time after which the page judges too, while the server has not answered, ms. */
const PATIENCE_MS = 400;

/**
 * Verdicts of this very version: what the server has ready, else what it is working out or, when it is slow or gone, what is
 * worked out here, whichever come first.
 */
async function firstOf(
  ready: Promise<Served>,
  workedOut: () => Promise<Served>,
  version: number,
  here: () => Promise<ScoreOut>,
): Promise<ScoreOut> {
  let isTold = false;
  const there = ready
    .then((served) => (served.version === version ? served : workedOut()))
    .then(({ score, version: judged }) => {
      if (judged !== version) throw new RangeError(`Cannot show verdicts of version ${judged}: wanted ${version}`);
      isTold = true;
      return score;
    });
  const patience = new Promise<void>((done) => setTimeout(done, PATIENCE_MS));
  return Promise.any([
    there,
    Promise.race([patience, there.catch(() => undefined)]).then(() => (isTold ? there : here())),
  ]);
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
