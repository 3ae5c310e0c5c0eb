import { chargeCost, type JointProblem } from './joint-choice.ts';

/** A choice with the running cost of each charge, so that one part's move costs no more than its own uses. */
export class Ledger {
  readonly choice: number[];
  cost = 0;
  /** Moves made, so that they can be taken back: part and the option it had. */
  readonly moves: [part: number, before: number][] = [];
  private readonly problem: JointProblem;
  private readonly chances: Map<number, number>[];
  private readonly most: Float64Array;
  private readonly quantity: Float64Array;

  constructor(problem: JointProblem, choice: readonly number[]) {
    this.problem = problem;
    this.choice = choice.map(() => -1);
    this.chances = problem.charges.map(() => new Map());
    this.most = new Float64Array(problem.charges.length);
    this.quantity = new Float64Array(problem.charges.length);
    choice.forEach((option, part) => {
      this.set(part, option);
    });
    this.moves.length = 0;
  }

  /** Moves one part; the cost follows. */
  set(part: number, option: number): void {
    const before = this.choice[part]!;
    if (before === option) return;
    this.moves.push([part, before]);
    const { options } = this.problem.parts[part]!;
    if (before >= 0) {
      this.cost -= options[before]!.cost;
      for (const { charge, quantity } of options[before]!.uses) {
        const was = this.of(charge);
        this.quantity[charge]! -= quantity;
        const users = this.chances[charge]!;
        const chance = users.get(part)!;
        users.delete(part);
        if (users.size === 0) {
          this.most[charge] = 0;
          this.quantity[charge] = 0;
        } else if (chance === this.most[charge]) {
          let most = 0;
          for (const other of users.values()) if (other > most) most = other;
          this.most[charge] = most;
        }
        this.cost += this.of(charge) - was;
      }
    }
    this.choice[part] = option;
    this.cost += options[option]!.cost;
    for (const { charge, quantity, chance } of options[option]!.uses) {
      const was = this.of(charge);
      this.quantity[charge]! += quantity;
      this.chances[charge]!.set(part, chance);
      if (chance > this.most[charge]!) this.most[charge] = chance;
      this.cost += this.of(charge) - was;
    }
  }

  /** Takes back every move after the first `count`. */
  undoTo(count: number, cost: number): void {
    while (this.moves.length > count) {
      const [part, before] = this.moves.pop()!;
      this.set(part, before);
      this.moves.pop();
    }
    this.cost = cost;
  }

  isUsed(charge: number): boolean {
    return this.most[charge]! > 0;
  }

  users(charge: number): number[] {
    return [...this.chances[charge]!.keys()];
  }

  private of(charge: number): number {
    const chance = this.most[charge]!;
    return chance > 0 ? chargeCost(this.problem.charges[charge]!, chance, this.quantity[charge]!) : 0;
  }
}
