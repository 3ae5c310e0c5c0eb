import type { Barring, CompiledKind } from './compiled-kind.ts';
import { standsFired } from './draws.ts';
import type { Facts } from './facts.ts';

/** State of a rule that bars something. */
export type BarringState = 'fired' | 'open' | 'clear';

/** A rule with its state. */
export interface Barred {
  barring: Barring;
  state: BarringState;
}

/** State of each barring rule of a component under the wanted finish, knock-outs and limits. */
export function barringStates(compiled: CompiledKind, facts: Facts, finish: number): Barred[] {
  return compiled.barrings
    .filter((barring) => barring.finish === -1 || barring.finish === finish)
    .map((barring) => {
      const truth = barring.condition.ask(facts.knowledge);
      const fired = truth === 1 || (barring.knockOut !== null && standsFired(barring, facts));
      return { barring, state: fired ? 'fired' : truth === 2 ? 'open' : 'clear' };
    });
}
