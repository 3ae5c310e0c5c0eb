import type { Barring, CompiledKind } from './compiled-kind.ts';
import type { Facts } from './facts.ts';
import { ask, FALSE, type Knowledge, TRUE } from './program.ts';

/** Variables that rules tie together, with those rules. */
export type Cluster = CompiledKind['clusters'][number];

/**
 * Effect bits of a cluster for given listed values of its variables.
 *
 * A measured figure stays exact; listed values only stand for the unanswered.
 */
export function clusterEffects(cluster: Cluster, facts: Facts): (values: readonly number[]) => number {
  const knowledge = pinned(facts);
  const { possible } = knowledge;
  return (values) => {
    cluster.variables.forEach((v, i) => {
      possible[v] = facts.facts[v]!.possible === 0 ? 0 : 1 << values[i]!;
    });
    let effect = 0;
    for (const barring of cluster.barrings) {
      // A derived fact whose size is not known stays open in every draw: it counts as fired.
      if (ask(barring.condition, knowledge) !== FALSE) effect |= 1 << barring.bit;
    }
    return effect;
  };
}

/** A copy of what is known for trying values: whatever was measured stays at its figure, a listed one too. */
export function pinned({ facts, knowledge }: Facts): Knowledge & { exact: number[] } {
  const { possible, properties } = knowledge;
  return { possible: [...possible], exact: facts.map(({ exact }) => exact), properties };
}

/** Effects of earlier answers by a stronger method that no later one lifts. */
export function standingEffect(compiled: CompiledKind, facts: Facts): number {
  let effect = 0;
  for (const barring of compiled.barrings)
    if (barring.knockOut && standsFired(barring, facts)) effect |= 1 << barring.bit;
  return effect;
}

/** Does an earlier answer, found by a stronger method than any later one, still fire this rule? */
export function standsFired(barring: Barring, facts: Facts): boolean {
  if (!facts.hasStanding) return false;
  for (const v of barring.condition.variables) {
    for (const standing of facts.facts[v]!.standing) {
      const knowledge = pinned(facts);
      knowledge.possible[v] = 1 << standing.value;
      knowledge.exact[v] = standing.exact;
      if (ask(barring.condition, knowledge) === TRUE) return true;
    }
  }
  return false;
}
