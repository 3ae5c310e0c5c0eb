import {
  ACTIONS,
  type Action,
  type Because,
  type Firmness,
  type KnockOutOut,
  type Odds,
  type Verdict,
  WANTED_FINISHES,
} from '../../shared/index.ts';
import type { Barred } from './barring-states.ts';
import type { Prepared } from './component-case.ts';
import { cheapest, costingOf, costsAt, isRefused, oddsOf, possibleActions, type Sliders } from './decide.ts';
import { type Decision, decide } from './decision.ts';
import { flipsOf } from './flips.ts';
import { type Item, isSupplyPrice, WAYS_OUT } from './options.ts';
import { because, methodBecause, readFrom } from './reasons.ts';
import type { Tables } from './tables.ts';
import { meanOf } from './three-points.ts';

/** Knock-outs of a component, with their state, for the output. */
export function knockOutsOf(prepared: Prepared, tables: Tables): KnockOutOut[] {
  return prepared.outlook(0).states.flatMap(({ barring, state }) => {
    const { knockOut } = barring;
    if (!knockOut) return [];
    return [
      {
        rule: barring.rule,
        state,
        bars: knockOut.bars,
        text: knockOut.because,
        ...readFrom(tables.rubric, knockOut.from),
      },
    ];
  });
}

/** A verdict with the figures that ranking, pairs and totals need. */
export interface Judged {
  verdict: Verdict;
  costs: number[];
  chosen: number;
  odds: Verdict['odds'];
}

/** Reaches the verdict for one component or one group of alike members of a set. */
export function judge(
  prepared: Prepared,
  sliders: Sliders,
  currency: string,
  rateName: string,
  tables: Tables,
): Judged {
  const { c, component, outlook } = prepared;
  const { kind } = c.compiled;
  const { states, courses } = outlook(sliders.finish);
  const decision = decide(prepared, sliders);
  const { costs, chosen, action, holdPoint, isHeld } = decision;
  const { odds, firmness, ifClear, hedge } = firmnessOf(prepared, decision, sliders, tables);
  const alone = cheapest(c, costsAt(courses, costingOf(c, sliders, false), sliders.finish));
  const verdict: Verdict = {
    action,
    ifClear,
    firmness,
    odds: roundOdds(odds),
    hedge,
    holdPoint,
    because: reasonsOf(prepared, states, costs, chosen, action, sliders, currency, tables, ifClear !== null, isHeld),
    flips: flipsOf(prepared, sliders, currency, rateName),
    aloneAction: firmness === 'open' || alone < 0 ? action : c.options[alone]!.action,
    spare: false,
    override: component.override
      ? {
          ...component.override,
          overKnockOut:
            kind.safetyCritical &&
            states.some(
              ({ barring, state }) =>
                state === 'fired' && barring.knockOut !== null && component.override!.action === 'reuse',
            ),
        }
      : null,
  };
  return { verdict, costs, chosen, odds };
}

/** How firmly a decision stands. */
export interface Firmly {
  /** Shares of the draws in which each action would be cheapest if all were known; they sum to 1. */
  odds: Odds;
  firmness: Firmness;
  ifClear: Action | null;
  hedge: boolean;
}

/** Works out how firmly a decision stands: settled, leaning or open, with the odds of each action. */
export function firmnessOf(prepared: Prepared, decision: Decision, sliders: Sliders, tables: Tables): Firmly {
  const { c, drawn, outlook } = prepared;
  const { action, isHeld, holdPoint } = decision;
  const { open } = outlook(sliders.finish);
  const odds = oddsOf(c, drawn, sliders);
  const p = odds[action];
  const error = Math.sqrt((p * (1 - p)) / drawn.draws);
  const firmness: Firmness = isHeld
    ? 'open'
    : holdPoint === null && isSettled(prepared, action, sliders)
      ? 'settled'
      : p - 2 * error > tables.rubric.settings.leaning.value
        ? 'leaning'
        : 'open';
  let { ifClear } = decision;
  if (firmness === 'open' && ifClear === null && action !== 'replace' && open[action].bits.length > 0) {
    const clear = cheapest(c, costsAt(open[action].whenClear(), costingOf(c, sliders), sliders.finish));
    if (clear >= 0 && c.options[clear]!.action !== action) ifClear = c.options[clear]!.action;
  }
  const best = ACTIONS.reduce((a, b) => (odds[b] > odds[a] ? b : a));
  return { odds, firmness, ifClear, hedge: best !== action && !isHeld };
}

/** Every completion of the missing answers gives this action, at either end of every single price. */
export function isSettled(prepared: Prepared, action: Action, sliders: Sliders): boolean {
  const { c } = prepared;
  if (action === 'reuse' && !loadPathSeen(prepared)) return false;
  if (!onlyAction(prepared, action, sliders)) return false;
  const prices = new Map<string, Item>();
  for (const option of c.options) {
    if (isRefused(option, sliders.finish)) continue;
    const priced = c.isShared(option) ? option.shared : option.alone;
    for (const bill of [...priced.holds.map((hold) => hold.bill), priced.rest]) {
      for (const item of bill.items) if (item.isPrice) prices.set(item.id, item);
    }
  }
  for (const [id, item] of prices) {
    const { points } = item;
    const mean = meanOf(points);
    const factor = isSupplyPrice(item) ? (sliders.supplyFactor ?? 1) : 1;
    for (const end of [points[0], points[2]]) {
      if (!onlyAction(prepared, action, { ...sliders, shift: { item: id, money: factor * (end - mean) } }))
        return false;
    }
  }
  return true;
}

function onlyAction({ c }: Prepared, action: Action, sliders: Sliders): boolean {
  const actions = possibleActions(c, sliders);
  return actions.size === 1 && actions.has(action);
}

/** An answer given on a fitted part that a later stage may overturn never settles reuse where the load goes. */
function loadPathSeen({ c, facts }: Prepared): boolean {
  const { kind } = c.compiled;
  const loadPath = new Set(kind.zones.filter((zone) => zone.loadPath).map((zone) => zone.id));
  return kind.checks.every((check, v) => {
    const { stage, state } = facts.facts[v]!;
    return !loadPath.has(check.zone) || state !== 'evidence' || stage !== 'fitted';
  });
}

function reasonsOf(
  prepared: Prepared,
  states: readonly Barred[],
  costs: readonly number[],
  chosen: number,
  action: Action,
  sliders: Sliders,
  currency: string,
  tables: Tables,
  waitsForLook: boolean,
  isHeld: boolean,
): Because[] {
  const { rubric } = tables;
  const { c } = prepared;
  const reasons: Because[] = [];
  const fired = states
    .filter(({ state }) => state === 'fired')
    .sort((a, b) => Number(b.barring.barsRefinish) - Number(a.barring.barsRefinish));
  for (const { barring } of fired) {
    if (barring.knockOut) reasons.push(because(rubric, barring.rule, barring.knockOut.because, barring.knockOut.from));
    else if (barring.limited) {
      const limit =
        typeof barring.limited.limit === 'number'
          ? barring.limited.limit
          : barring.limited.limit![WANTED_FINISHES[sliders.finish]!];
      reasons.push(
        because(
          rubric,
          barring.rule,
          `"${barring.limited.ask}" is answered worse than grade ${limit}, the most for ${WANTED_FINISHES[sliders.finish]}`,
          barring.limited.from,
        ),
      );
    }
  }
  for (const { barring, state } of states) {
    if (state === 'open' && barring.knockOut) {
      reasons.push(because(rubric, barring.rule, `Not known yet: ${barring.knockOut.because}`, barring.knockOut.from));
    }
  }
  if (chosen >= 0) reasons.push(costReason(prepared, costs, chosen, action, currency, isHeld));
  if (chosen < 0 || c.options[chosen]!.supply === 'no-supply-known') reasons.push(WAYS_OUT);
  // What has fired decides; a price comes before what is only not known yet.
  const priceFirst = waitsForLook ? 3 : 1;
  const weight = (reason: Because) =>
    fired.some(({ barring }) => barring.rule === reason.rule) ? 0 : reason.rule.startsWith('method.') ? priceFirst : 2;
  return reasons
    .map((reason, i) => ({ reason, i }))
    .sort((a, b) => weight(a.reason) - weight(b.reason) || a.i - b.i)
    .map(({ reason }) => reason);
}

function costReason(
  { c }: Prepared,
  costs: readonly number[],
  chosen: number,
  action: Action,
  currency: string,
  isHeld: boolean,
): Because {
  const option = c.options[chosen]!;
  const say = (i: number) => `${c.options[i]!.name.toLowerCase()} ${Math.round(costs[i]!)}`;
  let other = -1;
  costs.forEach((cost, i) => {
    if (c.options[i]!.action !== action && Number.isFinite(cost) && (other < 0 || cost < costs[other]!)) other = i;
  });
  const own = Number.isFinite(costs[chosen]!) ? ` about ${Math.round(costs[chosen]!)} ${currency}` : '';
  const text =
    other < 0
      ? `${option.name}:${own || ' the only way left'}`
      : isHeld
        ? `${option.name}:${own} if that holds; ${say(other)} if it turns out clear, own time counted`
        : `${option.name}:${own}, against ${say(other)}, own time counted`;
  return methodBecause('least-expected-cost', text);
}

/** Odds to three places that still sum to 1: what rounding leaves over goes where most was cut off. */
export function roundOdds(odds: Odds): Odds {
  const parts = ACTIONS.map((action) => {
    const exact = odds[action] * 1000;
    // A whole number that a last digit hides is one.
    const whole = Math.floor(exact + 1e-9);
    return { action, whole, cut: exact - whole };
  });
  let left = 1000 - parts.reduce((sum, { whole }) => sum + whole, 0);
  const out: Odds = { reuse: 0, refinish: 0, replace: 0 };
  // The sort is stable: of equal remainders the action that keeps more of the part is first.
  for (const { action, whole } of parts.sort((a, b) => b.cut - a.cut)) {
    out[action] = (whole + (left > 0 ? 1 : 0)) / 1000;
    left--;
  }
  return out;
}

export function round3(value: number): number {
  return Math.round(value * 1000) / 1000;
}

/** Chance that a route fails or reuse turns out barred, over the draws. */
export function failChance(prepared: Prepared, option: number, finish: number): number {
  const { c, drawn } = prepared;
  const o = c.options[option]!;
  if (o.action === 'replace') return 0;
  const bits = o.action === 'reuse' ? c.compiled.reuseBits[finish]! : c.compiled.refinishBits[finish]!;
  let bad = 0;
  drawn.effects.forEach((effect, k) => {
    if (effect & bits) bad += drawn.counts[k]!;
  });
  return round3(bad / drawn.draws);
}
