import type { Action, Firmness, Odds, Range, ScoreOut, ThreePoint, WantedFinish } from '../../shared/index.ts';
import { ACTIONS, WANTED_FINISHES } from '../../shared/index.ts';
import { hourRateOf } from './component-case.ts';
import { atStake, costOfAll, leadOf } from './component-out.ts';
import type { Sliders } from './decide.ts';
import { type Decision, decide } from './decision.ts';
import { bestOf, together } from './pairs.ts';
import type { PreparedJob, PreparedPart } from './prepare.ts';
import { totalsOf } from './score.ts';
import { cents } from './totals.ts';
import { type Firmly, firmnessOf, roundOdds } from './verdict.ts';

/** Where the sliders stand; what is left out stays as the assessment has it. */
export interface Setting {
  /** What the owner puts an hour of their own time at, assessment's currency. Counts when the owner does the work. */
  own?: number;
  /** Workshop labour an hour: low, usual, high, assessment's currency. Counts when the workshop does the work. */
  shop?: ThreePoint;
  wantedFinish?: WantedFinish;
  /** Factor on the price of every supply of a component, by component id; above 0. A guess at a part nobody lists moves too. */
  priceFactors?: ReadonlyMap<string, number>;
}

/** What a component comes to under a setting. Costs and ranges are for all its pieces, rounded as `score` writes them. */
export interface Readded {
  id: string;
  action: Action;
  /** Id of the option taken, or null when nothing is left. */
  option: string | null;
  /** What holds if the knock-outs that hold the verdict open turn out clear, where it differs; see `Reweighed` for the rest. */
  ifClear: Action | null;
  /** Replaced only because its mate is. */
  spare: boolean;
  /** Expected cost of each option, in the order of the component's `options`. */
  expectedCosts: number[];
  /** Money of the option taken; zero when nothing is left. */
  money: Range;
  /** Hours of the option taken. */
  hours: Range;
  /** Pieces by action, for a set whose members have different answers. */
  counts: { reuse: number; refinish: number; replace: number } | null;
  /** Money between the best and the second-best action. */
  atStake: number;
}

/** How firmly the verdict of a component stands under a setting. */
export interface Reweighed {
  id: string;
  firmness: Firmness;
  odds: Odds;
  hedge: boolean;
  ifClear: Action | null;
}

/**
 * Adds up a prepared assessment again for other rates, prices or another wanted finish: action, expected costs, order and
 * totals are those that `score` gives for the assessment so changed. Nothing is drawn and no rule is asked again, so it
 * can follow a slider: under 2 ms for 500 components (the first call for a wanted finish takes longer).
 *
 * @param job from `prepare`
 * @param setting rates 0 or more, factors above 0
 * @returns the components in rank order, and what the whole job comes to
 * @example readd(job, { own: 22, priceFactors: new Map([['arm-left', 1.5]]) }).parts[0]?.action
 */
export function readd(job: PreparedJob, setting: Setting): { parts: Readded[]; totals: ScoreOut['totals'] } {
  const settled = decideAll(job, setting);
  const chosen = settled.map((groups) => (groups.length === 1 ? [groups[0]!.chosen] : groups.map((g) => g.chosen)));
  const rows = job.parts.map((part, i) => rowOf(job, part, settled[i]!));
  const places = rows.map(({ action, atStake: money }, part) => {
    return { part, action: ACTIONS.indexOf(action), rank: job.parts[part]!.rank, money, id: job.placeById[part]! };
  });
  places.sort((a, b) => b.action - a.action || a.rank - b.rank || b.money - a.money || a.id - b.id);
  const { priceFactors } = setting;
  return {
    parts: places.map(({ part }) => rows[part]!),
    totals: totalsOf(job, chosen, priceFactors ? (id) => priceFactors.get(id) ?? 1 : undefined),
  };
}

function rowOf(job: PreparedJob, part: PreparedPart, decided: readonly Settled[]): Readded {
  const lead = decided[leadIn(job, decided)]!;
  const { options } = part.groups[0]!.c;
  const costs = decided.map(({ decision }) => decision.costs);
  const clear = decided.map(({ decision }) => decision.clear);
  const expectedCosts: number[] = [];
  for (let k = 0; k < options.length; k++) expectedCosts.push(costOfAll(costs, clear, k));
  const spent = lead.chosen < 0 ? null : part.spent().all[lead.chosen]!;
  return {
    id: part.component.id,
    action: lead.action,
    option: lead.chosen < 0 ? null : options[lead.chosen]!.id,
    ifClear: lead.ifClear,
    spare: lead.spare,
    expectedCosts,
    money: spent ? moneyOf(spent, lead.sliders.supplyFactor ?? 1) : NONE,
    hours: spent ? spent.hoursRange : NONE,
    counts: decided.length > 1 ? countsOf(part, decided) : null,
    atStake: atStake(part.groups[0]!.c.forms.now().action, costs),
  };
}

function moneyOf({ money, supply }: { money: ThreePoint; supply: ThreePoint }, factor: number): Range {
  return {
    low: cents(money[0] + factor * supply[0]),
    usual: cents(money[1] + factor * supply[1]),
    high: cents(money[2] + factor * supply[2]),
  };
}

function countsOf(part: PreparedPart, decided: readonly Settled[]): Readded['counts'] {
  const counts = { reuse: 0, refinish: 0, replace: 0 };
  decided.forEach(({ action }, g) => {
    counts[action] += part.groups[g]!.member.count;
  });
  return counts;
}

const NONE: Range = { low: 0, usual: 0, high: 0 };

/**
 * Odds and firmness of every component under a setting: what may follow a slider a moment later. Under 200 ms for 500
 * components.
 *
 * @param job from `prepare`
 * @param setting as for `readd`
 * @returns one entry a component, in the order of the assessment
 */
export function reweigh(job: PreparedJob, setting: Setting): Reweighed[] {
  const settled = decideAll(job, setting);
  return job.parts.map(({ component }, i): Reweighed => {
    const decided = settled[i]!;
    const firmly = decided.map((group) => firmlyOf(job, group));
    const lead = leadOf(decided.map(({ action }, g) => ({ action, firmness: firmly[g]!.firmness })));
    const least = leadOf(firmly.map(({ firmness }) => ({ action: 'reuse', firmness })));
    const { odds, hedge } = firmly[lead]!;
    return {
      id: component.id,
      firmness: firmly[least]!.firmness,
      odds: roundOdds(odds),
      hedge,
      ifClear: decided[lead]!.isTogether ? null : firmly[lead]!.ifClear,
    };
  });
}

/** What one group of members comes to, with its pair or set. */
interface Settled {
  part: number;
  group: number;
  sliders: Sliders;
  /** As decided alone. */
  decision: Decision;
  chosen: number;
  action: Action;
  ifClear: Action | null;
  spare: boolean;
  /** Its pair or set changed what was decided for it alone. */
  isTogether: boolean;
  /** The group for whose sake it is replaced. */
  trigger: Settled | null;
}

function decideAll(job: PreparedJob, setting: Setting): Settled[][] {
  const { circumstances, assessment } = job;
  const hourRate = hourRateOf(circumstances, {
    ...assessment.rates,
    ...(setting.own === undefined ? {} : { own: setting.own }),
    ...(setting.shop === undefined ? {} : { shop: setting.shop }),
  });
  const finish = WANTED_FINISHES.indexOf(setting.wantedFinish ?? assessment.wantedFinish);
  const plain: Sliders = { hourRate, finish };
  const all = job.parts.map(({ component, groups }, part) => {
    const supplyFactor = setting.priceFactors?.get(component.id);
    const sliders = supplyFactor === undefined ? plain : { ...plain, supplyFactor };
    return groups.map((prepared, group): Settled => {
      const decision = decide(prepared, sliders);
      const { chosen, action, ifClear } = decision;
      return {
        part,
        group,
        sliders,
        decision,
        chosen,
        action,
        ifClear,
        spare: false,
        isTogether: false,
        trigger: null,
      };
    });
  });
  for (const { parts } of job.together)
    joinAll(
      job,
      parts.flatMap((part) => all[part]!),
    );
  return all;
}

/** Changes the groups of a pair or set to what they come to when decided as one. */
function joinAll(job: PreparedJob, groups: readonly Settled[]): void {
  const members = groups.map(({ part, group, decision }) => ({ prepared: job.parts[part]!.groups[group]!, decision }));
  const decided = together(
    members,
    groups.map(({ sliders }) => sliders),
  );
  if (!decided) return;
  const trigger = groups.find(({ decision }) => decision.action === 'replace')!;
  groups.forEach((group, i) => {
    if ((group.decision.action === 'replace') === decided.isReplaced) return;
    const { options } = members[i]!.prepared.c;
    group.chosen = bestOf(members[i]!, decided.isReplaced, group.sliders);
    group.action = group.chosen < 0 ? 'replace' : options[group.chosen]!.action;
    group.ifClear = null;
    group.spare = decided.isReplaced;
    group.isTogether = true;
    if (decided.isReplaced) group.trigger = trigger;
  });
}

/** Firmness of a group as decided; one that is replaced for its pair's sake stands as firmly as what makes it so. */
function firmlyOf(job: PreparedJob, group: Settled): Firmly {
  const of = ({ part, group: g, decision, sliders }: Settled) =>
    firmnessOf(job.parts[part]!.groups[g]!, decision, sliders, job.tables);
  const own = of(group);
  return group.trigger ? { ...own, firmness: of(group.trigger).firmness } : own;
}

/** The group that speaks for a component; firmness is asked only where two groups come to the same action. */
function leadIn(job: PreparedJob, decided: readonly Settled[]): number {
  if (decided.length === 1) return 0;
  const rank = decided.map(({ action }) => ACTIONS.indexOf(action));
  const most = Math.max(...rank);
  if (rank.filter((r) => r === most).length === 1) return rank.indexOf(most);
  return leadOf(decided.map((group) => ({ action: group.action, firmness: firmlyOf(job, group).firmness })));
}
