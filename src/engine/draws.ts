import { type Cluster, clusterEffects, standingEffect } from './cluster-effects.ts';
import type { Columns } from './columns.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Fact, Facts } from './facts.ts';
import { fillByRow, fillByRows, fillStream, rowsOf } from './streams.ts';
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
  effectOf: Uint8Array | Uint16Array;
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
  columns: Columns;
  /** Name of the cover that hides a check, or null. */
  coverOf(check: string): string | null;
}

// One buffer serves every stream: it is read before the next is drawn.
let uniform = new Uint32Array(0);
// Likewise one for the effects of all rules together.
let together = new Int32Array(0);
let indices = new Uint16Array(0);

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
    if (!source.columns.isFull()) cache[variable] = values;
    return values;
  };
  if (together.length !== n) together = new Int32Array(n);
  const all = together;
  const free = compiled.clusters.map((cluster) => freeIn(cluster, facts));
  let constant = standingEffect(compiled, facts);
  compiled.clusters.forEach((cluster, i) => {
    if (free[i]!.length === 0) constant |= knownEffect(cluster, facts);
  });
  all.fill(constant);
  const singles: Single[] = [];
  compiled.clusters.forEach((cluster, i) => {
    if (free[i]!.length === 0) return;
    if (cluster.variables.length > 1) addCluster(all, cluster, free[i]!, compiled, facts, valuesOf);
    else singles.push(...singleOf(cluster, compiled, facts, valuesOf));
  });
  addSingles(all, singles);
  if (indices.length !== n) indices = new Uint16Array(n);
  const { effects, counts } = sortOut(all, indices, compiled.groups.length);
  return {
    draws: n,
    effects,
    counts,
    effectOf: effects.length <= 256 ? new Uint8Array(indices) : indices.slice(),
    valuesOf,
    streams,
  };
}

// Effects of up to this many bits are looked up in a plain table.
const MOST_BITS = 12;

/** Lists the effects that occur, in the order in which they first do, with how often; `indices` gets the place of each draw's. */
function sortOut(all: Int32Array, indices: Uint16Array, bits: number): { effects: number[]; counts: number[] } {
  const effects: number[] = [];
  const counts: number[] = [];
  const table = new Uint16Array(bits <= MOST_BITS ? 1 << bits : 0);
  const map = new Map<number, number>();
  for (let d = 0; d < all.length; d++) {
    const effect = all[d]!;
    // One more than the place, so that 0 stands for not met yet.
    let next = table.length > 0 ? table[effect]! : (map.get(effect) ?? 0);
    if (next === 0) {
      next = effects.push(effect);
      counts.push(0);
      if (table.length > 0) table[effect] = next;
      else map.set(effect, next);
    }
    indices[d] = next - 1;
    counts[next - 1]!++;
  }
  return { effects, counts };
}

function drawVariable(
  compiled: CompiledKind,
  variable: number,
  fact: Fact,
  tables: Tables,
  source: DrawSource,
  streams: string[],
): Uint8Array {
  const { id, check } = compiled.variables[variable]!;
  const out = source.columns.take();
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
    fillByRow(out, uniform, rowsOf([weights]));
  } else fillByRows(out, uniform, source.rustiness, tables.rustinessRows(check.rustiness));
  if (floor > 0) for (let d = 0; d < out.length; d++) out[d] = Math.max(out[d]!, floor);
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

/** Variables of a cluster that more than one value can be drawn for. */
function freeIn(cluster: Cluster, facts: Facts): number[] {
  return cluster.variables.filter((v) => drawnSize(facts.facts[v]!) > 1 || facts.facts[v]!.floor > 0);
}

/** Effects of a cluster in which nothing is drawn. */
function knownEffect(cluster: Cluster, facts: Facts): number {
  return clusterEffects(cluster, facts)(cluster.variables.map((v) => onlyValue(facts.facts[v]!.weights) ?? 0));
}

// Combinations of values kept in a plain table; effects use 30 bits, so -1 stands for one not asked yet.
const MOST_KEYS = 65_536;

function addCluster(
  all: Int32Array,
  cluster: Cluster,
  free: readonly number[],
  compiled: CompiledKind,
  facts: Facts,
  valuesOf: (v: number) => Uint8Array,
): void {
  const effects = clusterEffects(cluster, facts);
  const columns = free.map(valuesOf);
  const radix = free.map((v) => compiled.variables[v]!.size);
  const places = free.map((v) => cluster.variables.indexOf(v));
  const values = cluster.variables.map((v) => onlyValue(facts.facts[v]!.weights) ?? 0);
  const ask = (d: number): number => {
    for (let i = 0; i < columns.length; i++) values[places[i]!] = columns[i]![d]!;
    return effects(values);
  };
  const keys = radix.reduce((all, size) => all * size, 1);
  if (keys <= MOST_KEYS) addByTable(all, columns, radix, new Int32Array(keys).fill(-1), ask);
  else addByMap(all, columns, radix, ask);
}

/** A cluster of one variable: its listed value in each draw, and the effects of each listed value. */
interface Single {
  values: Uint8Array;
  table: Int32Array;
}

/** None when no value has an effect. */
function singleOf(
  cluster: Cluster,
  compiled: CompiledKind,
  facts: Facts,
  valuesOf: (v: number) => Uint8Array,
): Single[] {
  const [variable] = cluster.variables as [number];
  const effects = clusterEffects(cluster, facts);
  const table = Int32Array.from(compiled.variables[variable]!.figures, (_, k) => effects([k]));
  return table.some((effect) => effect !== 0) ? [{ values: valuesOf(variable), table }] : [];
}

/** Adds the effects of single variables to each draw's, two at a time: half the reading and writing of all draws. */
function addSingles(all: Int32Array, singles: readonly Single[]): void {
  for (let i = 0; i < singles.length; i += 2) {
    const { values: a, table: effectsOfA } = singles[i]!;
    const { values: b, table: effectsOfB } = singles[i + 1] ?? singles[i]!;
    for (let d = 0; d < all.length; d++) all[d]! |= effectsOfA[a[d]!]! | effectsOfB[b[d]!]!;
  }
}

/** Adds the effects of a cluster to each draw's; combinations met before are looked up. */
function addByTable(
  all: Int32Array,
  columns: readonly Uint8Array[],
  radix: readonly number[],
  table: Int32Array,
  ask: (d: number) => number,
): void {
  const [a, b, c] = [columns[0]!, columns[1], columns[2]];
  const [ofB, ofC] = [radix[1] ?? 1, radix[2] ?? 1];
  for (let d = 0; d < all.length; d++) {
    let key = a[d]!;
    if (b) key = key * ofB + b[d]!;
    if (c) key = key * ofC + c[d]!;
    for (let i = 3; i < columns.length; i++) key = key * radix[i]! + columns[i]![d]!;
    let effect = table[key]!;
    if (effect < 0) {
      effect = ask(d);
      table[key] = effect;
    }
    all[d]! |= effect;
  }
}

function addByMap(
  all: Int32Array,
  columns: readonly Uint8Array[],
  radix: readonly number[],
  ask: (d: number) => number,
): void {
  const met = new Map<number, number>();
  for (let d = 0; d < all.length; d++) {
    let key = 0;
    for (let i = 0; i < columns.length; i++) key = key * radix[i]! + columns[i]![d]!;
    let effect = met.get(key);
    if (effect === undefined) {
      effect = ask(d);
      met.set(key, effect);
    }
    all[d]! |= effect;
  }
}

function drawnSize(fact: Fact): number {
  if (fact.state === 'not-applicable') return 1;
  if (!fact.weights) return 2;
  return fact.weights.reduce((count, weight) => count + (weight > 0 ? 1 : 0), 0);
}
