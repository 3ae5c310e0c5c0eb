import {
  costingOf,
  type Group,
  judgeAll,
  maskOf,
  meanOf,
  type Prepared,
  type PreparedJob,
  type PreparedPart,
} from '../engine/index.ts';
import { priced, sharedCharge } from './circumstances.ts';
import { type Course, coursesOver } from './courses.ts';
import { stretchCost, type Way, waysOf } from './ways.ts';

/** What the joint choice and the joint draws are made of: one group of alike members of one component. */
export interface Unit {
  /** `component|group`. */
  key: string;
  part: PreparedPart;
  group: number;
  prepared: Prepared;
  /** Alone, pairs decided as one: what `score` says. */
  judged: Group['judged'];
  ways: Way[];
  /** Expected costs that need no prices of others: what the choice adds up. */
  costs: UnitCosts;
  /**
   * A knock-out of a part that guards life is open: it is looked at first. `bits` are its effect bits, `hard` those that bar
   * refinishing too, `chance` that any fires; the ways are what is done when it fires and what may be when it does not.
   */
  held: Held | null;
  /** Ways that may be chosen, by index. */
  allowed: number[];
  /** Shared charges its removal or refit needs: ids with their place (`alignment`, `wheel-off@front-left`). */
  charges: string[];
}

export interface Held {
  bits: number;
  hard: number;
  chance: number;
  fired: number;
  /** What is done when only reuse is barred. */
  soft: number;
  clear: number[];
}

export interface UnitCosts {
  /** Cost up to each hold point and of the whole, for each way. */
  upTo: number[][];
  whole: number[];
  /** The whole of each way with its shops paid for it alone. */
  alone: number[];
  bestAfter: number;
  bestRoute: number;
}

/** The units of a job, in the order of their components. */
export function unitsOf(job: PreparedJob, judged: readonly (readonly Group[])[] = judgeAll(job)): Unit[] {
  return job.parts.flatMap((part, p) =>
    part.groups.map((prepared, group): Unit => {
      const ways = waysOf(prepared, job);
      const verdict = judged[p]![group]!.judged;
      const costs = costsOf(prepared, ways, job);
      const held = heldOf(prepared, ways, costs, verdict.chosen, job);
      return {
        key: `${part.component.id}|${group}`,
        part,
        group,
        prepared,
        judged: verdict,
        ways,
        costs,
        held,
        allowed: allowedOf(prepared, ways, verdict.chosen, held, job),
        charges: chargesOf(prepared, job),
      };
    }),
  );
}

function costsOf(prepared: Prepared, ways: readonly Way[], job: PreparedJob): UnitCosts {
  const { bestAfter, bestRoute } = costingOf(prepared.c, job.sliders);
  const upTo: number[][] = [];
  const whole: number[] = [];
  let bestFull = Number.POSITIVE_INFINITY;
  for (const way of ways) {
    let sum = 0;
    const holds: number[] = [];
    for (const stretch of way.stretches) {
      sum += stretchCost(stretch, job);
      if (stretch.knownBits !== null) holds.push(sum);
    }
    upTo.push(holds);
    whole.push(sum + way.option.keepOriginal);
    if (way.option.action === 'replace' && !way.isRefused) bestFull = Math.min(bestFull, whole.at(-1)!);
  }
  const { failsLater } = prepared.c;
  if (failsLater > 0) {
    ways.forEach((way, w) => {
      if (way.option.action === 'reuse') whole[w]! += failsLater * bestFull;
    });
  }
  const alone = ways.map((way, w) => whole[w]! + shopsAlone(way, job));
  return { upTo, whole, alone, bestAfter, bestRoute };
}

/** What a way's shops would cost it alone: the minimum or the work, the set-up, and the trip. */
function shopsAlone({ stretches }: Way, job: PreparedJob): number {
  const going = new Set(job.assessment.batchesGoing ?? []);
  return stretches.reduce((sum, { visits }) => {
    for (const { process, work } of visits) {
      const { minimum, setUpPerColour, handlingHours } = job.tables.process(process);
      if (going.has(process)) sum += meanOf(work);
      else
        sum +=
          Math.max(meanOf(priced(job, minimum)), meanOf(work)) +
          meanOf(priced(job, setUpPerColour)) +
          meanOf(handlingHours) * job.sliders.hourRate;
    }
    return sum;
  }, 0);
}

/** Expected cost of a way over its courses, without what is shared. */
export function wayCost(unit: Unit, way: number, courses: readonly Course[]): number {
  const { passes, failsAt, failsLate, restorable, canBe } = courses[way]!;
  const { option, isRefused } = unit.ways[way]!;
  const { upTo, whole, bestAfter, bestRoute } = unit.costs;
  if (isRefused || (!canBe && option.action !== 'replace')) return Number.POSITIVE_INFINITY;
  if (option.action === 'replace') return whole[way]!;
  let cost = (passes + failsLate + restorable) * whole[way]!;
  if (failsLate > 0) cost += failsLate * bestAfter;
  if (restorable > 0) cost += restorable * Math.min(bestAfter, bestRoute);
  failsAt.forEach((share, k) => {
    if (share > 0) cost += share * (upTo[way]![k]! + bestAfter);
  });
  return cost;
}

/** Chance that a way comes to each of its stretches, and that it ends in buying another part. */
export function chancesOf(unit: Unit, way: number, courses: readonly Course[]): { stretches: number[]; buys: number } {
  const { failsAt, failsLate } = courses[way]!;
  let left = 1;
  const stretches = unit.ways[way]!.stretches.map((_, s) => {
    if (s > 0) left -= failsAt[s - 1] ?? 0;
    return Math.max(0, left);
  });
  const buys = unit.ways[way]!.option.action === 'replace' ? 1 : failsAt.reduce((a, b) => a + b, 0) + failsLate;
  return { stretches, buys };
}

/** Courses of a unit's ways: over all its draws, or (held back by an open knock-out) when that turns out clear. */
export function coursesOf(unit: Unit, finish: number): Course[] {
  const { prepared, ways, held } = unit;
  // A unit is asked many times, and its draws do not change; whether it is held may.
  const before = known.get(unit);
  if (before && before.held === held && before.finish === finish) return before.courses;
  const courses = coursesOver(prepared, ways, finish, held ? (effect) => (effect & held.bits) === 0 : undefined);
  known.set(unit, { held, finish, courses });
  return courses;
}

const known = new WeakMap<Unit, { held: Held | null; finish: number; courses: Course[] }>();

/** Effect bits of the knock-outs that are open: those that bar reuse, and those that bar refinishing too. */
function openBits(prepared: Prepared, finish: number): { reuse: number; refinish: number } {
  const { reuse, refinish } = prepared.outlook(finish).open;
  return { reuse: maskOf(reuse.bits), refinish: maskOf(refinish.bits) };
}

function heldOf(
  prepared: Prepared,
  ways: readonly Way[],
  costs: UnitCosts,
  chosen: number,
  job: PreparedJob,
): Held | null {
  const { finish } = job.sliders;
  const { reuse: bits, refinish: hard } = openBits(prepared, finish);
  const { component, c, drawn } = prepared;
  if (!c.compiled.kind.safetyCritical || component.override || bits === 0) return null;
  if (chosen >= 0 && ways[chosen]!.option.action !== 'replace') return null;
  const clearCourses = coursesOver(prepared, ways, finish, (effect) => (effect & bits) === 0);
  const clear = ways.flatMap((way, w) =>
    way.isRefused || (!clearCourses[w]!.canBe && way.option.action !== 'replace') ? [] : [w],
  );
  // Where replacing is the better choice even when all turns out clear, nothing waits for a look.
  const cheapest = (among: readonly number[]) => among.reduce((a, b) => (costs.alone[b]! < costs.alone[a]! ? b : a));
  if (clear.length === 0 || ways[cheapest(clear)]!.option.action === 'replace') return null;
  let fired = 0;
  drawn.effects.forEach((effect, k) => {
    if (effect & bits) fired += drawn.counts[k]!;
  });
  if (fired === 0 || fired === drawn.draws) return null;
  const routes = clear.filter((w) => ways[w]!.option.action === 'refinish');
  const firedWay = Math.max(0, chosen);
  return {
    bits,
    hard,
    chance: fired / drawn.draws,
    fired: firedWay,
    soft: routes.length > 0 ? cheapest([...routes, firedWay]) : firedWay,
    clear,
  };
}

/** Ways that may be chosen: what a person decided, else all that can be; never reuse over an open knock-out that guards life. */
function allowedOf(
  prepared: Prepared,
  ways: readonly Way[],
  chosen: number,
  held: Held | null,
  job: PreparedJob,
): number[] {
  const { component, c } = prepared;
  if (component.override) {
    const own = ways.flatMap((way, w) =>
      way.option.action === component.override!.action && !way.isRefused ? [w] : [],
    );
    if (own.length > 0) return own;
  }
  if (held) return held.clear;
  const { finish } = job.sliders;
  const courses = coursesOver(prepared, ways, finish);
  const open = openBits(prepared, finish);
  const guards = c.compiled.kind.safetyCritical;
  const able = ways.flatMap((way, w) => {
    const { option } = way;
    if (way.isRefused) return [];
    if (option.action === 'replace') return [w];
    if (!courses[w]!.canBe) return [];
    if (!guards) return [w];
    if (option.action === 'reuse') return open.reuse === 0 ? [w] : [];
    const isShown = way.stretches.some(({ knownBits }) => knownBits !== null && (open.refinish & ~knownBits) === 0);
    return open.refinish === 0 || isShown ? [w] : [];
  });
  return able.length > 0 ? able : [Math.max(0, chosen)];
}

/** Shared charges with their place, and without those that the rubric pays per order. */
function chargesOf({ component, c }: Prepared, job: PreparedJob): string[] {
  return (c.compiled.kind.charges ?? []).flatMap((id) => {
    const { per } = sharedCharge(job.rubric, id);
    if (per === 'order') return [];
    return [per === 'area' ? `${id}@${component.area ?? 'anywhere'}` : id];
  });
}

/** Does this way take the part off or put it back (or has it been taken off already)? */
export function touches(unit: Unit, way: number): boolean {
  return unit.part.component.stage !== 'fitted' || unit.ways[way]!.option.action !== 'reuse';
}
