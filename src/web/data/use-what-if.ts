import { useEffect, useMemo, useRef, useState } from 'react';
import type { Assessment, Rubric, ScoreOut, Supply, ThreePoint, WantedFinish } from '../../../shared/index.ts';
import { optionFor, type Row, rowsOf } from './rows.ts';
import { scoreHere } from './scorer.ts';
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
  /** The new setting is still being worked out. */
  isUpdating: boolean;
  /** Index that the wanted finish asks. */
  want: number | null;
}

/** Judges the assessment anew as the sliders say, one setting at a time; the newest wins. Nothing is kept. */
export function useWhatIf(
  assessment: Assessment,
  rubric: Rubric | null,
  rows: readonly Row[],
  score: ScoreOut,
): WhatIf {
  const start = useMemo(() => startOf(assessment, rubric), [assessment, rubric]);
  const [moved, setMoved] = useState<Partial<Sliders>>({});
  const [result, setResult] = useState<{ of: ScoreOut; moved: Partial<Sliders>; score: ScoreOut } | null>(null);
  const sliders = useMemo(() => ({ ...start, ...moved }), [start, moved]);
  const isMoved = Object.keys(moved).length > 0;
  const busy = useRef(false);
  const wanted = useRef(moved);
  wanted.current = moved;

  useEffect(() => {
    if (!isMoved || !rubric || busy.current) return;
    let isLeft = false;
    const work = async () => {
      busy.current = true;
      try {
        // While one setting is worked out the slider may go on: then the newest is next.
        for (let now: Partial<Sliders> | null = moved; now && !isLeft; ) {
          const judged = await scoreHere(assessmentWith(assessment, rubric, score, { ...start, ...now }), rubric);
          if (!isLeft) setResult({ of: score, moved: now, score: judged });
          now = wanted.current === now || Object.keys(wanted.current).length === 0 ? null : wanted.current;
        }
      } finally {
        busy.current = false;
      }
    };
    void work().catch(() => undefined);
    return () => {
      isLeft = Object.keys(wanted.current).length === 0;
    };
  }, [moved, isMoved, rubric, assessment, score, start]);

  const shown = isMoved && result?.of === score ? result : null;
  const shownRows = useMemo(() => (shown ? withMoves(rowsOf(shown.score), rows) : rows), [shown, rows]);
  return {
    sliders,
    start,
    set: (change) => setMoved((before) => ({ ...before, ...change })),
    putBack: () => setMoved({}),
    rows: shownRows,
    totals: shown?.score.totals ?? score.totals,
    movedCount: shownRows.filter((row) => row.wasAction !== null).length,
    isUpdating: isMoved && shown?.moved !== moved,
    want: rubric ? wantedIndex(rubric, sliders.finish) : null,
  };
}

function withMoves(rows: readonly Row[], before: readonly Row[]): Row[] {
  const old = new Map(before.map((row) => [row.component.id, row.action]));
  return rows.map((row) => {
    const was = old.get(row.component.id);
    return was && was !== row.action ? { ...row, wasAction: was } : row;
  });
}

/** The assessment as it would be under the sliders. */
function assessmentWith(assessment: Assessment, rubric: Rubric, score: ScoreOut, sliders: Sliders): Assessment {
  const [low, usual, high] = assessment.rates.shop ?? rubric.prices.shopRate.value;
  const by = usual > 0 ? sliders.shop / usual : 1;
  const { price } = sliders;
  return {
    ...assessment,
    wantedFinish: sliders.finish,
    rates: {
      ...assessment.rates,
      own: sliders.own,
      ...(by === 1 ? {} : { shop: [low * by, sliders.shop, high * by] as ThreePoint }),
    },
    components: assessment.components.map((component) => {
      if (component.id !== price?.component) return component;
      const out = score.components.find((c) => c.id === component.id);
      const today = out ? optionFor(out, 'replace')?.money.usual : undefined;
      if (!today) return component;
      const supplies = component.supplies ?? ownCurrency(assessment, rubric, component.kind);
      return { ...component, supplies: supplies.map((supply) => times(supply, price.value / today)) };
    }),
  };
}

function ownCurrency(assessment: Assessment, rubric: Rubric, kind: string): Supply[] {
  const rate =
    assessment.rates.exchange ??
    rubric.prices.exchange.find((entry) => entry.currency === assessment.currency)?.perBase ??
    1;
  return (rubric.kinds.find((entry) => entry.id === kind)?.supplies ?? []).map((supply) => times(supply, rate));
}

function times(supply: Supply, by: number): Supply {
  const [low, usual, high] = supply.price;
  return { ...supply, price: [low * by, usual * by, high * by] };
}

function startOf(assessment: Assessment, rubric: Rubric | null): Sliders {
  return {
    own: assessment.rates.own ?? rubric?.prices.ownRate.value ?? 0,
    shop: assessment.rates.shop?.[1] ?? rubric?.prices.shopRate.value[1] ?? 0,
    finish: assessment.wantedFinish,
    price: null,
  };
}
