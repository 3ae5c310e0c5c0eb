import { standsFired } from './cluster-effects.ts';
import type { Barring, CompiledKind } from './compiled-kind.ts';
import type { Facts } from './facts.ts';
import { ask, TRUE } from './program.ts';

/** State of a rule that bars something. */
export type BarringState = 'fired' | 'open' | 'clear';

/** A rule with its state. */
export interface Barred {
  barring: Barring;
  state: BarringState;
}

const WORDS = ['clear', 'open', 'fired'] as const;

/** State of each rule, by what is known and by earlier answers that no later one lifts. */
export function statesOf(barrings: readonly Barring[], facts: Facts): BarringState[] {
  return barrings.map((barring) => {
    const truth = ask(barring.condition, facts.knowledge);
    const stands = facts.hasStanding && truth !== TRUE && barring.knockOut !== null && standsFired(barring, facts);
    return stands ? 'fired' : WORDS[truth];
  });
}

/** State of each barring rule of a component under the wanted finish, knock-outs and limits. */
export function barringStates(compiled: CompiledKind, facts: Facts, finish: number): Barred[] {
  const states = statesOf(compiled.barrings, facts);
  return compiled.barrings.flatMap((barring, r) =>
    barring.finish === -1 || barring.finish === finish ? [{ barring, state: states[r]! }] : [],
  );
}
