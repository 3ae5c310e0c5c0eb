import {
  ACTIONS,
  type Action,
  type ComponentOut,
  type Firmness,
  type OptionOut,
  type Verdict,
} from '../../shared/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import { conditionIndex } from './condition-index.ts';
import { costingOf, costsAt, isAllowed, isRefused, type Sliders } from './decide.ts';
import { gradeRange } from './facts.ts';
import type { Worth } from './looks.ts';
import type { Group } from './pairs.ts';
import { compareStandings, leftAloneOf, type PreparedPart, type Standing } from './prepare.ts';
import { ask, TRUE } from './program.ts';
import { methodBecause, readFrom } from './reasons.ts';
import { uncheckedFits } from './refusals.ts';
import type { Tables } from './tables.ts';
import { plus } from './three-points.ts';
import { cents, rangeOf } from './totals.ts';
import { failChance, knockOutsOf } from './verdict.ts';

const FIRMNESS_ORDER = ['open', 'leaning', 'settled'];

/** Everything that is said of one component. */
export function componentOut(
  part: PreparedPart,
  groups: readonly Group[],
  worths: readonly Worth[],
  sliders: Sliders,
  tables: Tables,
  ruleBook: string,
): ComponentOut {
  const { component } = part;
  const lead = groups[leadOf(groups.map(({ judged }) => judged.verdict))]!;
  const { compiled } = lead.prepared.c;
  const { kind } = compiled;
  const verdict: Verdict = { ...lead.judged.verdict };
  if (groups.length > 1) {
    const counts = { reuse: 0, refinish: 0, replace: 0 };
    for (const { prepared, judged } of groups) counts[judged.verdict.action] += prepared.member.count;
    verdict.counts = counts;
    verdict.firmness = groups
      .map((g) => g.judged.verdict.firmness)
      .sort((a, b) => FIRMNESS_ORDER.indexOf(a) - FIRMNESS_ORDER.indexOf(b))[0]!;
  }
  const indices = groups.flatMap(({ prepared }) => conditionIndex(compiled, prepared.facts, prepared.drawn) ?? []);
  const cautions = [...(kind.cautions ?? []), ...routeCautions(lead, tables)];
  return {
    id: component.id,
    name: component.name,
    kind: kind.id,
    kindName: kind.name,
    count: component.count ?? 1,
    position: component.position ?? null,
    area: component.area ?? null,
    stage: component.stage,
    safetyCritical: kind.safetyCritical,
    verdict,
    index:
      indices.length === 0
        ? null
        : {
            low: Math.min(...indices.map((i) => i.low)),
            high: Math.min(...indices.map((i) => i.high)),
            likelyLow: Math.min(...indices.map((i) => i.likelyLow)),
            likelyHigh: Math.min(...indices.map((i) => i.likelyHigh)),
          },
    options: optionsOut(part, groups, lead, sliders),
    knockOuts: mergeKnockOuts(groups.flatMap(({ prepared }) => knockOutsOf(prepared, tables))),
    looks: [...new Map(worths.map((w) => [w.look.check, w.look] as const)).values()],
    cautions: [
      ...uncheckedIn(lead, tables),
      ...[...new Set(cautions)].map((id) => {
        const caution = tables.rubric.cautions.find((entry) => entry.id === id);
        return { id, text: caution?.text ?? id, ...readFrom(tables.rubric, caution?.from ?? 'common-practice') };
      }),
    ],
    facts: factsOut(compiled, groups),
    roadworthiness: (kind.roadworthiness ?? []).flatMap((note, i) =>
      note.book === ruleBook &&
      groups.some(({ prepared }) => ask(compiled.roadworthiness[i]!, prepared.facts.knowledge) === TRUE)
        ? [
            {
              book: note.book,
              clause: note.clause,
              finding: note.finding,
              text: note.text,
              source: readFrom(tables.rubric, note.from).source,
            },
          ]
        : [],
    ),
    yearsLeft: leftAloneOf(part.groups)?.years ?? null,
    atStake: atStake(
      lead.prepared.c.forms.now().action,
      groups.map(({ judged }) => judged.costs),
    ),
    distrusted: (component.positions ?? [])
      .filter((p) => p.trust === 'not-to-be-trusted')
      .map((p) => `${p.what}: ${p.found}`),
  };
}

/** Index of the group that speaks for all: the one that keeps least of the part, then the least firm, then the first. */
export function leadOf(verdicts: readonly { action: Action; firmness: Firmness }[]): number {
  const rank = (i: number) =>
    ACTIONS.indexOf(verdicts[i]!.action) * 10 + (2 - FIRMNESS_ORDER.indexOf(verdicts[i]!.firmness));
  let lead = 0;
  verdicts.forEach((_, i) => {
    if (rank(i) > rank(lead)) lead = i;
  });
  return lead;
}

function routeCautions({ prepared, judged }: Group, tables: Tables): string[] {
  const route = judged.chosen >= 0 ? prepared.c.options[judged.chosen]!.route : null;
  if (!route) return [];
  return tables.route(route).steps.flatMap((step) => ('do' in step ? (tables.operation(step.do).cautions ?? []) : []));
}

/** What could not be checked of the route that is taken. */
function uncheckedIn({ prepared, judged }: Group, tables: Tables): ComponentOut['cautions'] {
  const route = judged.chosen >= 0 ? prepared.c.options[judged.chosen]!.route : null;
  if (!route) return [];
  return uncheckedFits(tables.route(route), prepared.component, tables).map(({ rule, ...rest }) => ({
    id: rule,
    ...rest,
  }));
}

function optionsOut(part: PreparedPart, groups: readonly Group[], lead: Group, sliders: Sliders): OptionOut[] {
  const priced = groups.map(({ prepared, judged }) => {
    const { c, outlook } = prepared;
    const at = (shared: boolean) =>
      costsAt(outlook(sliders.finish).courses, costingOf(c, sliders, shared), sliders.finish);
    return { prepared, alone: at(false), shared: at(true), now: judged.costs, clear: costingOf(c, sliders).lines };
  });
  return lead.prepared.c.options.map((option, i): OptionOut => {
    const sum = (pick: (p: (typeof priced)[number]) => readonly number[]) =>
      costOfAll(
        priced.map(pick),
        priced.map((p) => p.clear),
        i,
      );
    const { money, supply, hoursRange } = part.spent().all[i]!;
    const refused = [...option.refused];
    if (option.reaches < sliders.finish)
      refused.push(methodBecause('finish', 'This route does not reach the wanted finish'));
    const states = priced.map(({ prepared }) => allowedState(prepared, i, sliders));
    const allowed = states.every((s) => s === 'no') ? 'no' : states.some((s) => s !== 'yes') ? 'open' : 'yes';
    if (allowed === 'no' && refused.length === 0) {
      const barring = lead.judged.verdict.because.filter(
        (reason) => !reason.rule.startsWith('method.') && !reason.text.startsWith('Not known yet'),
      );
      refused.push(...(barring.length > 0 ? barring : [methodBecause('barred', 'Barred by what was found')]));
    }
    return {
      id: option.id,
      action: option.action,
      route: option.route,
      supply: option.supply,
      name: option.name,
      allowed,
      refused: allowed === 'no' ? refused : [],
      expectedCost: sum((p) => p.now),
      costAlone: sum((p) => p.alone),
      costShared: sum((p) => p.shared),
      hours: hoursRange,
      money: rangeOf(plus(money, supply)),
      leadDays: rangeOf(option.leadDays),
      failChance: Math.max(...groups.map(({ prepared }) => failChance(prepared, i, sliders.finish))),
    };
  });
}

function allowedState(prepared: Group['prepared'], i: number, sliders: Sliders): 'yes' | 'open' | 'no' {
  const option = prepared.c.options[i]!;
  if (isRefused(option, sliders.finish)) return 'no';
  const can = prepared.completions.map((effect) => isAllowed(prepared.c, option, effect, sliders.finish));
  return can.every(Boolean) ? 'yes' : can.some(Boolean) ? 'open' : 'no';
}

function mergeKnockOuts(all: ComponentOut['knockOuts']): ComponentOut['knockOuts'] {
  const order = { fired: 2, open: 1, clear: 0 };
  const byRule = new Map<string, ComponentOut['knockOuts'][number]>();
  for (const one of all) {
    const before = byRule.get(one.rule);
    if (!before || order[one.state] > order[before.state]) byRule.set(one.rule, one);
  }
  return [...byRule.values()].filter((one) => one.state !== 'clear').sort((a, b) => order[b.state] - order[a.state]);
}

function factsOut(compiled: CompiledKind, groups: readonly Group[]): ComponentOut['facts'] {
  return compiled.kind.checks.map((check, v) => {
    const variable = compiled.variables[v]!;
    const facts = groups.map(({ prepared }) => prepared.facts.facts[v]!);
    const ranges = facts.map((fact) =>
      fact.state === 'not-applicable' ? { best: 0, worst: 0 } : gradeRange(fact, variable),
    );
    const { answer } = check;
    const possible = variable.figures
      .map((figure, k) => ({ k, value: answer.type === 'choice' ? answer.options[k]!.id : figure }))
      .filter(({ k }) => facts.some((fact) => fact.possible & (1 << k) && Number.isNaN(fact.exact)))
      .map(({ value }) => value);
    const measured = facts.filter((fact) => !Number.isNaN(fact.exact)).map((fact) => fact.exact);
    const order = ['unknown', 'evidence', 'final', 'not-applicable'] as const;
    return {
      check: check.id,
      state: facts.map((fact) => fact.state).sort((a, b) => order.indexOf(a) - order.indexOf(b))[0]!,
      possible: [...new Set([...measured, ...possible])],
      gradeLow: Math.min(...ranges.map((r) => r.best)),
      gradeHigh: Math.max(...ranges.map((r) => r.worst)),
      notes: [...new Set(facts.flatMap((fact) => fact.notes))],
    };
  });
}

/**
 * Cost of an option for all groups of members, rounded to the minor unit: expected, or as if nothing barred it where no
 * group may take it.
 */
export function costOfAll(
  costs: readonly (readonly number[])[],
  clear: readonly (readonly number[])[],
  option: number,
): number {
  let total = 0;
  for (const own of costs) total += own[option]!;
  if (!Number.isFinite(total)) {
    total = 0;
    for (const own of clear) total += own[option]!;
  }
  return cents(total);
}

/**
 * Money between the best and the second-best action, for all groups of members.
 *
 * @param action index into `ACTIONS` of each option
 * @param costs expected cost of each option, one list a group
 */
export function atStake(action: Uint8Array, costs: readonly (readonly number[])[]): number {
  let sum = 0;
  for (const own of costs) {
    let [reuse, refinish, replace] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
    for (let i = 0; i < own.length; i++) {
      if (action[i] === 0) reuse = Math.min(reuse, own[i]!);
      else if (action[i] === 1) refinish = Math.min(refinish, own[i]!);
      else replace = Math.min(replace, own[i]!);
    }
    const least = Math.min(reuse, refinish, replace);
    // The middle one of three.
    const second = Math.max(Math.min(reuse, refinish), Math.min(Math.max(reuse, refinish), replace));
    if (Number.isFinite(second)) sum += second - least;
  }
  return cents(sum);
}

/** Order of the bench: replace, refinish, reuse; inside each what guards life and is not clear, then the least time left, the worst index, the most money. */
export function compareComponents(a: ComponentOut, b: ComponentOut): number {
  return (
    ACTIONS.indexOf(b.verdict.action) - ACTIONS.indexOf(a.verdict.action) ||
    compareStandings(standing(a), standing(b)) ||
    b.atStake - a.atStake ||
    (a.id < b.id ? -1 : a.id > b.id ? 1 : 0)
  );
}

function standing(c: ComponentOut): Standing {
  return {
    guards: c.safetyCritical && c.knockOuts.length > 0,
    yearsLow: c.yearsLeft?.low ?? 1000,
    indexLow: c.index?.low ?? 100,
  };
}
