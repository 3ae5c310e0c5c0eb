import { chargeCost, type JointAnswer, type JointProblem, jointCost } from './joint-choice.ts';
import { Ledger } from './joint-ledger.ts';

/** How a trial treats a charge: not paid, paid with room left under its minimum, paid and past it. */
type Trial = 'closed' | 'under' | 'past';

const TRIALS: readonly Trial[] = ['closed', 'under', 'past'];
// Descents from the best few trials; more of them no longer find anything better on jobs of two hundred parts.
const STARTS = 6;
const LEAST_GAIN = 1e-9;

/** What hangs together by rule: pairs, and parts that come with another. */
interface Ties {
  groupOf: (readonly number[] | undefined)[];
  dependants: number[][];
}

function tiesOf(problem: JointProblem): Ties {
  const groupOf: Ties['groupOf'] = problem.parts.map(() => undefined);
  for (const group of problem.together) for (const i of group) groupOf[i] = group;
  const dependants: number[][] = problem.parts.map(() => []);
  problem.parts.forEach((part, i) => {
    for (const option of part.options) {
      if (option.needs && !dependants[option.needs.part]!.includes(i)) dependants[option.needs.part]!.push(i);
    }
  });
  return { groupOf, dependants };
}

/**
 * Descends from many starts towards the least cost of a large cluster: trials of charges paid or not, then moves of single
 * parts, pairs, hosts with what comes with them, and whole charges.
 */
export function searchByDescent(problem: JointProblem): JointAnswer {
  const ties = tiesOf(problem);
  let best: JointAnswer = { choice: [], cost: Number.POSITIVE_INFINITY };
  for (const start of startsOf(problem, ties)) {
    const ledger = new Ledger(problem, start);
    descend(problem, ledger, ties);
    const cost = jointCost(problem, ledger.choice);
    if (cost < best.cost - LEAST_GAIN) best = { choice: [...ledger.choice], cost };
  }
  return best;
}

/** The best answers of the parts to different charges being paid or not: hill-climbing over the charges' trials. */
function startsOf(problem: JointProblem, ties: Ties): number[][] {
  const found = new Map<string, { choice: number[]; cost: number }>();
  const tried = new Map<string, number>();
  const ask = (trial: readonly Trial[]): number => {
    const key = trial.join();
    const known = tried.get(key);
    if (known !== undefined) return known;
    const choice = respond(problem, trial, ties);
    const cost = jointCost(problem, choice);
    tried.set(key, cost);
    if (Number.isFinite(cost)) found.set(choice.join(), { choice, cost });
    return cost;
  };
  const all = problem.charges.map((_, k) => k);
  const used = all.filter((k) => problem.parts.some((p) => p.options.some((o) => o.uses.some((u) => u.charge === k))));
  for (const first of TRIALS) {
    const trial: Trial[] = problem.charges.map(() => first);
    let cost = ask(trial);
    for (let isBetter = true; isBetter; ) {
      isBetter = false;
      for (const k of used) {
        const was = trial[k]!;
        let keep = was;
        for (const other of TRIALS) {
          if (other === was) continue;
          trial[k] = other;
          const next = ask(trial);
          if (next < cost - LEAST_GAIN) {
            cost = next;
            keep = other;
            isBetter = true;
          }
        }
        trial[k] = keep;
      }
    }
  }
  return [...found.values()]
    .sort((a, b) => a.cost - b.cost)
    .slice(0, STARTS)
    .map(({ choice }) => choice);
}

/** What each part would choose if these charges were paid already and the others cost their full price to each. */
function respond(problem: JointProblem, trial: readonly Trial[], { groupOf }: Ties): number[] {
  const costOf = (part: number, option: number): number => {
    const { cost, uses } = problem.parts[part]!.options[option]!;
    let sum = cost;
    for (const use of uses) {
      const state = trial[use.charge]!;
      if (state === 'past') sum += use.quantity;
      else if (state === 'closed') sum += chargeCost(problem.charges[use.charge]!, use.chance, use.quantity);
    }
    return sum;
  };
  const best = (part: number, choice: readonly number[], replaces?: boolean): [option: number, cost: number] => {
    let option = -1;
    let least = Number.POSITIVE_INFINITY;
    problem.parts[part]!.options.forEach((candidate, o) => {
      if (replaces !== undefined && Boolean(candidate.replaces) !== replaces) return;
      if (candidate.needs && !candidate.needs.options.includes(choice[candidate.needs.part] ?? -1)) return;
      const cost = costOf(part, o);
      if (cost < least) {
        least = cost;
        option = o;
      }
    });
    return [option, least];
  };
  const choice = new Array<number>(problem.parts.length).fill(-1);
  // Hosts first, so that what comes with them can follow.
  const order = problem.parts
    .map((part, i) => ({ i, follows: part.options.some((option) => option.needs) }))
    .sort((a, b) => Number(a.follows) - Number(b.follows) || a.i - b.i);
  for (const { i } of order) {
    if (choice[i] !== -1) continue;
    const group = groupOf[i];
    if (!group) {
      choice[i] = best(i, choice)[0];
      continue;
    }
    const kept = group.map((member) => best(member, choice, false));
    const replaced = group.map((member) => best(member, choice, true));
    const sum = (answers: readonly [number, number][]) => answers.reduce((total, [, cost]) => total + cost, 0);
    const answers = sum(replaced) < sum(kept) ? replaced : kept;
    group.forEach((member, k) => {
      choice[member] = answers[k]![0];
    });
  }
  return choice.map((option) => Math.max(0, option));
}

function descend(problem: JointProblem, ledger: Ledger, ties: Ties): void {
  for (let isBetter = true; isBetter; ) {
    isBetter = false;
    for (let part = 0; part < problem.parts.length; part++)
      if (improvePart(problem, ledger, ties, part)) isBetter = true;
    if (isBetter) continue;
    for (let k = 0; k < problem.charges.length && !isBetter; k++) isBetter = improveCharge(problem, ledger, ties, k);
  }
}

/** Tries each option of one part, taking along its pair and what comes with it. */
function improvePart(problem: JointProblem, ledger: Ledger, ties: Ties, part: number): boolean {
  let isBetter = false;
  problem.parts[part]!.options.forEach((option, o) => {
    if (o === ledger.choice[part] || !Number.isFinite(option.cost)) return;
    if (attempt(problem, ledger, ties, () => moveTo(problem, ledger, ties, part, o))) isBetter = true;
  });
  return isBetter;
}

/** Does something to the ledger and keeps it only when the cost falls and pairs and needs are kept. */
function attempt(problem: JointProblem, ledger: Ledger, ties: Ties, change: () => boolean): boolean {
  const { cost, moves } = ledger;
  const count = moves.length;
  const isKept = (part: number): boolean => {
    const option = problem.parts[part]!.options[ledger.choice[part]!]!;
    const needsOf = (i: number) => problem.parts[i]!.options[ledger.choice[i]!]!.needs;
    return (
      [part, ...ties.dependants[part]!].every((i) => {
        const needs = needsOf(i);
        return !needs || needs.options.includes(ledger.choice[needs.part]!);
      }) &&
      (ties.groupOf[part] ?? []).every(
        (mate) => Boolean(problem.parts[mate]!.options[ledger.choice[mate]!]!.replaces) === Boolean(option.replaces),
      )
    );
  };
  if (change() && ledger.cost < cost - LEAST_GAIN && moves.slice(count).every(([part]) => isKept(part))) return true;
  ledger.undoTo(count, cost);
  return false;
}

/** Moves a part to an option and everything that must follow: its host, its pair, what came with it. */
function moveTo(problem: JointProblem, ledger: Ledger, ties: Ties, part: number, option: number): boolean {
  const target = problem.parts[part]!.options[option]!;
  if (target.needs && !target.needs.options.includes(ledger.choice[target.needs.part]!)) {
    const host = target.needs.part;
    const cheapest = leastOf(problem, ledger, host, (_, o) => target.needs!.options.includes(o));
    if (cheapest < 0 || !moveTo(problem, ledger, ties, host, cheapest)) return false;
  }
  ledger.set(part, option);
  for (const mate of ties.groupOf[part] ?? []) {
    const mateOption = problem.parts[mate]!.options[ledger.choice[mate]!]!;
    if (mate === part || Boolean(mateOption.replaces) === Boolean(target.replaces)) continue;
    const other = leastOf(problem, ledger, mate, (o) => Boolean(o.replaces) === Boolean(target.replaces));
    if (other < 0) return false;
    ledger.set(mate, other);
    if (!freeDependants(problem, ledger, ties, mate)) return false;
  }
  return freeDependants(problem, ledger, ties, part);
}

/** Gives what came with a part another option when the part no longer brings it. */
function freeDependants(problem: JointProblem, ledger: Ledger, ties: Ties, host: number): boolean {
  for (const dependant of ties.dependants[host]!) {
    const { needs } = problem.parts[dependant]!.options[ledger.choice[dependant]!]!;
    if (!needs || needs.options.includes(ledger.choice[needs.part]!)) continue;
    const mustReplace = ties.groupOf[dependant] ? true : undefined;
    const other = leastOf(
      problem,
      ledger,
      dependant,
      (o) => !o.needs && (mustReplace === undefined || Boolean(o.replaces) === mustReplace),
    );
    if (other < 0) return false;
    ledger.set(dependant, other);
  }
  return true;
}

/** Option of a part that costs least as things stand, among those that qualify; -1 when none does. */
function leastOf(
  problem: JointProblem,
  ledger: Ledger,
  part: number,
  qualifies: (option: JointProblem['parts'][number]['options'][number], index: number) => boolean,
): number {
  const { cost, moves } = ledger;
  const count = moves.length;
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  problem.parts[part]!.options.forEach((option, o) => {
    if (!Number.isFinite(option.cost) || !qualifies(option, o)) return;
    if (option.needs && !option.needs.options.includes(ledger.choice[option.needs.part]!)) return;
    ledger.set(part, o);
    if (ledger.cost < least) {
      least = ledger.cost;
      best = o;
    }
  });
  ledger.undoTo(count, cost);
  return best;
}

/** Closes a charge by moving all its users off it, or opens it by letting every part that gains by it come. */
function improveCharge(problem: JointProblem, ledger: Ledger, ties: Ties, charge: number): boolean {
  const usesIt = (option: JointProblem['parts'][number]['options'][number]) =>
    option.uses.some((use) => use.charge === charge);
  if (ledger.isUsed(charge)) {
    const close = () =>
      ledger.users(charge).every((part) => {
        const other = leastOf(problem, ledger, part, (option) => !usesIt(option));
        return other >= 0 && moveTo(problem, ledger, ties, part, other);
      });
    if (attempt(problem, ledger, ties, close)) return true;
  }
  const open = () => {
    let moved = false;
    problem.parts.forEach((part, i) => {
      const now = part.options[ledger.choice[i]!]!;
      if (usesIt(now)) return;
      const other = leastOf(problem, ledger, i, usesIt);
      if (other < 0) return;
      // What it would cost with the charge itself already paid.
      const gain = now.cost - part.options[other]!.cost;
      if (gain > 0 && moveTo(problem, ledger, ties, i, other)) moved = true;
    });
    return moved;
  };
  return attempt(problem, ledger, ties, () => open() && settle(problem, ledger, ties));
}

/** Lets single parts drift to where they cost least, without moving charges. */
function settle(problem: JointProblem, ledger: Ledger, ties: Ties): boolean {
  for (let isBetter = true; isBetter; ) {
    isBetter = false;
    for (let part = 0; part < problem.parts.length; part++)
      if (improvePart(problem, ledger, ties, part)) isBetter = true;
  }
  return true;
}
