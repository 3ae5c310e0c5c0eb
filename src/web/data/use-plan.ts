import { useQuery } from '@tanstack/react-query';
import type { PlanOut } from '../../../shared/plan.ts';
import { call } from './client.ts';
import { planHere, SEED } from './scorer.ts';
import { type Scored, useScored } from './use-score.ts';
import { stampOf } from './worker-ask.ts';

export interface Planned extends Scored {
  plan: PlanOut | null;
  /** The plan cannot be had; the sentence says why. */
  planTrouble: unknown;
  isPlanning: boolean;
}

/** The whole job of an assessment, worked out anew when it changes. */
export function usePlan(id: string): Planned {
  const scored = useScored(id);
  const { assessment, rubric } = scored;
  const query = useQuery({
    queryKey: ['plan', id, assessment && stampOf(assessment), rubric?.version],
    queryFn: async () =>
      // A browser that cannot run the worker shows what the server has worked out.
      await planHere(assessment!, rubric!).catch(() => call('plan', { params: { id }, query: { seed: SEED } })),
    enabled: assessment !== null && rubric !== null,
    // The key says all that goes into it.
    staleTime: 'static',
    gcTime: 60_000,
    retry: false,
    placeholderData: (before: PlanOut | undefined) => (before?.assessment.id === id ? before : undefined),
  });
  return { ...scored, plan: query.data ?? null, planTrouble: query.error, isPlanning: query.isFetching };
}
