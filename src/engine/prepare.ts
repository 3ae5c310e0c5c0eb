import type { AlwaysNewOut, Assessment, Component, Range, Rubric, ThreePoint } from '../../shared/index.ts';
import { columnsOf } from './columns.ts';
import { evidenceOf, factsOfMembers, type Prepared, prepareMember, slidersOf } from './component-case.ts';
import { conditionIndex } from './condition-index.ts';
import type { Sliders } from './decide.ts';
import type { Facts } from './facts.ts';
import { once } from './once.ts';
import { type Circumstances, isSupplyPrice } from './options.ts';
import { ask, TRUE } from './program.ts';
import { readFrom } from './reasons.ts';
import type { Inside } from './refusals.ts';
import { rustinessOf } from './rustiness.ts';
import { type Tables, tablesOf } from './tables.ts';
import { NOTHING, plus, times } from './three-points.ts';
import { flatSums, rangeOf } from './totals.ts';
import type { LeftAlone } from './years-left.ts';

/** How a score is made again to the last byte. */
export interface ScoreOptions {
  /** Whole number that names the draws. */
  seed: number;
  /** Minutes there are for the next looks; no bound when left out. */
  minutes?: number;
  /** Draws; the rubric's number when left out. */
  draws?: number;
}

/** An assessment made ready to be judged: everything that neither a rate, a price nor the wanted finish changes. */
export interface PreparedJob {
  rubric: Rubric;
  assessment: Assessment;
  seed: number;
  tables: Tables;
  circumstances: Circumstances;
  /** As the assessment itself has them. */
  sliders: Sliders;
  /** Chance of each of the five steps of rustiness for the car. */
  rustiness: readonly number[];
  parts: readonly PreparedPart[];
  /** Parts that are decided together, by index. */
  together: readonly { parts: readonly number[]; word: string }[];
  alwaysNew: readonly PreparedHardware[];
  /** Indices of the parts in the order of their ids: sums do not depend on the order of components. */
  byId: readonly number[];
  /** Where each part stands in `byId`. */
  placeById: readonly number[];
}

/** One component on the bench with its groups of alike members. */
export interface PreparedPart {
  component: Component;
  groups: readonly Prepared[];
  /** Where it stands among parts of the same action, before the money at stake: parts that stand alike have one rank. */
  rank: number;
  /** What each option spends: one entry an option for each group, and for all groups together. */
  spent: () => { byGroup: Float64Array[]; all: { money: ThreePoint; supply: ThreePoint; hoursRange: Range }[] };
}

/** Figures of one option in `spent().byGroup`: three each of money without supplies, the price of supplies, and hours. */
export const SUMS_OF_OPTION = 9;

/** What orders parts of the same action, before the money at stake. */
export interface Standing {
  /** It guards life, and a knock-out is open or has fired. */
  guards: boolean;
  yearsLow: number;
  indexLow: number;
}

/** Order of parts of one action: what guards life and is not clear, then the least time left, then the worst index. */
export function compareStandings(a: Standing, b: Standing): number {
  return Number(b.guards) - Number(a.guards) || a.yearsLow - b.yearsLow || a.indexLow - b.indexLow;
}

/** Single-use hardware; `sums` is its price for all pieces, and `isSupply` says that a price slider of its component moves it. */
export interface PreparedHardware {
  out: AlwaysNewOut;
  sums: Float64Array;
  isSupply: boolean;
}

/**
 * Makes an assessment ready to be judged, once for any number of settings of the sliders (`readd`, `reweigh`) and for
 * the whole document (`scoreOf`).
 *
 * Pure. Both arguments must have been checked before (`checkRubric`, `checkAssessment`) and must not be changed later:
 * what is worked out of them is kept.
 *
 * @throws RangeError when the currency has no rate or an id is unknown, which a checked input never has
 */
export function prepare(rubric: Rubric, assessment: Assessment, options: ScoreOptions): PreparedJob {
  const tables = tablesOf(rubric);
  const circumstances: Circumstances = { tables, assessment, perBase: perBaseOf(rubric, assessment) };
  const known = assessment.components.map((component) => {
    const compiled = tables.kind(component.kind);
    return { component, compiled, members: factsOfMembers(component, compiled, circumstances) };
  });
  const draws = options.draws ?? rubric.settings.draws.value;
  const columns = columnsOf(draws);
  const rustiness = rustinessOf(
    rubric,
    known.flatMap(({ component, compiled, members }) => evidenceOf(component, compiled, members, circumstances)),
    options.seed,
    draws,
  );
  const insidesOf = new Map<string, Inside[]>();
  for (const { component, compiled } of known) {
    if (component.sitsIn === undefined) continue;
    const beside = insidesOf.get(component.sitsIn) ?? [];
    insidesOf.set(component.sitsIn, [...beside, { component, kind: compiled }]);
  }
  const alwaysNew: PreparedHardware[] = [];
  const unranked: (Omit<PreparedPart, 'rank'> & { standing: Standing })[] = [];
  for (const { component, compiled, members } of known) {
    alwaysNew.push(...hardwareOf(component, circumstances));
    if (isAlwaysNew(compiled, members)) {
      alwaysNew.push(alwaysNewOf(component, circumstances));
      continue;
    }
    const insides = insidesOf.get(component.id) ?? [];
    const groups = members.map(({ member, facts }) =>
      prepareMember(component, member, facts, compiled, insides, circumstances, rustiness, columns, options.seed),
    );
    unranked.push({ component, groups, standing: standingOf(groups), spent: once(() => spentOn(groups)) });
  }
  const parts = ranked(unranked);
  const byId = parts.map((_, i) => i).sort((a, b) => (parts[a]!.component.id < parts[b]!.component.id ? -1 : 1));
  const placeById: number[] = [];
  for (const [place, i] of byId.entries()) placeById[i] = place;
  return {
    rubric,
    assessment,
    seed: options.seed,
    tables,
    circumstances,
    sliders: slidersOf(circumstances),
    rustiness: rustiness.car,
    parts,
    together: togetherOf(parts, tables),
    alwaysNew: alwaysNew.sort((a, b) => (a.out.id < b.out.id ? -1 : a.out.id > b.out.id ? 1 : 0)),
    byId,
    placeById,
  };
}

/** Units of the assessment's currency for one of the rubric's base currency. */
function perBaseOf(rubric: Rubric, assessment: Assessment): number {
  const { base, exchange } = rubric.prices;
  if (assessment.rates.exchange !== undefined) return assessment.rates.exchange;
  if (assessment.currency === base) return 1;
  const rate = exchange.find((entry) => entry.currency === assessment.currency);
  if (!rate)
    throw new RangeError(
      `Cannot price in ${assessment.currency}: wanted a rate in prices.yaml or rates.exchange, found none`,
    );
  return rate.perBase;
}

function isAlwaysNew(compiled: ReturnType<Tables['kind']>, members: readonly { facts: Facts }[]): boolean {
  if (compiled.alwaysNew === null) return false;
  if (compiled.alwaysNew === true) return true;
  const condition = compiled.alwaysNew;
  return members.some(({ facts }) => ask(condition, facts.knowledge) === TRUE);
}

function alwaysNewOf(component: Component, { tables, perBase }: Circumstances): PreparedHardware {
  const { kind } = tables.kind(component.kind);
  const own = component.supplies?.[0];
  const price: ThreePoint = own ? own.price : times(kind.supplies[0]?.price ?? NOTHING, perBase);
  const count = component.count ?? 1;
  const points = times(price, count);
  const out = {
    id: component.id,
    component: component.id,
    name: component.name,
    kind: kind.id,
    count,
    thread: component.properties?.thread === undefined ? null : String(component.properties.thread),
    because: kind.alwaysNew!.because,
    ...readFrom(tables.rubric, kind.alwaysNew!.from),
    money: rangeOf(points),
  };
  return { out, sums: flatSums([[points]]), isSupply: true };
}

/** Hardware that the joints of a component take each time they are undone. */
function hardwareOf(component: Component, { tables, perBase }: Circumstances): PreparedHardware[] {
  return (component.joints ?? []).flatMap((joint) =>
    (joint.hardware ?? []).flatMap((id): PreparedHardware[] => {
      const hardware = tables.rubric.hardware.find((entry) => entry.id === id);
      if (!hardware) return [];
      const count = joint.count ?? 1;
      const points = times(hardware.price, count * perBase);
      const out = {
        id: `${component.id}.${joint.id}.${id}`,
        component: component.id,
        name: `${hardware.name}, ${joint.name}`,
        kind: null,
        count,
        thread: joint.thread,
        because: hardware.because,
        ...readFrom(tables.rubric, hardware.from),
        money: rangeOf(points),
      };
      return [{ out, sums: flatSums([[points]]), isSupply: false }];
    }),
  );
}

function ranked(parts: readonly (Omit<PreparedPart, 'rank'> & { standing: Standing })[]): PreparedPart[] {
  const order = parts.map((_, i) => i).sort((a, b) => compareStandings(parts[a]!.standing, parts[b]!.standing));
  const ranks: number[] = [];
  order.forEach((i, place) => {
    const before = order[place - 1];
    const isAlike = before !== undefined && compareStandings(parts[before]!.standing, parts[i]!.standing) === 0;
    ranks[i] = isAlike ? ranks[before]! : place;
  });
  return parts.map(({ component, groups, spent }, i) => ({ component, groups, spent, rank: ranks[i]! }));
}

function standingOf(groups: readonly Prepared[]): Standing {
  const indices = groups.flatMap(({ c, facts }) => conditionIndex(c.compiled, facts, null) ?? []);
  const guards =
    groups[0]!.c.compiled.kind.safetyCritical &&
    groups.some(({ outlook }) =>
      outlook(0).states.some(({ barring, state }) => barring.knockOut !== null && state !== 'clear'),
    );
  return {
    guards,
    yearsLow: leftAloneOf(groups)?.years.low ?? 1000,
    indexLow: Math.min(100, ...indices.map((index) => index.low)),
  };
}

/** Least time left of any member. */
export function leftAloneOf(groups: readonly Prepared[]): LeftAlone | null {
  return groups.flatMap(({ leftAlone }) => leftAlone ?? []).sort((a, b) => a.years.low - b.years.low)[0] ?? null;
}

function spentOn(groups: readonly Prepared[]): ReturnType<PreparedPart['spent']> {
  const lines = groups.map(({ c }) =>
    c.options.map((option) => {
      const priced = c.isShared(option) ? option.shared : option.alone;
      const items = [...priced.holds.map((hold) => hold.bill), priced.rest].flatMap((bill) => bill.items);
      const of = (test: (item: (typeof items)[number]) => boolean) => items.filter(test).map((item) => item.points);
      return {
        money: of((item) => item.unit === 'money' && !isSupplyPrice(item)),
        supply: of(isSupplyPrice),
        hours: of((item) => item.unit === 'hours'),
      };
    }),
  );
  return {
    byGroup: lines.map((options) => flatSums(options.flatMap(({ money, supply, hours }) => [money, supply, hours]))),
    all: (groups[0]?.c.options ?? []).map((_, i) => ({
      money: plus(...lines.flatMap((options) => options[i]!.money)),
      supply: plus(...lines.flatMap((options) => options[i]!.supply)),
      hoursRange: rangeOf(plus(...lines.flatMap((options) => options[i]!.hours))),
    })),
  };
}

function togetherOf(parts: readonly PreparedPart[], tables: Tables): PreparedJob['together'] {
  const at = new Map(parts.map(({ component }, i) => [component.id, i] as const));
  const done = new Set<number>();
  const out: { parts: number[]; word: string }[] = [];
  for (const id of [...at.keys()].sort()) {
    const one = at.get(id)!;
    const { component } = parts[one]!;
    const { replaceAs } = tables.kind(component.kind).kind;
    if (replaceAs === 'single' || done.has(one)) continue;
    const mate = component.pair === undefined ? undefined : at.get(component.pair);
    const members = mate !== undefined && mate !== one ? [one, mate] : [one];
    for (const member of members) done.add(member);
    out.push({ parts: members, word: replaceAs === 'set' ? 'set' : 'pair' });
  }
  return out;
}
