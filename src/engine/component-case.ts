import type { Assessment, Component, Observation } from '../../shared/index.ts';
import { WANTED_FINISHES } from '../../shared/index.ts';
import type { Columns } from './columns.ts';
import type { CompiledKind } from './compiled-kind.ts';
import { possibleEffects } from './completions.ts';
import type { Case, Sliders } from './decide.ts';
import { type Drawn, drawComponent } from './draws.ts';
import { type Facts, factsOf } from './facts.ts';
import { allForms } from './forms.ts';
import { type Circumstances, type Option, optionsOf } from './options.ts';
import { type Outlook, outlooksOf } from './outlook.ts';
import { type Inside, stepsLeft } from './refusals.ts';
import type { Evidence, Rustiness } from './rustiness.ts';
import { meanOf } from './three-points.ts';
import { type LeftAlone, yearsLeftOf } from './years-left.ts';

/** Members of a counted set that have the same answers; a single part is one group of one. */
export interface Member {
  count: number;
  observations: Observation[];
}

/** A component (or a group of alike members) with everything that a verdict is made of. */
export interface Prepared {
  component: Component;
  member: Member;
  facts: Facts;
  drawn: Drawn;
  /** Effects under some completion of the missing answers. */
  completions: number[];
  c: Case;
  /** What a wanted finish makes of the draws; worked out once each. */
  outlook: (finish: number) => Outlook;
  leftAlone: LeftAlone | null;
}

/**
 * Sorts the members of a counted set into groups of the same answers. Members keep their order across checks: the first
 * of one split are the first of the next.
 */
export function membersOf(component: Component): Member[] {
  const count = component.count ?? 1;
  const observations = component.observations ?? [];
  if (!observations.some((o) => o.split)) return [{ count, observations }];
  const groups = new Map<string, Member>();
  for (let member = 0; member < count; member++) {
    const own = observations.map((observation): Observation => {
      if (!observation.split) return observation;
      let last = 0;
      const share = observation.split.find((s) => {
        last += s.count;
        return member < last;
      });
      const { split: _, ...rest } = observation;
      return { ...rest, value: share!.value };
    });
    const key = JSON.stringify(own.map((o) => o.value ?? o.none));
    const group = groups.get(key);
    if (group) group.count++;
    else groups.set(key, { count: 1, observations: own });
  }
  return [...groups.values()];
}

/** Facts of every group of members of a component. */
export function factsOfMembers(
  component: Component,
  compiled: CompiledKind,
  circumstances: Circumstances,
): { member: Member; facts: Facts }[] {
  const { tables, assessment } = circumstances;
  return membersOf(component).map((member) => ({
    member,
    facts: factsOf(component, member.observations, compiled, tables, assessment.units),
  }));
}

/** What the answers of a component say of the rustiness. */
export function evidenceOf(
  component: Component,
  compiled: CompiledKind,
  groups: readonly { facts: Facts }[],
  circumstances: Circumstances,
): Evidence[] {
  return groups.flatMap(({ facts }, g) =>
    compiled.kind.checks.flatMap((check, variable) => {
      const { seen } = facts.facts[variable]!;
      if (seen === null) return [];
      const { rows } = circumstances.tables.rustiness(check.rustiness);
      return [
        {
          area: component.area ?? null,
          key: `${component.id}|${check.id}|${g}`,
          likelihood: rows.map((row) => row[seen]!),
        },
      ];
    }),
  );
}

/** Draws, options and years left of one group of members. */
export function prepareMember(
  component: Component,
  member: Member,
  facts: Facts,
  compiled: CompiledKind,
  insides: readonly Inside[],
  circumstances: Circumstances,
  rustiness: Rustiness,
  columns: Columns,
  seed: number,
): Prepared {
  const { assessment, tables } = circumstances;
  const drawn = drawComponent(compiled, facts, tables, {
    seed,
    component: component.id,
    rustiness: rustiness.drawsOf(component.area ?? null),
    columns,
    coverOf: (check) => coverOf(assessment, component, check),
  });
  const { leftAlone, failsLater } = yearsLeftOf(compiled, facts, assessment, (variable) =>
    shares(compiled, drawn, variable),
  );
  const options = optionsOf(component, member.count, compiled, facts.knowledge, insides, circumstances);
  const going = new Set(assessment.batchesGoing ?? []);
  const sharedProcesses = new Map(
    options.map((option) => {
      // Only what is still to be done counts: a part that is already blasted needs no batch at the blaster.
      const processes = option.route
        ? stepsLeft(tables.route(option.route), component).flatMap((step) =>
            'do' in step ? (tables.operation(step.do).process ?? []) : [],
          )
        : [];
      return [option, processes.length > 0 && processes.every((process) => going.has(process))] as const;
    }),
  );
  const completions = possibleEffects(compiled, facts);
  const isShared = (option: Option) => sharedProcesses.get(option) ?? false;
  const c: Case = {
    compiled,
    options,
    isShared,
    forms: allForms(options, isShared),
    failsLater,
    tie: tables.rubric.settings.tie.value,
    completions,
  };
  return { component, member, facts, drawn, completions, c, outlook: outlooksOf(c, facts, drawn), leftAlone };
}

function coverOf(assessment: Assessment, component: Component, check: string): string | null {
  for (const cover of assessment.covers ?? []) {
    if (cover.hides?.some((hidden) => hidden === component.id || hidden === `${component.id}.${check}`))
      return cover.id;
  }
  return null;
}

/** Share of each listed value among the draws in which nothing but a wish for looks bars putting the part back. */
function shares(compiled: CompiledKind, drawn: Drawn, variable: number): number[] {
  const bars = compiled.groups.reduce((bits, group, bit) => (group.finish === -1 ? bits | (1 << bit) : bits), 0);
  const isFree = drawn.effects.map((effect) => (effect & bars) === 0);
  const free = drawn.counts.reduce((sum, count, k) => sum + (isFree[k] ? count : 0), 0);
  const out = compiled.variables[variable]!.figures.map(() => 0);
  if (free === 0) return out;
  const values = drawn.valuesOf(variable);
  for (let d = 0; d < drawn.draws; d++) if (isFree[drawn.effectOf[d]!]) out[values[d]!]! += 1 / free;
  return out;
}

/** Sliders as the assessment has them. */
export function slidersOf(circumstances: Circumstances): Sliders {
  const { rates, wantedFinish } = circumstances.assessment;
  return { hourRate: hourRateOf(circumstances, rates), finish: WANTED_FINISHES.indexOf(wantedFinish) };
}

/** An hour's worth, assessment's currency: the owner's figure, or the workshop's rate when it does the work. */
export function hourRateOf({ tables, perBase }: Circumstances, rates: Assessment['rates']): number {
  const { prices } = tables.rubric;
  return rates.labour === 'shop'
    ? meanOf(rates.shop ?? prices.shopRate.value) * (rates.shop ? 1 : perBase)
    : (rates.own ?? prices.ownRate.value * perBase);
}
