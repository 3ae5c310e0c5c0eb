import type { ChosenJob } from './decide-job.ts';
import { chargeCost } from './joint-choice.ts';

/** What uses each charge under the choice: the two likeliest chances and the quantities together. */
interface Users {
  first: { part: number; chance: number };
  second: number;
  quantity: number;
}

const usersOf = new WeakMap<ChosenJob, Users[]>();

function users(chosen: ChosenJob): Users[] {
  let all = usersOf.get(chosen);
  if (all) return all;
  const { problem, choice } = chosen;
  all = problem.charges.map(() => ({ first: { part: -1, chance: 0 }, second: 0, quantity: 0 }));
  problem.parts.forEach((part, i) => {
    for (const { charge, chance, quantity } of part.options[choice[i]!]!.uses) {
      const own = all![charge]!;
      own.quantity += quantity;
      if (chance > own.first.chance) {
        own.second = own.first.chance;
        own.first = { part: i, chance };
      } else own.second = Math.max(own.second, chance);
    }
  });
  usersOf.set(chosen, all);
  return all;
}

/** What a unit's option costs within the job and as the only one: its own cost with what is shared. */
export function costsOfChoice(chosen: ChosenJob, unit: number, option: number): { joint: number; alone: number } {
  const { problem, parts, choice } = chosen;
  const { own } = parts[unit]!;
  const all = users(chosen);
  const target = problem.parts[own]!.options[option]!;
  const now = problem.parts[own]!.options[choice[own]!]!;
  let joint = target.cost;
  let alone = target.cost;
  for (const use of target.uses) {
    const charge = problem.charges[use.charge]!;
    alone += chargeCost(charge, use.chance, use.quantity);
    const { first, second, quantity } = all[use.charge]!;
    const chance = first.part === own ? second : first.chance;
    const others = quantity - (now.uses.find((other) => other.charge === use.charge)?.quantity ?? 0);
    const without = chance > 0 ? chargeCost(charge, chance, others) : 0;
    joint += chargeCost(charge, Math.max(chance, use.chance), others + use.quantity) - without;
  }
  return { joint, alone };
}
