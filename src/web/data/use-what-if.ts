import { useEffect, useMemo, useRef, useState } from 'react';
import type { Assessment, Rubric, ScoreOut, ThreePoint, WantedFinish } from '../../../shared/index.ts';
import type { Setting } from '../../engine/index.ts';
import type { Judged } from './judge-worker.ts';
import { optionFor, type Row, rowUnder } from './rows.ts';
import { readdHere, reweighHere } from './scorer.ts';
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
  /** Settings that rows and odds show at the moment. */
  shown: { rows: Sliders; odds: Sliders };
  /** The new setting is still being worked out. */
  isUpdating: boolean;
  /** Index that the wanted finish asks. */
  want: number | null;
}

/** Time without a move after which the odds are worked out, ms. */
const REST_MS = 60;

/** Time that the rows are given to be drawn, ms. */
const SETTLE_MS = 400;

type Moved = Partial<Sliders>;

/** Adds the bench up anew as the sliders say, the newest setting first; the odds follow. Nothing is kept. */
export function useWhatIf(
  assessment: Assessment,
  rubric: Rubric | null,
  rows: readonly Row[],
  score: ScoreOut,
): WhatIf {
  const start = useMemo(() => startOf(assessment, rubric), [assessment, rubric]);
  const [moved, setMoved] = useState<Moved>({});
  const [added, setAdded] = useState<{ of: ScoreOut; moved: Moved; to: Judged['readd'] } | null>(null);
  const [odds, setOdds] = useState<{ of: ScoreOut; moved: Moved; to: Judged['reweigh'] } | null>(null);
  const sliders = useMemo(() => ({ ...start, ...moved }), [start, moved]);
  const isMoved = Object.keys(moved).length > 0;
  const busy = useRef(false);
  const wanted = useRef(moved);
  wanted.current = moved;

  // Made ready before the first slider moves, but not before the rows stand there.
  useEffect(() => {
    if (!rubric) return;
    const later = setTimeout(() => void readdHere(assessment, rubric, {}).catch(() => undefined), SETTLE_MS);
    return () => clearTimeout(later);
  }, [assessment, rubric]);

  useEffect(() => {
    if (!isMoved || !rubric) return;
    let isLeft = false;
    const settingOf = (now: Moved) => settingUnder({ ...start, ...now }, start, assessment, rubric, score);
    const follow = async () => {
      busy.current = true;
      try {
        // While one setting is added up the slider may go on: then the newest is next.
        for (let now: Moved | null = moved; now && !isLeft; ) {
          const to = await readdHere(assessment, rubric, settingOf(now));
          if (!isLeft) setAdded({ of: score, moved: now, to });
          now = wanted.current === now || Object.keys(wanted.current).length === 0 ? null : wanted.current;
        }
      } finally {
        busy.current = false;
      }
    };
    if (!busy.current) void follow().catch(() => undefined);
    const rest = setTimeout(() => {
      void reweighHere(assessment, rubric, settingOf(moved))
        .then((to) => setOdds({ of: score, moved, to }))
        .catch(() => undefined);
    }, REST_MS);
    return () => {
      clearTimeout(rest);
      isLeft = Object.keys(wanted.current).length === 0;
    };
  }, [moved, isMoved, rubric, assessment, score, start]);

  const shown = isMoved && added?.of === score ? added : null;
  const weighed = shown && odds?.of === score && odds.moved === shown.moved ? odds.to : null;
  const drawn = useRef<readonly Row[]>(rows);
  const shownRows = useMemo(
    () => (shown ? rowsUnder(rows, shown.to.parts, weighed, drawn.current) : rows),
    [shown, weighed, rows],
  );
  drawn.current = shownRows;
  return {
    sliders,
    start,
    set: (change) => setMoved((before) => ({ ...before, ...change })),
    putBack: () => setMoved({}),
    rows: shownRows,
    totals: shown?.to.totals ?? score.totals,
    movedCount: shownRows.filter((row) => row.wasAction !== null).length,
    shown: {
      rows: shown ? { ...start, ...shown.moved } : start,
      odds: weighed && odds ? { ...start, ...odds.moved } : start,
    },
    isUpdating: isMoved && (shown?.moved !== moved || weighed === null),
    want: rubric ? wantedIndex(rubric, sliders.finish) : null,
  };
}

function rowsUnder(
  rows: readonly Row[],
  parts: Judged['readd']['parts'],
  odds: Judged['reweigh'] | null,
  drawn: readonly Row[],
): Row[] {
  const before = new Map(rows.map((row) => [row.component.id, row]));
  const now = new Map(drawn.map((row) => [row.component.id, row]));
  const weighed = new Map(odds?.map((entry) => [entry.id, entry]));
  return parts.flatMap((part) => {
    const row = before.get(part.id);
    return row ? [rowUnder(row, part, weighed.get(part.id), now.get(part.id))] : [];
  });
}

/** Where the sliders stand, in the engine's terms; what has not moved is left out. */
function settingUnder(
  sliders: Sliders,
  start: Sliders,
  assessment: Assessment,
  rubric: Rubric,
  score: ScoreOut,
): Setting {
  const [low, usual, high] = assessment.rates.shop ?? rubric.prices.shopRate.value;
  const by = usual > 0 ? sliders.shop / usual : 1;
  const { price } = sliders;
  const priced = price && score.components.find((component) => component.id === price.component);
  const today = priced ? optionFor(priced, 'replace')?.money.usual : undefined;
  return {
    ...(sliders.own === start.own ? {} : { own: sliders.own }),
    ...(sliders.shop === start.shop ? {} : { shop: [low * by, sliders.shop, high * by] satisfies ThreePoint }),
    ...(sliders.finish === start.finish ? {} : { wantedFinish: sliders.finish }),
    ...(price && today ? { priceFactors: new Map([[price.component, Math.max(LEAST, price.value / today)]]) } : {}),
  };
}

/** A factor on a price stays above 0. */
const LEAST = 0.001;

function startOf(assessment: Assessment, rubric: Rubric | null): Sliders {
  return {
    own: assessment.rates.own ?? rubric?.prices.ownRate.value ?? 0,
    shop: assessment.rates.shop?.[1] ?? rubric?.prices.shopRate.value[1] ?? 0,
    finish: assessment.wantedFinish,
    price: null,
  };
}
