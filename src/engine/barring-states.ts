import type { Barring, CompiledKind } from './compiled-kind.ts';
import { standsFired } from './draws.ts';
import type { Facts } from './facts.ts';
import { TRUE, truthOfBits } from './program.ts';

/** State of a rule that bars something. */
export type BarringState = 'fired' | 'open' | 'clear';

/** A rule with its state. */
export interface Barred {
  barring: Barring;
  state: BarringState;
}

/** Rules laid out flat, so that all of a part's are asked in one short loop. */
export interface RuleSet {
  barrings: readonly Barring[];
  /** The one variable that a rule reads, and the bits of its values that fire it; -1 when there is more to ask. */
  variable: Int32Array;
  values: Int32Array;
}

/** Lays out rules in their order. */
export function ruleSetOf(barrings: readonly Barring[]): RuleSet {
  return {
    barrings,
    variable: Int32Array.from(barrings, ({ condition }) => condition.variables[0] ?? 0),
    values: Int32Array.from(barrings, ({ condition }) => condition.values),
  };
}

const WORDS = ['clear', 'fired', 'open'] as const;

/** State of each rule, by what is known and by earlier answers that no later one lifts. */
export function statesOf({ barrings, variable, values }: RuleSet, facts: Facts): BarringState[] {
  const { knowledge, hasStanding } = facts;
  const { possible } = knowledge;
  const states: BarringState[] = [];
  for (let r = 0; r < values.length; r++) {
    const wanted = values[r]!;
    const truth = wanted < 0 ? barrings[r]!.condition.ask(knowledge) : truthOfBits(possible[variable[r]!]!, wanted);
    const stands = hasStanding && truth !== TRUE && barrings[r]!.knockOut !== null && standsFired(barrings[r]!, facts);
    states.push(stands ? 'fired' : WORDS[truth]);
  }
  return states;
}

/** State of each barring rule of a component under the wanted finish, knock-outs and limits. */
export function barringStates(compiled: CompiledKind, facts: Facts, finish: number): Barred[] {
  const states = statesOf(compiled.rules, facts);
  return compiled.barrings.flatMap((barring, r) =>
    barring.finish === -1 || barring.finish === finish ? [{ barring, state: states[r]! }] : [],
  );
}
