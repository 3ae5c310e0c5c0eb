import type { Action } from '../../shared/index.ts';
import type { PreparedJob } from '../engine/index.ts';
import { type ChosenJob, COMES_WITH } from './decide-job.ts';
import type { Unit } from './units.ts';

/** What is done with a unit, in words and ids. */
export interface Named {
  action: Action;
  option: string;
  name: string;
  route: string | null;
  supply: string | null;
}

/** A way of a unit by name. */
export function namedWay(unit: Unit, way: number): Named {
  const { option } = unit.ways[way]!;
  return { action: option.action, option: option.id, name: option.name, route: option.route, supply: option.supply };
}

/** What the plan does with a unit: of a held one, what is done when the open knock-out fires. */
export function namedPlan(chosen: ChosenJob, u: number): Named {
  const unit = chosen.units[u]!;
  const way = chosen.ways[u]!;
  if (way === COMES_WITH) {
    const host = chosen.units[chosen.hosts[u]!]!.part.component;
    return {
      action: 'replace',
      option: `replace:with:${host.id}`,
      name: `Comes with: ${host.name}`,
      route: null,
      supply: null,
    };
  }
  return namedWay(unit, unit.held ? unit.held.fired : way);
}

/** Rule and `from` that made a unit's line: its route, its supply, or the hours of its kind. */
export function ruleOf(unit: Unit, named: Named): { rule: string; from: string } {
  const { kind } = unit.prepared.c.compiled;
  if (named.supply !== null) {
    const supply = (unit.part.component.supplies ?? kind.supplies).find(({ id }) => id === named.supply);
    return { rule: `supplies.${kind.id}.${named.supply}`, from: supply?.from ?? 'own-judgement' };
  }
  return { rule: named.route === null ? `hours.${kind.id}` : `routes.${named.route}`, from: kind.hoursFrom };
}

/** What is shared, by name in the middle of a sentence: a batch (`powder.black`), a charge (`wheel-off@front-left`). */
export function nameOfShared(id: string, job: PreparedJob): string {
  const plain = id.split(/[.@]/)[0]!;
  const { shared, processes } = job.rubric.charges;
  const name =
    shared.find((charge) => charge.id === plain)?.name ?? processes.find((p) => p.id === plain)?.name ?? plain;
  return lower(name);
}

/** A name as it stands in the middle of a sentence. */
export function lower(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
