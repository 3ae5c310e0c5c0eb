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

/** State of one rule, by what is known and by earlier answers that no later one lifts. */
export function stateOf(barring: Barring, facts: Facts): BarringState {
  const truth = barring.condition.ask(facts.knowledge);
  if (truth === 1) return 'fired';
  if (barring.knockOut !== null && standsFired(barring, facts)) return 'fired';
  return truth === 2 ? 'open' : 'clear';
}

/** State of each barring rule of a component under the wanted finish, knock-outs and limits. */
export function barringStates(compiled: CompiledKind, facts: Facts, finish: number): Barred[] {
  const out: Barred[] = [];
  for (const barring of compiled.barrings) {
    if (barring.finish === -1 || barring.finish === finish) out.push({ barring, state: stateOf(barring, facts) });
  }
  return out;
}
