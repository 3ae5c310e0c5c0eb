import { useMemo, useState } from 'react';
import type { Assessment, Rubric, ScoreOut, WantedFinish } from '../../../shared/index.ts';
import type { Row } from './rows.ts';
import { wantedIndex } from './wanted-index.ts';

/** What a person can slide on the bench. */
export interface Sliders {
  own: number;
  shop: number;
  finish: WantedFinish;
  /** Component whose replacement price moves, and to what. */
  price: { component: string; value: number } | null;
}

export interface WhatIf {
  sliders: Sliders;
  /** What the assessment itself says. */
  start: Sliders;
  set: (change: Partial<Sliders>) => void;
  putBack: () => void;
  rows: readonly Row[];
  totals: ScoreOut['totals'];
  movedCount: number;
  /** Odds of the new setting are still being worked out. */
  isUpdating: boolean;
  /** The page has what it needs to answer a slider. */
  isReady: boolean;
  /** Index that the wanted finish asks. */
  want: number | null;
}

export function useWhatIf(
  assessment: Assessment,
  rubric: Rubric | null,
  rows: readonly Row[],
  score: ScoreOut,
): WhatIf {
  const start = useMemo(() => startOf(assessment, rubric), [assessment, rubric]);
  const [moved, setMoved] = useState<Partial<Sliders>>({});
  const sliders = { ...start, ...moved };
  return {
    sliders,
    start,
    set: (change) => setMoved((before) => ({ ...before, ...change })),
    putBack: () => setMoved({}),
    rows,
    totals: score.totals,
    movedCount: 0,
    isUpdating: false,
    isReady: false,
    want: rubric ? wantedIndex(rubric, sliders.finish) : null,
  };
}

function startOf(assessment: Assessment, rubric: Rubric | null): Sliders {
  return {
    own: assessment.rates.own ?? rubric?.prices.ownRate.value ?? 0,
    shop: assessment.rates.shop?.[1] ?? rubric?.prices.shopRate.value[1] ?? 0,
    finish: assessment.wantedFinish,
    price: null,
  };
}
