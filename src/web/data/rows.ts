import type { Action, ComponentOut, Firmness, OptionOut, ScoreOut } from '../../../shared/index.ts';
import type { Readded, Reweighed } from '../../engine/index.ts';
import { hundredths, setAside } from '../format.ts';
import type { Spread } from '../parts/range.tsx';
import { words } from '../words.ts';

/** One component as the bench shows it: the verdict that stands, and what it costs. */
export interface Row {
  component: ComponentOut;
  action: Action;
  firmness: Firmness;
  /** Share of draws in which the action is cheapest. */
  odds: number;
  /** Money of the chosen option; null when nothing is allowed. */
  cost: Spread | null;
  /** Likely own hours of the chosen option. */
  ownHours: number;
  ifClearCost: number | null;
  isBarred: boolean;
  why: string;
  /** Set while a what-if has moved the verdict: what it was. */
  wasAction: Action | null;
}

/** The option behind an action: the cheapest that is allowed, else the cheapest that may be. */
export function optionFor(component: ComponentOut, action: Action): OptionOut | null {
  const open = component.options.filter((option) => option.action === action && option.allowed !== 'no');
  const allowed = open.filter((option) => option.allowed === 'yes');
  return [...(allowed.length > 0 ? allowed : open)].sort((a, b) => a.expectedCost - b.expectedCost)[0] ?? null;
}

export function spreadOf(range: { low: number; usual: number; high: number }): Spread {
  return { low: range.low, likely: range.usual, aside: setAside(range) };
}

export function rowOf(component: ComponentOut): Row {
  const { verdict } = component;
  const action = verdict.override?.action ?? verdict.action;
  const option = optionFor(component, action);
  const clear = verdict.ifClear ? optionFor(component, verdict.ifClear) : null;
  return {
    component,
    action,
    firmness: verdict.override ? 'settled' : verdict.firmness,
    odds: verdict.odds[action],
    cost: option ? spreadOf(option.money) : null,
    ownHours: option?.hours.usual ?? 0,
    ifClearCost: clear ? setAside(clear.money) : null,
    isBarred: component.knockOuts.some((knockOut) => knockOut.state === 'fired'),
    why: whyOf(component),
    wasAction: null,
  };
}

export function rowsOf(score: ScoreOut): Row[] {
  return score.components.map(rowOf);
}

/**
 * What sliders make of a row: action and cost at once; odds and firmness when they have followed.
 *
 * @param shown the row as it is drawn now; it is given back when nothing in it changes, so that it is not drawn again
 */
export function rowUnder(before: Row, now: Readded, odds: Reweighed | undefined, shown: Row = before): Row {
  const { component } = before;
  const { override } = component.verdict;
  // What a person has decided stands under every slider.
  const action = override?.action ?? now.action;
  const option = override ? optionFor(component, action) : component.options.find(({ id }) => id === now.option);
  const cost = override ? before.cost : now.option === null ? null : spreadOf(now.money);
  const firmness = override ? before.firmness : (odds?.firmness ?? before.firmness);
  const share = odds ? odds.odds[action] : before.odds;
  const ownHours = override ? before.ownHours : now.hours.usual;
  const wasAction = action === before.action ? null : before.action;
  const why = wasAction === null || !option ? before.why : words.bench.nowLeast(option.name);
  const row = { ...before, action, firmness, odds: share, cost, ownHours, wasAction, why };
  return looksLike(row, shown) ? shown : looksLike(row, before) ? before : row;
}

/** Two rows of one component that are drawn alike: odds are whole hundredths, and a settled verdict shows none. */
function looksLike(a: Row, b: Row): boolean {
  return (
    a.component === b.component &&
    a.action === b.action &&
    a.firmness === b.firmness &&
    a.wasAction === b.wasAction &&
    a.why === b.why &&
    a.ownHours === b.ownHours &&
    a.cost?.aside === b.cost?.aside &&
    a.cost?.likely === b.cost?.likely &&
    a.cost?.low === b.cost?.low &&
    (a.firmness === 'settled' || hundredths(a.odds) === hundredths(b.odds))
  );
}

/** The reason in one sentence: a fired knock-out, else the first step of the chain. */
export function whyOf(component: ComponentOut): string {
  const fired = component.knockOuts.find((knockOut) => knockOut.state === 'fired');
  return fired?.text ?? component.verdict.because[0]?.text ?? '';
}

/** Right end of the root scale: every tick of it is a round figure. */
export function benchScale(rows: readonly Row[]): number {
  const top = Math.max(1, ...rows.map((row) => row.cost?.aside ?? 0));
  let step = 1;
  for (;;) {
    for (const end of [4, 8, 20]) if (end * step >= top) return end * step;
    step *= 10;
  }
}
