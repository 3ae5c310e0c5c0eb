import type { Action, ComponentOut, Firmness, OptionOut, ScoreOut } from '../../../shared/index.ts';
import { setAside } from '../format.ts';
import type { Spread } from '../parts/range.tsx';

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
