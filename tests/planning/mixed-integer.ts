import type { JointProblem } from '../../src/planning/joint-choice.ts';

/**
 * The same problem in the CPLEX LP format: x for each option, w for the chance with which a charge is paid, z for the
 * greater of its minimum and its quantities, r for a pair replaced.
 */
export function linearProgram(problem: JointProblem): string {
  const goal: string[] = [];
  const rows: string[] = [];
  const whole: string[] = [];
  const term = (factor: number, name: string) => `${factor < 0 ? '-' : '+'} ${Math.abs(factor)} ${name}`;
  const users: { name: string; chance: number; quantity: number }[][] = problem.charges.map(() => []);
  problem.parts.forEach((part, i) => {
    rows.push(`${part.options.map((_, o) => `+ x${i}_${o}`).join(' ')} = 1`);
    part.options.forEach((option, o) => {
      const name = `x${i}_${o}`;
      whole.push(name);
      goal.push(term(option.cost, name));
      for (const use of option.uses) users[use.charge]!.push({ name, chance: use.chance, quantity: use.quantity });
      if (option.needs) {
        const { part: host, options } = option.needs;
        rows.push(`${name} ${options.map((other) => `- x${host}_${other}`).join(' ')} <= 0`);
      }
    });
  });
  problem.charges.forEach((charge, k) => {
    if (users[k]!.length === 0) return;
    goal.push(term(charge.fixed, `w${k}`), term(1, `z${k}`));
    for (const { name, chance } of users[k]!) rows.push(`w${k} - ${chance} ${name} >= 0`);
    rows.push(`z${k} - ${charge.minimum} w${k} >= 0`);
    rows.push(`z${k} ${users[k]!.map(({ name, quantity }) => `- ${quantity} ${name}`).join(' ')} >= 0`);
  });
  problem.together.forEach((group, g) => {
    whole.push(`r${g}`);
    for (const i of group) {
      const replacing = problem.parts[i]!.options.flatMap((option, o) => (option.replaces ? [`+ x${i}_${o}`] : []));
      rows.push(`${replacing.join(' ')} - r${g} = 0`);
    }
  });
  return `Minimize\n cost: ${goal.join('\n ')}\nSubject To\n${rows.map((row, i) => ` c${i}: ${row}`).join('\n')}\nBinary\n ${whole.join('\n ')}\nEnd\n`;
}
