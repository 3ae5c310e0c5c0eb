import type { Barring, CompiledKind } from './compiled-kind.ts';
import type { Fact, Facts } from './facts.ts';
import { fillStream, thresholds } from './streams.ts';
import type { Tables } from './tables.ts';

/**
 * The joint draws of one component, boiled down: which rules fire together, and how often.
 * `effects[k]` is a set of effect bits, `counts[k]` the number of draws that have it.
 */
export interface Drawn {
  draws: number;
  effects: number[];
  counts: number[];
  /** Index into `effects` of each draw. */
  effectOf: Uint16Array;
  /** Listed value of a variable in each draw. */
  valuesOf(variable: number): Uint8Array;
  /** Names of the random streams drawn so far. */
  streams: readonly string[];
}

/** Where the draws of one component come from. */
export interface DrawSource {
  seed: number;
  component: string;
  rustiness: Uint8Array;
  /** Name of the cover that hides a check, or null. */
  coverOf(check: string): string | null;
}

// One buffer serves every stream: it is read before the next is drawn.
let uniform = new Uint32Array(0);

/** Draws the missing answers of one component and asks its rules in each draw. */
export function drawComponent(compiled: CompiledKind, facts: Facts, tables: Tables, source: DrawSource): Drawn {
  const n = source.rustiness.length;
  if (uniform.length !== n) uniform = new Uint32Array(n);
  const cache: (Uint8Array | undefined)[] = [];
  const streams: string[] = [];
  const valuesOf = (variable: number): Uint8Array => {
    const known = cache[variable];
    if (known) return known;
    const values = drawVariable(compiled, variable, facts.facts[variable]!, tables, source, streams);
    cache[variable] = values;
    return values;
  };
  const all = new Int32Array(n);
  const constant = standingEffect(compiled, facts);
  if (constant !== 0) all.fill(constant);
  for (const cluster of compiled.clusters) addCluster(all, cluster, compiled, facts, valuesOf);
  const index = new Map<number, number>();
  const effects: number[] = [];
  const counts: number[] = [];
  const effectOf = new Uint16Array(n);
  let lastEffect = -1;
  let lastIndex = -1;
  for (let d = 0; d < n; d++) {
    const effect = all[d]!;
    if (effect !== lastEffect) {
      let k = index.get(effect);
      if (k === undefined) {
        k = effects.length;
        index.set(effect, k);
        effects.push(effect);
        counts.push(0);
      }
      lastEffect = effect;
      lastIndex = k;
    }
    effectOf[d] = lastIndex;
    counts[lastIndex]!++;
  }
  return { draws: n, effects, counts, effectOf, valuesOf, streams };
}

function drawVariable(
  compiled: CompiledKind,
  variable: number,
  fact: Fact,
  tables: Tables,
  source: DrawSource,
  streams: string[],
): Uint8Array {
  const { id, check, size } = compiled.variables[variable]!;
  const out = new Uint8Array(source.rustiness.length);
  if (fact.state === 'not-applicable') return out;
  const { floor } = fact;
  const only = onlyValue(fact.weights);
  if (only !== null) return out.fill(Math.max(floor, only));
  const cover = fact.weights || !check ? null : source.coverOf(check.id);
  const name = cover === null ? `${source.component}|${id}` : `cover|${cover}`;
  streams.push(name);
  fillStream(uniform, source.seed, name);
  if (fact.weights || !check) {
    const weights = fact.weights ?? [
      1 - tables.rubric.settings.unknownProperty.value,
      tables.rubric.settings.unknownProperty.value,
    ];
    const limits = thresholds(weights);
    for (let d = 0; d < out.length; d++) {
      const u = uniform[d]!;
      let k = 0;
      for (let i = 0; i < limits.length; i++) if (u >= limits[i]!) k++;
      out[d] = Math.max(k, floor);
    }
    return out;
  }
  const steps = size - 1;
  const limits = tables.rustinessLimits(check.rustiness);
  const { rustiness } = source;
  for (let d = 0; d < out.length; d++) {
    const u = uniform[d]!;
    const from = rustiness[d]! * steps;
    let k = 0;
    for (let i = from; i < from + steps; i++) if (u >= limits[i]!) k++;
    out[d] = Math.max(k, floor);
  }
  return out;
}

function onlyValue(weights: ArrayLike<number> | null): number | null {
  if (!weights) return null;
  let only = -1;
  for (let k = 0; k < weights.length; k++) {
    if (weights[k] === 0) continue;
    if (only >= 0) return null;
    only = k;
  }
  return only;
}

type Cluster = CompiledKind['clusters'][number];

function addCluster(
  all: Int32Array,
  cluster: Cluster,
  compiled: CompiledKind,
  facts: Facts,
  valuesOf: (v: number) => Uint8Array,
): void {
  const effects = clusterEffects(cluster, facts);
  const free = cluster.variables.filter((v) => drawnSize(facts.facts[v]!) > 1 || facts.facts[v]!.floor > 0);
  if (free.length === 0) {
    const effect = effects(cluster.variables.map((v) => onlyValue(facts.facts[v]!.weights) ?? 0));
    if (effect !== 0) for (let d = 0; d < all.length; d++) all[d]! |= effect;
    return;
  }
  if (cluster.variables.length === 1) {
    const table = compiled.variables[cluster.variables[0]!]!.figures.map((_, k) => effects([k]));
    if (table.every((effect) => effect === 0)) return;
    const values = valuesOf(cluster.variables[0]!);
    for (let d = 0; d < all.length; d++) all[d]! |= table[values[d]!]!;
    return;
  }
  const columns = cluster.variables.map(valuesOf);
  const radix = cluster.variables.map((v) => compiled.variables[v]!.size);
  const memo = new Map<number, number>();
  const values = new Array<number>(columns.length);
  for (let d = 0; d < all.length; d++) {
    let key = 0;
    for (let i = 0; i < columns.length; i++) key = key * radix[i]! + columns[i]![d]!;
    let effect = memo.get(key);
    if (effect === undefined) {
      for (let i = 0; i < columns.length; i++) values[i] = columns[i]![d]!;
      effect = effects(values);
      memo.set(key, effect);
    }
    all[d]! |= effect;
  }
}

function drawnSize(fact: Fact): number {
  if (fact.state === 'not-applicable') return 1;
  if (!fact.weights) return 2;
  return fact.weights.reduce((count, weight) => count + (weight > 0 ? 1 : 0), 0);
}

/**
 * Effect bits of a cluster for given listed values of its variables.
 *
 * A measured figure stays exact; listed values only stand for the unanswered.
 */
export function clusterEffects(cluster: Cluster, facts: Facts): (values: readonly number[]) => number {
  const possible = Int32Array.from(facts.knowledge.possible);
  const knowledge = { ...facts.knowledge, possible };
  return (values) => {
    cluster.variables.forEach((v, i) => {
      possible[v] = facts.facts[v]!.possible === 0 ? 0 : 1 << values[i]!;
    });
    let effect = 0;
    for (const barring of cluster.barrings) {
      // A derived fact whose size is not known stays open in every draw: it counts as fired.
      if (barring.condition.ask(knowledge) !== 0) effect |= 1 << barring.bit;
    }
    return effect;
  };
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
      const possible = Int32Array.from(facts.knowledge.possible);
      const exact = Float64Array.from(facts.knowledge.exact);
      possible[v] = 1 << standing.value;
      exact[v] = standing.exact;
      if (barring.condition.ask({ ...facts.knowledge, possible, exact }) === 1) return true;
    }
  }
  return false;
}

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
  const knowledge = {
    ...facts.knowledge,
    possible: Int32Array.from(facts.knowledge.possible),
    exact: Float64Array.from(facts.knowledge.exact),
  };
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
function signature(barring: Barring, variable: number, knowledge: Facts['knowledge'], compiled: CompiledKind): string {
  const others = barring.condition.variables.filter((v) => v !== variable);
  const before = others.map((v) => knowledge.possible[v]!);
  let out = '';
  const walk = (i: number): void => {
    if (i === others.length) {
      out += barring.condition.ask(knowledge);
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
