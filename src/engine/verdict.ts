import {
  ACTIONS,
  type Action,
  type Because,
  type Firmness,
  type KnockOutOut,
  type Verdict,
  WANTED_FINISHES,
} from '../../shared/index.ts';
import type { Barring } from './compiled-kind.ts';
import type { Prepared } from './component-case.ts';
import { cheapest, expectedCosts, isRefused, oddsOf, possibleActions, type Sliders, type Weighted } from './decide.ts';
import { standsFired } from './draws.ts';
import { actionAt, flipsOf } from './flips.ts';
import { WAYS_OUT } from './options.ts';
import { because, methodBecause, readFrom } from './reasons.ts';
import type { Tables } from './tables.ts';
import { meanOf } from './three-points.ts';

/** State of a rule that bars something. */
export type BarringState = 'fired' | 'open' | 'clear';

/** State of each barring rule of a component under the wanted finish, knock-outs and limits. */
export function barringStates(prepared: Prepared, finish: number): { barring: Barring; state: BarringState }[] {
  const { facts, c } = prepared;
  return c.compiled.barrings
    .filter((barring) => barring.finish === -1 || barring.finish === finish)
    .map((barring) => {
      const truth = barring.condition.ask(facts.knowledge);
      const fired = truth === 1 || (barring.knockOut !== null && standsFired(barring, facts));
      return { barring, state: fired ? 'fired' : truth === 2 ? 'open' : 'clear' };
    });
}

/** Knock-outs of a component, with their state, for the output. */
export function knockOutsOf(prepared: Prepared, tables: Tables): KnockOutOut[] {
  return barringStates(prepared, 0).flatMap(({ barring, state }) => {
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
  const { c, drawn, completions, component } = prepared;
  const { kind } = c.compiled;
  const costs = expectedCosts(c, drawn, sliders);
  const odds = oddsOf(c, drawn, sliders);
  const states = barringStates(prepared, sliders.finish);
  let chosen = cheapest(c, costs);
  let action: Action = chosen < 0 ? 'replace' : c.options[chosen]!.action;
  let ifClear: Action | null = null;
  let firmness: Firmness | null = null;
  let holdPoint: string | null = null;

  const openBars = states.filter(({ barring, state }) => state === 'open' && barring.knockOut !== null);
  const barsAction = openBars.filter(({ barring }) =>
    action === 'reuse' ? true : action === 'refinish' && barring.barsRefinish,
  );
  if (action === 'refinish' && barsAction.length > 0) {
    holdPoint = holdFor(
      prepared,
      chosen,
      barsAction.map(({ barring }) => barring.bit),
    );
  }
  if (kind.safetyCritical && barsAction.length > 0 && (action === 'reuse' || holdPoint === null)) {
    const bits = barsAction.reduce((all, { barring }) => all | (1 << barring.bit), 0);
    ifClear =
      actionAt(
        c,
        where(drawn, completions, (effect) => (effect & bits) === 0),
        sliders,
      ) ?? action;
    // What holds if it fires: with several open, the ones that leave least.
    const hardest = barsAction.reduce((all, { barring }) => (barring.barsRefinish ? all | (1 << barring.bit) : all), 0);
    const fired = where(drawn, completions, (effect) =>
      hardest ? (effect & hardest) === hardest : (effect & bits) !== 0,
    );
    const firedCosts = expectedCosts(c, fired, sliders);
    chosen = cheapest(c, firedCosts);
    action = chosen < 0 ? 'replace' : c.options[chosen]!.action;
    firmness = 'open';
    if (ifClear === action) ifClear = null;
  }
  if (firmness === null) firmness = firmnessOf(prepared, action, odds, sliders, holdPoint !== null, tables);
  if (firmness === 'open' && ifClear === null && barsAction.length > 0) {
    const bits = barsAction.reduce((all, { barring }) => all | (1 << barring.bit), 0);
    const clear = actionAt(
      c,
      where(drawn, completions, (effect) => (effect & bits) === 0),
      sliders,
    );
    if (clear && clear !== action) ifClear = clear;
  }
  const best = ACTIONS.reduce((a, b) => (odds[b] > odds[a] ? b : a));
  const alone = cheapest(c, expectedCosts(c, drawn, sliders, false));
  const verdict: Verdict = {
    action,
    ifClear,
    firmness,
    odds: { reuse: round3(odds.reuse), refinish: round3(odds.refinish), replace: round3(odds.replace) },
    hedge: best !== action && firmness !== 'open',
    holdPoint,
    because: reasonsOf(prepared, states, costs, chosen, action, sliders, currency, tables, ifClear !== null),
    flips: flipsOf(c, drawn, sliders, currency, rateName),
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

/** Draws (or, when none qualify, completions) that have some effect. */
function where(drawn: Weighted, completions: readonly number[], test: (effect: number) => boolean): Weighted {
  const picked = drawn.effects
    .map((effect, k) => ({ effect, count: drawn.counts[k]! }))
    .filter(({ effect }) => test(effect));
  const use = picked.length > 0 ? picked : completions.filter(test).map((effect) => ({ effect, count: 1 }));
  if (use.length === 0) return drawn;
  return { effects: use.map(({ effect }) => effect), counts: use.map(({ count }) => count) };
}

/** Name of the hold point of the chosen route at which all these rules are known, or null. */
function holdFor(prepared: Prepared, chosen: number, bits: readonly number[]): string | null {
  const { c } = prepared;
  const option = c.options[chosen]!;
  const { holds } = c.isShared(option) ? option.shared : option.alone;
  return holds.find((hold) => bits.every((bit) => hold.knownBits & (1 << bit)))?.name ?? null;
}

function firmnessOf(
  prepared: Prepared,
  action: Action,
  odds: Verdict['odds'],
  sliders: Sliders,
  atHold: boolean,
  tables: Tables,
): Firmness {
  if (!atHold && isSettled(prepared, action, sliders)) return 'settled';
  const p = odds[action];
  const error = Math.sqrt((p * (1 - p)) / prepared.drawn.draws);
  return p - 2 * error > tables.rubric.settings.leaning.value ? 'leaning' : 'open';
}

/** Every completion of the missing answers gives this action, at either end of every single price. */
export function isSettled(prepared: Prepared, action: Action, sliders: Sliders): boolean {
  const { c } = prepared;
  if (action === 'reuse' && !loadPathSeen(prepared)) return false;
  if (!onlyAction(prepared, action, sliders)) return false;
  const prices = new Map<string, [number, number, number]>();
  for (const option of c.options) {
    if (isRefused(option, sliders.finish)) continue;
    const priced = c.isShared(option) ? option.shared : option.alone;
    for (const bill of [...priced.holds.map((hold) => hold.bill), priced.rest]) {
      for (const item of bill.items) if (item.isPrice) prices.set(item.id, item.points);
    }
  }
  for (const [item, points] of prices) {
    const mean = meanOf(points);
    for (const end of [points[0], points[2]]) {
      if (!onlyAction(prepared, action, { ...sliders, shift: { item, money: end - mean } })) return false;
    }
  }
  return true;
}

function onlyAction({ c, completions }: Prepared, action: Action, sliders: Sliders): boolean {
  const actions = possibleActions(c, completions, sliders);
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
  states: readonly { barring: Barring; state: BarringState }[],
  costs: readonly number[],
  chosen: number,
  action: Action,
  sliders: Sliders,
  currency: string,
  tables: Tables,
  waitsForLook: boolean,
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
  if (chosen >= 0) reasons.push(costReason(prepared, costs, chosen, action, currency));
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
      : `${option.name}:${own}, against ${say(other)}, own time counted`;
  return methodBecause('least-expected-cost', text);
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
