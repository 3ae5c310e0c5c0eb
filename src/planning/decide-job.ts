import { meanOf, type PreparedJob } from '../engine/index.ts';
import { type Course, coursesOver } from './courses.ts';
import { type Choice, chooseTogether, type JointProblem, jointCost, type Use } from './joint-choice.ts';
import { chargeOf, cheapestOrder, ordersOf, type Shared } from './shared-costs.ts';
import { chancesOf, coursesOf, touches, type Unit, wayCost } from './units.ts';

/** A unit whose part comes with another one takes no way of its own. */
export const COMES_WITH = -1;

/** The options of the whole job, chosen together. */
export interface ChosenJob {
  units: Unit[];
  /** Way of each unit (of a held one: what is done when it turns out clear), or `COMES_WITH`. */
  ways: number[];
  /** Unit with which each comes, or -1. */
  hosts: number[];
  shared: Shared[];
  problem: JointProblem;
  choice: number[];
  /** Index of each unit's part in the problem: its own choice, and for a held one what is done when it fires. */
  parts: { own: number; fired: number | null }[];
  /** Ways of each unit's choice in the order of the problem's options; `COMES_WITH` for those of another's. */
  offered: number[][];
  cost: number;
}

/** Builds the problem of the joint choice and solves it. */
export function decideJob(given: readonly Unit[], job: PreparedJob): ChosenJob {
  const units = given.map((unit) => ({ ...unit }));
  const { finish } = job.sliders;
  const shared: Shared[] = [];
  const indexOf = new Map<string, number>();
  const charges: { fixed: number; minimum: number }[] = [];
  const sharedIndex = (sort: Shared['sort'], id: string): number => {
    const key = `${sort}:${id}`;
    let index = indexOf.get(key);
    if (index === undefined) {
      index = shared.length;
      indexOf.set(key, index);
      shared.push({ key, sort, id });
      charges.push(chargeOf(sort, id, job));
    }
    return index;
  };
  const usesOf = (unit: Unit, w: number, courses: readonly Course[], scale: number): Use[] => {
    const uses: Use[] = [];
    const way = unit.ways[w]!;
    const { stretches, buys } = chancesOf(unit, w, courses);
    way.stretches.forEach((stretch, s) => {
      const chance = scale * stretches[s]!;
      if (chance <= 0) return;
      for (const visit of stretch.visits) {
        uses.push({ charge: sharedIndex('batch', visit.batch), chance, quantity: chance * meanOf(visit.work) });
        uses.push({ charge: sharedIndex('trip', visit.process), chance, quantity: 0 });
      }
    });
    const { failsLate, restorable } = courses[w]!;
    const touched = scale * (touches(unit, w) ? 1 : failsLate + restorable);
    if (touched > 0)
      for (const id of unit.charges) uses.push({ charge: sharedIndex('charge', id), chance: touched, quantity: 0 });
    if (buys > 0) {
      for (const id of ordersOf(way.order ?? cheapestOrder(unit.ways), job))
        uses.push({ charge: sharedIndex('order', id), chance: scale * buys, quantity: 0 });
    }
    return merged(uses);
  };

  const parts: { options: Choice[] }[] = [];
  const places: ChosenJob['parts'] = [];
  const offered: number[][] = [];
  const paired = new Set(job.together.filter(({ parts: of }) => of.length > 1).flatMap(({ parts: of }) => of));
  const partIndex = new Map(job.parts.map((part, p) => [part, p] as const));
  units.forEach((unit) => {
    const { held } = unit;
    if (held && (paired.has(partIndex.get(unit.part)!) || (unit.part.groups.length > 1 && replacesAsSet(unit)))) {
      // Its pair waits for the same look: both are reckoned as if it fires.
      unit.allowed = [held.fired];
      unit.held = null;
    }
  });
  units.forEach((unit) => {
    const { held } = unit;
    const courses = coursesOf(unit, finish);
    const scale = held ? 1 - held.chance : 1;
    const options = unit.allowed.map(
      (w): Choice => ({
        cost: scale * costOr(wayCost(unit, w, courses), unit.costs.whole[w]!),
        uses: usesOf(unit, w, courses, scale),
        replaces: unit.ways[w]!.option.action === 'replace',
      }),
    );
    const own = parts.push({ options }) - 1;
    offered.push([...unit.allowed]);
    let fired: number | null = null;
    if (held) {
      const firedCourses = coursesOver(unit.prepared, unit.ways, finish, (effect) => (effect & held.bits) !== 0);
      const option = {
        cost: held.chance * unit.costs.whole[held.fired]!,
        uses: usesOf(unit, held.fired, firedCourses, held.chance),
        replaces: true,
      };
      fired = parts.push({ options: [option] }) - 1;
    }
    places.push({ own, fired });
  });
  addComingWith(units, parts, places, offered);
  if (job.alwaysNew.length > 0) {
    const uses = ordersOf('new', job).map((id) => ({ charge: sharedIndex('order', id), chance: 1, quantity: 0 }));
    parts.push({ options: [{ cost: 0, uses }] });
  }
  const problem: JointProblem = { parts, charges, together: pairsOf(units, places, parts, job) };
  const { choice } = chooseTogether(problem);
  keepTies(units, places, offered, problem, choice);
  const hosts = units.map(() => -1);
  const ways = units.map((unit, u) => {
    const { own } = places[u]!;
    const o = choice[own]!;
    const { needs } = problem.parts[own]!.options[o]!;
    if (needs) hosts[u] = places.findIndex((place) => place.own === needs.part);
    const way = offered[u]![o]!;
    // Replaced whatever the look says: then nothing waits for it.
    if (unit.held && way !== COMES_WITH && unit.ways[way]!.option.action === 'replace') unit.held = null;
    return way;
  });
  return {
    units,
    ways,
    hosts,
    shared,
    problem,
    choice,
    parts: places,
    offered,
    cost: jointCost(problem, choice),
  };
}

function costOr(cost: number, otherwise: number): number {
  return Number.isFinite(cost) ? cost : otherwise;
}

function replacesAsSet({ part }: Unit): boolean {
  return part.groups[0]!.c.compiled.kind.replaceAs !== 'single';
}

/** One use a charge: the likelier chance, the quantities together. */
function merged(uses: readonly Use[]): Use[] {
  const byCharge = new Map<number, Use>();
  for (const use of uses) {
    const before = byCharge.get(use.charge);
    byCharge.set(
      use.charge,
      before
        ? {
            charge: use.charge,
            chance: Math.max(before.chance, use.chance),
            quantity: before.quantity + use.quantity,
          }
        : use,
    );
  }
  return [...byCharge.values()];
}

/** A part may come with the new one it sits in (or runs with), where a supply says so. */
function addComingWith(
  units: readonly Unit[],
  parts: { options: Choice[] }[],
  places: ChosenJob['parts'],
  offered: number[][],
): void {
  units.forEach((host, h) => {
    if (host.held) return;
    const bringing = new Map<string, number[]>();
    offered[h]!.forEach((w, o) => {
      if (w === COMES_WITH) return;
      const { option } = host.ways[w]!;
      const supplies = host.part.component.supplies ?? host.prepared.c.compiled.kind.supplies;
      const supply = option.supply === null ? undefined : supplies.find(({ id }) => id === option.supply);
      for (const kind of supply?.includes ?? []) bringing.set(kind, [...(bringing.get(kind) ?? []), o]);
    });
    if (bringing.size === 0) return;
    units.forEach((unit, u) => {
      const { component } = unit.part;
      const options = bringing.get(component.kind);
      const belongs =
        component.sitsIn === host.part.component.id || (host.part.component.mates ?? []).includes(component.id);
      if (!options || !belongs || u === h || unit.held || component.takenOut) return;
      parts[places[u]!.own]!.options.push({
        cost: 0,
        uses: [],
        replaces: true,
        needs: { part: places[h]!.own, options },
      });
      offered[u]!.push(COMES_WITH);
    });
  });
}

/** Pairs and sets of which all or none are replaced, without those that a person's decision has split. */
function pairsOf(
  units: readonly Unit[],
  places: ChosenJob['parts'],
  parts: readonly { options: Choice[] }[],
  job: PreparedJob,
): number[][] {
  return job.together.flatMap((group) => {
    const members = units.flatMap((unit, u) => (group.parts.some((p) => job.parts[p] === unit.part) ? [u] : []));
    const indices = members.map((u) => places[u]!.own);
    const canAll = (replacing: boolean) =>
      indices.every((i) => parts[i]!.options.some((option) => Boolean(option.replaces) === replacing));
    return indices.length > 1 && (canAll(true) || canAll(false)) ? [indices] : [];
  });
}

/**
 * Within the tie nobody knows which is cheaper: then the part stays with what `score` says of it alone, so that a
 * difference between joint and alone always has money behind it.
 */
function keepTies(
  units: readonly Unit[],
  places: ChosenJob['parts'],
  offered: readonly number[][],
  problem: JointProblem,
  choice: number[],
): void {
  let cost = jointCost(problem, choice);
  units.forEach((unit, u) => {
    const { own } = places[u]!;
    const alone = offered[u]!.indexOf(unit.judged.chosen);
    const before = choice[own]!;
    if (alone < 0 || alone === before) return;
    choice[own] = alone;
    const changed = jointCost(problem, choice);
    const scale = Math.max(problem.parts[own]!.options[alone]!.cost, problem.parts[own]!.options[before]!.cost, 0);
    if (changed - cost <= unit.prepared.c.tie * scale) cost = changed;
    else choice[own] = before;
  });
}
