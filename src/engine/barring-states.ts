import type { Barring, CompiledKind } from './compiled-kind.ts';
import { standsFired } from './draws.ts';
import type { Facts } from './facts.ts';
import { FALSE, TRUE, type Truth, truthOfBits, UNKNOWN } from './program.ts';

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
  /** What joins the comparisons of a rule: 0 all of them, 1 any, 2 more than plain comparisons of answers: ask its program. */
  joins: Uint8Array;
  /** First comparison of each rule; one more entry than there are rules. */
  first: Int32Array;
  /** The variable of each comparison, and the bits of its values that satisfy it. */
  variable: Int32Array;
  wanted: Int32Array;
}

const ALL = 0;
const ASK = 2;

/** Lays out rules in their order. */
export function ruleSetOf(barrings: readonly Barring[]): RuleSet {
  const plain = barrings.map(({ condition }) => condition.plain);
  let from = 0;
  return {
    barrings,
    joins: Uint8Array.from(plain, (rule) => (rule === null ? ASK : rule.isAny ? 1 : ALL)),
    first: Int32Array.from([0, ...plain.map((rule) => (from += rule?.variables.length ?? 0))]),
    variable: Int32Array.from(plain.flatMap((rule) => rule?.variables ?? [])),
    wanted: Int32Array.from(plain.flatMap((rule) => rule?.wanted ?? [])),
  };
}

const WORDS = ['clear', 'fired', 'open'] as const;

/** State of each rule, by what is known and by earlier answers that no later one lifts. */
export function statesOf({ barrings, joins, first, variable, wanted }: RuleSet, facts: Facts): BarringState[] {
  const { knowledge, hasStanding } = facts;
  const { possible } = knowledge;
  const states = new Array<BarringState>(joins.length);
  for (let r = 0; r < joins.length; r++) {
    let truth: Truth;
    if (joins[r] === ASK) truth = barrings[r]!.condition.ask(knowledge);
    else {
      // `all` is settled by one that is false, `any` by one that is true.
      const decisive = joins[r] === ALL ? FALSE : TRUE;
      truth = joins[r] === ALL ? TRUE : FALSE;
      for (let at = first[r]!; at < first[r + 1]!; at++) {
        const part = truthOfBits(possible[variable[at]!]!, wanted[at]!);
        if (part === decisive) {
          truth = part;
          break;
        }
        if (part === UNKNOWN) truth = UNKNOWN;
      }
    }
    const stands = hasStanding && truth !== TRUE && barrings[r]!.knockOut !== null && standsFired(barrings[r]!, facts);
    states[r] = stands ? 'fired' : WORDS[truth];
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
