import type { AlwaysNewOut, Assessment, Component, Rubric, ScoreOut, ThreePoint } from '../../shared/index.ts';
import { evidenceOf, factsOfMembers, prepareMember, slidersOf } from './component-case.ts';
import { compareComponents, componentOut } from './component-out.ts';
import type { Facts } from './facts.ts';
import { looksOf, nextLooks, type Worth } from './looks.ts';
import type { Circumstances } from './options.ts';
import { decideTogether, type Group } from './pairs.ts';
import { readFrom } from './reasons.ts';
import { rustinessOf } from './rustiness.ts';
import { tablesOf } from './tables.ts';
import { times } from './three-points.ts';
import { rangeOf, totalOf } from './totals.ts';
import { judge } from './verdict.ts';

/** How a score is made again to the last byte. */
export interface ScoreOptions {
  /** Whole number that names the draws. */
  seed: number;
  /** Minutes there are for the next looks; no bound when left out. */
  minutes?: number;
  /** Draws; the rubric's number when left out. */
  draws?: number;
}

/**
 * Ranks every component of an assessment reuse, refinish or replace, says why, and prices it.
 *
 * Pure: the same rubric, assessment and seed give the same document. Both must have been checked before
 * (`checkRubric`, `checkAssessment`).
 *
 * @throws RangeError when the currency has no rate or an id is unknown, which a checked input never has
 */
export function score(rubric: Rubric, assessment: Assessment, options: ScoreOptions): ScoreOut {
  const tables = tablesOf(rubric);
  const circumstances: Circumstances = { tables, assessment, perBase: perBaseOf(rubric, assessment) };
  const sliders = slidersOf(circumstances);
  const rateName = assessment.rates.labour === 'shop' ? 'labour rate' : 'own time';
  const known = assessment.components.map((component) => {
    const compiled = tables.kind(component.kind);
    return { component, compiled, members: factsOfMembers(component, compiled, circumstances) };
  });
  const rustiness = rustinessOf(
    rubric,
    known.flatMap(({ component, compiled, members }) => evidenceOf(component, compiled, members, circumstances)),
    options.seed,
    options.draws ?? rubric.settings.draws.value,
  );
  const alwaysNew: AlwaysNewOut[] = [];
  const groupsOf = new Map<string, { component: Component; groups: Group[] }>();
  for (const { component, compiled, members } of known) {
    alwaysNew.push(...hardwareOf(component, circumstances));
    if (isAlwaysNew(compiled, members)) {
      alwaysNew.push(alwaysNewOut(component, circumstances));
      continue;
    }
    const insides = known
      .filter((k) => k.component.sitsIn === component.id)
      .map((k) => ({ component: k.component, kind: k.compiled }));
    const groups = members.map(({ member, facts }): Group => {
      const prepared = prepareMember(
        component,
        member,
        facts,
        compiled,
        insides,
        circumstances,
        rustiness,
        options.seed,
      );
      return { prepared, judged: judge(prepared, sliders, assessment.currency, rateName, tables) };
    });
    groupsOf.set(component.id, { component, groups });
  }
  decidePairs(groupsOf, sliders, tables);

  const worths: Worth[] = [];
  const mates = mateChecks(groupsOf);
  const components = [...groupsOf.values()].map(({ component, groups }) => {
    const own = groups.flatMap(({ prepared }) =>
      looksOf(prepared, sliders, tables, mates.get(component.id) ?? new Set()),
    );
    const unique = [...new Map(own.map((w) => [w.look.check, w] as const)).values()];
    worths.push(...unique);
    return componentOut(component, groups, unique, sliders, tables, assessment.ruleBook);
  });
  components.sort(compareComponents);
  const { looks, left } = nextLooks(worths, options.minutes ?? Number.POSITIVE_INFINITY, sliders, tables);
  return {
    rubricVersion: rubric.version,
    seed: options.seed,
    assessment: {
      id: assessment.id,
      name: assessment.name,
      currency: assessment.currency,
      wantedFinish: assessment.wantedFinish,
      date: assessment.date,
    },
    components,
    alwaysNew: alwaysNew.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0)),
    nextLooks: looks,
    looksLeft: left,
    totals: totalsOf(groupsOf, alwaysNew, rubric.settings.correlation.value),
    rustiness: rustiness.car.map((p) => Math.round(p * 1000) / 1000),
    notes: notesOf(components),
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

function isAlwaysNew(
  compiled: ReturnType<ReturnType<typeof tablesOf>['kind']>,
  members: readonly { facts: Facts }[],
): boolean {
  if (compiled.alwaysNew === null) return false;
  if (compiled.alwaysNew === true) return true;
  const { ask } = compiled.alwaysNew;
  return members.some(({ facts }) => ask(facts.knowledge) === 1);
}

function alwaysNewOut(component: Component, { tables, perBase }: Circumstances): AlwaysNewOut {
  const { kind } = tables.kind(component.kind);
  const own = component.supplies?.[0];
  const price: ThreePoint = own ? own.price : times(kind.supplies[0]?.price ?? [0, 0, 0], perBase);
  const count = component.count ?? 1;
  return {
    id: component.id,
    component: component.id,
    name: component.name,
    kind: kind.id,
    count,
    thread: component.properties?.thread === undefined ? null : String(component.properties.thread),
    because: kind.alwaysNew!.because,
    ...readFrom(tables.rubric, kind.alwaysNew!.from),
    money: rangeOf(times(price, count)),
  };
}

/** Hardware that the joints of a component take each time they are undone. */
function hardwareOf(component: Component, { tables, perBase }: Circumstances): AlwaysNewOut[] {
  return (component.joints ?? []).flatMap((joint) =>
    (joint.hardware ?? []).flatMap((id): AlwaysNewOut[] => {
      const hardware = tables.rubric.hardware.find((entry) => entry.id === id);
      if (!hardware) return [];
      const count = joint.count ?? 1;
      return [
        {
          id: `${component.id}.${joint.id}.${id}`,
          component: component.id,
          name: `${hardware.name}, ${joint.name}`,
          kind: null,
          count,
          thread: joint.thread,
          because: hardware.because,
          ...readFrom(tables.rubric, hardware.from),
          money: rangeOf(times(hardware.price, count * perBase)),
        },
      ];
    }),
  );
}

type Groups = Map<string, { component: Component; groups: Group[] }>;

function decidePairs(
  groupsOf: Groups,
  sliders: ReturnType<typeof slidersOf>,
  tables: ReturnType<typeof tablesOf>,
): void {
  const done = new Set<string>();
  for (const id of [...groupsOf.keys()].sort()) {
    const one = groupsOf.get(id)!;
    const { replaceAs } = tables.kind(one.component.kind).kind;
    if (replaceAs === 'single' || done.has(id)) continue;
    const mate = one.component.pair === undefined ? undefined : groupsOf.get(one.component.pair);
    const members = mate && mate !== one ? [one, mate] : [one];
    const decided = decideTogether(
      members.flatMap((m) => m.groups),
      sliders,
      replaceAs === 'set' ? 'set' : 'pair',
    );
    let from = 0;
    for (const member of members) {
      done.add(member.component.id);
      member.groups = decided.slice(from, from + member.groups.length);
      from += member.groups.length;
    }
  }
}

/** Checks of other components that must be looked at because a part that runs against them is replaced. */
function mateChecks(groupsOf: Groups): Map<string, Set<string>> {
  const out = new Map<string, Set<string>>();
  for (const { component, groups } of groupsOf.values()) {
    if (!groups.some(({ judged }) => judged.verdict.action === 'replace')) continue;
    const { kind } = groups[0]!.prepared.c.compiled;
    for (const mate of kind.mates ?? []) {
      for (const id of component.mates ?? []) {
        const other = groupsOf.get(id);
        if (!other || other.component.kind !== mate.kind) continue;
        out.set(id, (out.get(id) ?? new Set()).add(mate.check));
      }
    }
  }
  return out;
}

function totalsOf(groupsOf: Groups, alwaysNew: readonly AlwaysNewOut[], correlation: number): ScoreOut['totals'] {
  const money: ThreePoint[] = alwaysNew.map((a) => [a.money.low, a.money.usual, a.money.high]);
  const hours: ThreePoint[] = [];
  for (const id of [...groupsOf.keys()].sort()) {
    for (const { prepared, judged } of groupsOf.get(id)!.groups) {
      if (judged.chosen < 0) continue;
      const option = prepared.c.options[judged.chosen]!;
      const bills = prepared.c.isShared(option) ? option.shared : option.alone;
      for (const bill of [...bills.holds.map((hold) => hold.bill), bills.rest]) {
        for (const item of bill.items) (item.unit === 'money' ? money : hours).push(item.points);
      }
    }
  }
  return { money: totalOf(money, correlation), hours: totalOf(hours, correlation) };
}

function notesOf(components: readonly ScoreOut['components'][number][]): string[] {
  const notes = ['The sum of the likely values is not the likely sum: late lines and dear lines pull it up.'];
  const unseen = components.filter((c) => c.facts.every((fact) => fact.state === 'unknown'));
  if (unseen.length > 0) notes.push(`Not looked at: ${unseen.map((c) => c.name).join(', ')}.`);
  return notes;
}
