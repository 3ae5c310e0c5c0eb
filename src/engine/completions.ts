import { type Cluster, clusterEffects, pinned, standingEffect } from './cluster-effects.ts';
import type { Barring, CompiledKind } from './compiled-kind.ts';
import type { Facts } from './facts.ts';
import { ask, type Knowledge } from './program.ts';

/**
 * Every set of effects that some completion of the missing answers has, without randomness.
 */
export function possibleEffects(compiled: CompiledKind, facts: Facts): number[] {
  let all = new Set<number>([standingEffect(compiled, facts)]);
  for (const cluster of compiled.clusters) {
    const own = new Set<number>();
    const effects = clusterEffects(cluster, facts);
    const choices = cluster.variables.map((v) => distinctValues(compiled, cluster, facts, v));
    const walk = (i: number, chosen: number[]): void => {
      if (i === choices.length) {
        own.add(effects(chosen));
        return;
      }
      for (const value of choices[i]!) {
        chosen[i] = value;
        walk(i + 1, chosen);
      }
    };
    walk(0, []);
    if (own.size === 1 && own.has(0)) continue;
    const joined = new Set<number>();
    for (const a of all) for (const b of own) joined.add(a | b);
    all = joined;
  }
  return [...all].sort((a, b) => a - b);
}

/** Possible values of a variable, one of each sort that its rules tell apart when asked alone. */
function distinctValues(compiled: CompiledKind, cluster: Cluster, facts: Facts, variable: number): number[] {
  const { possible, state } = facts.facts[variable]!;
  if (state === 'not-applicable') return [0];
  const listed = compiled.variables[variable]!.figures.map((_, k) => k).filter((k) => possible & (1 << k));
  if (cluster.variables.length === 1) return listed;
  // Values between which no comparison changes need not be tried one by one: keep each run's first.
  const knowledge = pinned(facts);
  const seen = new Map<string, number>();
  for (const k of listed) {
    knowledge.possible[variable] = 1 << k;
    const key = cluster.barrings
      .filter((b) => b.condition.variables.includes(variable))
      .map((b) => signature(b, variable, knowledge, compiled))
      .join('|');
    if (!seen.has(key)) seen.set(key, k);
  }
  return [...seen.values()];
}

/** How a rule answers with one variable fixed and each of the others at each of its listed values in turn. */
function signature(barring: Barring, variable: number, knowledge: Knowledge, compiled: CompiledKind): string {
  const others = barring.condition.variables.filter((v) => v !== variable);
  const before = others.map((v) => knowledge.possible[v]!);
  let out = '';
  const walk = (i: number): void => {
    if (i === others.length) {
      out += ask(barring.condition, knowledge);
      return;
    }
    for (let k = 0; k < compiled.variables[others[i]!]!.size; k++) {
      knowledge.possible[others[i]!] = 1 << k;
      walk(i + 1);
    }
    knowledge.possible[others[i]!] = before[i]!;
  };
  walk(0);
  return out;
}
