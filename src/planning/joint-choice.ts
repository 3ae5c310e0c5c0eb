import { searchByDescent } from './joint-search.ts';

/** What is paid once for all parts that use it: `fixed`, and the greater of `minimum` and what their quantities come to. */
export interface Charge {
  /** Money (with own time at the owner's figure) paid once if any part uses it, 0 or more. */
  fixed: number;
  /** The least that the quantities are charged at, 0 or more. */
  minimum: number;
}

/** That an option uses a charge. */
export interface Use {
  /** Index of the charge. */
  charge: number;
  /** Chance, above 0 to 1, that it comes to it: hold points lie before. Parts are taken to fail together, as rust makes them. */
  chance: number;
  /** Expected quantity times rate, money, 0 or more. */
  quantity: number;
}

/** One way to deal with one part. */
export interface Choice {
  /** Expected cost without what is shared; may be below 0 for a gain. */
  cost: number;
  uses: readonly Use[];
  /** Only possible when another part takes one of these options (a joint that comes only with its arm). */
  needs?: { part: number; options: readonly number[] };
  /** Counts as replacing, for pairs and sets. */
  replaces?: boolean;
}

/** Parts to be decided together. */
export interface JointProblem {
  parts: readonly { options: readonly Choice[] }[];
  charges: readonly Charge[];
  /** Parts (by index) of which all or none are replaced. No part is in two of them. */
  together: readonly (readonly number[])[];
}

/** The option of each part, by index. */
export interface JointAnswer {
  choice: number[];
  cost: number;
}

/** Sizes up to which every combination is weighed: more than 4 options for 8 parts and 2 for 12. */
const MOST_COMBINATIONS = 70_000;
const SMALL = 1e-9;

/** What one charge comes to for the parts that use it. */
export function chargeCost(charge: Charge, chance: number, quantity: number): number {
  return charge.fixed * chance + Math.max(charge.minimum * chance, quantity);
}

/**
 * Expected cost of a choice, with each charge paid once.
 *
 * @param choice one option a part, by index
 * @returns Infinity when a pair is split or an option lacks what it needs
 */
export function jointCost(problem: JointProblem, choice: readonly number[]): number {
  if (!isPossible(problem, choice)) return Number.POSITIVE_INFINITY;
  const chance = new Float64Array(problem.charges.length);
  const quantity = new Float64Array(problem.charges.length);
  let cost = 0;
  problem.parts.forEach((part, i) => {
    const option = part.options[choice[i]!]!;
    cost += option.cost;
    for (const use of option.uses) {
      chance[use.charge] = Math.max(chance[use.charge]!, use.chance);
      quantity[use.charge]! += use.quantity;
    }
  });
  problem.charges.forEach((charge, k) => {
    if (chance[k]! > 0) cost += chargeCost(charge, chance[k]!, quantity[k]!);
  });
  return cost;
}

function isPossible(problem: JointProblem, choice: readonly number[]): boolean {
  for (let i = 0; i < choice.length; i++) {
    const option = problem.parts[i]!.options[choice[i]!]!;
    if (!Number.isFinite(option.cost)) return false;
    if (option.needs && !option.needs.options.includes(choice[option.needs.part]!)) return false;
  }
  return problem.together.every((group) => {
    const first = Boolean(problem.parts[group[0]!]!.options[choice[group[0]!]!]!.replaces);
    return group.every((i) => Boolean(problem.parts[i]!.options[choice[i]!]!.replaces) === first);
  });
}

/**
 * Chooses the options of all parts together for the least expected cost, each shared charge paid once.
 *
 * Parts that share nothing are decided apart. A group of parts with few combinations is searched to the end (branch and
 * bound), a larger one by descent from many starts: charges taken as paid or not, and each charge opened or closed with all
 * its parts at once. No randomness; ties go to the lower option.
 *
 * @throws RangeError when a part has no option, or no choice is possible at all
 */
export function chooseTogether(problem: JointProblem): JointAnswer {
  problem.parts.forEach((part, i) => {
    if (!part.options.some((option) => Number.isFinite(option.cost)))
      throw new RangeError(`Cannot choose for part ${i}: wanted an option that is possible, found none`);
  });
  const choice = new Array<number>(problem.parts.length).fill(0);
  const simple = simplified(problem);
  for (const members of clusters(simple)) {
    const own = restrict(simple, members);
    const answer = combinations(own) <= MOST_COMBINATIONS ? searchAll(own) : searchByDescent(own);
    if (!Number.isFinite(answer.cost))
      throw new RangeError('Cannot choose together: wanted a choice that keeps pairs and needs, found none');
    members.forEach((i, k) => {
      choice[i] = answer.choice[k]!;
    });
  }
  return { choice, cost: jointCost(problem, choice) };
}

/**
 * The same problem with less to search: a charge without a minimum that some part pays whatever it does is no choice; one
 * that only one part can use, or that costs nothing but its quantities, belongs to the options themselves. The costs change
 * by a constant at most.
 */
function simplified(problem: JointProblem): JointProblem {
  const { charges, parts } = problem;
  const isPaid = charges.map(() => false);
  const onlyUser = charges.map(() => -1);
  parts.forEach((part, i) => {
    const able = part.options.filter((option) => Number.isFinite(option.cost));
    const always = new Map<number, number>();
    for (const option of able) {
      for (const { charge, chance } of option.uses) {
        onlyUser[charge] = onlyUser[charge] === -1 || onlyUser[charge] === i ? i : -2;
        if (chance >= 1) always.set(charge, (always.get(charge) ?? 0) + 1);
      }
    }
    for (const [charge, times] of always)
      if (times === able.length && charges[charge]!.minimum === 0) isPaid[charge] = true;
  });
  const isPlain = charges.map((charge, k) => isPaid[k] || (charge.fixed === 0 && charge.minimum === 0));
  return {
    charges,
    together: problem.together,
    parts: parts.map((part) => ({
      options: part.options.map((option) => {
        let { cost } = option;
        const uses = option.uses.filter(({ charge, chance, quantity }) => {
          if (isPlain[charge]) cost += quantity;
          else if (onlyUser[charge]! >= 0) cost += chargeCost(charges[charge]!, chance, quantity);
          else return true;
          return false;
        });
        return { ...option, cost, uses };
      }),
    })),
  };
}

/** Groups of parts that hang together by a charge, a need or a pair, each in ascending order. */
function clusters(problem: JointProblem): number[][] {
  const parent = problem.parts.map((_, i) => i);
  const find = (i: number): number => {
    let root = i;
    while (parent[root] !== root) root = parent[root]!;
    for (let here = i; parent[here] !== root; ) {
      const next = parent[here]!;
      parent[here] = root;
      here = next;
    }
    return root;
  };
  const join = (a: number, b: number) => {
    parent[find(a)] = find(b);
  };
  const userOf = new Map<number, number>();
  problem.parts.forEach((part, i) => {
    for (const option of part.options) {
      if (option.needs) join(i, option.needs.part);
      for (const { charge } of option.uses) {
        const other = userOf.get(charge);
        if (other === undefined) userOf.set(charge, i);
        else join(i, other);
      }
    }
  });
  for (const group of problem.together) for (const i of group) join(i, group[0]!);
  const groups = new Map<number, number[]>();
  problem.parts.forEach((_, i) => {
    const root = find(i);
    const group = groups.get(root);
    if (group) group.push(i);
    else groups.set(root, [i]);
  });
  return [...groups.values()];
}

function restrict(problem: JointProblem, members: readonly number[]): JointProblem {
  if (members.length === problem.parts.length) return problem;
  const place = new Map(members.map((i, k) => [i, k] as const));
  return {
    charges: problem.charges,
    parts: members.map((i) => ({
      options: problem.parts[i]!.options.map((option) =>
        option.needs ? { ...option, needs: { ...option.needs, part: place.get(option.needs.part)! } } : option,
      ),
    })),
    together: problem.together.filter((group) => place.has(group[0]!)).map((group) => group.map((i) => place.get(i)!)),
  };
}

function combinations(problem: JointProblem): number {
  let product = 1;
  for (const part of problem.parts) {
    product *= part.options.filter((option) => Number.isFinite(option.cost)).length;
    if (product > MOST_COMBINATIONS) return Number.POSITIVE_INFINITY;
  }
  return product;
}

/** Branch and bound over every combination; a branch is left when what is spent and the least of the rest is no better. */
function searchAll(problem: JointProblem): JointAnswer {
  const { parts, charges } = problem;
  const n = parts.length;
  // What the parts from i on cost at least: their cheapest options with no charge at all.
  const least = new Float64Array(n + 1);
  for (let i = n - 1; i >= 0; i--)
    least[i] = least[i + 1]! + Math.min(...parts[i]!.options.map((option) => option.cost));
  const choice = new Array<number>(n).fill(-1);
  const chance = new Float64Array(charges.length);
  const quantity = new Float64Array(charges.length);
  let best: JointAnswer = { choice: [], cost: Number.POSITIVE_INFINITY };
  const walk = (i: number, spent: number): void => {
    if (spent + least[i]! >= best.cost - SMALL) return;
    if (i === n) {
      if (isPossible(problem, choice)) best = { choice: [...choice], cost: spent };
      return;
    }
    parts[i]!.options.forEach((option, o) => {
      if (!Number.isFinite(option.cost)) return;
      let cost = spent + option.cost;
      const before = option.uses.map(({ charge }) => [chance[charge]!, quantity[charge]!] as const);
      for (const use of option.uses) {
        const k = use.charge;
        const was = chance[k]! > 0 ? chargeCost(charges[k]!, chance[k]!, quantity[k]!) : 0;
        chance[k] = Math.max(chance[k]!, use.chance);
        quantity[k]! += use.quantity;
        cost += chargeCost(charges[k]!, chance[k]!, quantity[k]!) - was;
      }
      choice[i] = o;
      walk(i + 1, cost);
      for (let u = option.uses.length - 1; u >= 0; u--) {
        const k = option.uses[u]!.charge;
        chance[k] = before[u]![0];
        quantity[k] = before[u]![1];
      }
    });
  };
  walk(0, 0);
  return best;
}
