import type { PlannedPart, PlannedVerdict } from '../../shared/index.ts';
import { cents, type PreparedJob, rangeOf } from '../engine/index.ts';
import { costsOfChoice } from './choice-costs.ts';
import { method } from './circumstances.ts';
import { type ChosenJob, COMES_WITH } from './decide-job.ts';
import { lower, type Named, namedPlan, namedWay, nameOfShared } from './names.ts';
import { lineQuantiles } from './quantiles.ts';
import type { Simulation } from './simulate.ts';
import type { Unit } from './units.ts';
import { sizeOf } from './ways.ts';

/** Joint and alone verdict of each unit, in the order of the units. */
export function verdictsOf(chosen: ChosenJob, simulation: Simulation, job: PreparedJob): PlannedVerdict[] {
  return chosen.units.map((unit, u): PlannedVerdict => {
    const joint = namedPlan(chosen, u);
    const alone = aloneOf(unit);
    const option = chosen.choice[chosen.parts[u]!.own]!;
    const costs = costsOfChoice(chosen, u, option);
    const differs = joint.option !== alone.option;
    const line = simulation.lines[u]!;
    return {
      component: unit.part.component.id,
      group: unit.group,
      name: unit.part.component.name,
      pieces: unit.prepared.member.count,
      joint: { action: joint.action, option: joint.option, name: joint.name },
      alone: { action: alone.action, option: alone.option, name: alone.name },
      differs,
      why: differs ? whyDiffers(chosen, u, joint, alone, costs, job) : null,
      costJoint: cents(costs.joint),
      costAlone: cents(costs.alone),
      money: lineQuantiles(line.money),
      hours: lineQuantiles(line.hours),
      because: method(differs ? 'least-cost-of-the-whole-job' : 'least-expected-cost'),
    };
  });
}

function aloneOf(unit: Unit): Named {
  const { chosen } = unit.judged;
  if (chosen >= 0) return namedWay(unit, chosen);
  return { action: 'replace', option: 'replace:none', name: 'No supply known', route: null, supply: null };
}

function whyDiffers(
  chosen: ChosenJob,
  u: number,
  joint: Named,
  alone: Named,
  costs: { joint: number; alone: number },
  job: PreparedJob,
): string {
  const { currency } = job.assessment;
  const unit = chosen.units[u]!;
  if (chosen.ways[u] === COMES_WITH)
    return `It comes with the new ${chosen.units[chosen.hosts[u]!]!.part.component.name}`;
  if (unit.part.component.override) return `Decided by ${unit.part.component.override.by}`;
  const other = chosen.offered[u]!.indexOf(unit.judged.chosen);
  const money = (value: number) => `${Math.round(value)} ${currency}`;
  const option = chosen.problem.parts[chosen.parts[u]!.own]!.options[chosen.choice[chosen.parts[u]!.own]!]!;
  const shared = [
    ...new Set(
      option.uses.flatMap(({ charge }) => {
        const { sort, id } = chosen.shared[charge]!;
        // The trip belongs to its batch.
        if (sort === 'trip') return [];
        return [nameOfShared(id, job)];
      }),
    ),
  ].join(', ');
  const together = chosen.problem.together.some((group) => group.includes(chosen.parts[u]!.own));
  if (other >= 0) {
    const rival = costsOfChoice(chosen, u, other).joint;
    if (rival < costs.joint && together) return `Its pair is dealt with the same way: the two together cost least`;
    if (costs.joint < costs.alone - 1)
      return `${joint.name} adds ${money(costs.joint)} to the job, where ${lower(alone.name)} would add ${money(rival)}; as the only part it would cost ${money(costs.alone)}${shared ? ` (shared: ${shared})` : ''}`;
    return `${joint.name} adds ${money(costs.joint)} to the job, ${lower(alone.name)} ${money(rival)} with all that it brings along`;
  }
  return `${alone.name} cannot be counted on before the open looks are done`;
}

/** What the strip-down sheet, the shopping list and the tickets start from. */
export function partsOf(chosen: ChosenJob, job: PreparedJob): PlannedPart[] {
  return chosen.units.map((unit, u): PlannedPart => {
    const { component } = unit.part;
    const { kind } = unit.prepared.c.compiled;
    const named = namedPlan(chosen, u);
    const { massKg, areaDm2 } = sizeOf(unit.prepared);
    const way = chosen.ways[u]!;
    const clear = unit.held ? namedWay(unit, way) : null;
    const visits = way === COMES_WITH ? [] : unit.ways[way]!.stretches.flatMap((stretch) => stretch.visits);
    return {
      component: component.id,
      group: unit.group,
      name: component.name,
      kind: kind.id,
      pieces: unit.prepared.member.count,
      count: component.count ?? 1,
      area: component.area ?? null,
      stage: component.stage,
      material: component.material ?? kind.material,
      colour: component.colour ?? null,
      massKg: rangeOf(massKg),
      areaDm2: rangeOf(areaDm2),
      safetyCritical: kind.safetyCritical,
      action: named.action,
      option: named.option,
      route: named.route,
      supply: named.supply,
      firmness: unit.judged.verdict.firmness,
      ifClear: clear ? { action: clear.action, option: clear.option, route: clear.route, supply: clear.supply } : null,
      chance: unit.held ? Math.round(unit.held.chance * 1000) / 1000 : 1,
      spare: unit.judged.verdict.spare || isSpare(chosen, u, job),
      comesWith: way === COMES_WITH ? chosen.units[chosen.hosts[u]!]!.part.component.id : null,
      batches: [...new Set(visits.map(({ batch }) => batch))],
      charges: [...unit.charges],
    };
  });
}

/** Replaced with its pair though it could have stayed. */
function isSpare(chosen: ChosenJob, u: number, job: PreparedJob): boolean {
  const unit = chosen.units[u]!;
  if (namedPlan(chosen, u).action !== 'replace') return false;
  const own = chosen.parts[u]!.own;
  if (!chosen.problem.together.some((group) => group.includes(own))) return false;
  const kept = unit.prepared.outlook(job.sliders.finish).states.every(({ state }) => state !== 'fired');
  return kept && chosen.problem.parts[own]!.options.some((option) => !option.replaces);
}
