import type { IndexOut } from '../../shared/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Drawn } from './draws.ts';
import { type Facts, gradeRange } from './facts.ts';

const BINS = 1000;

/**
 * Condition index of a component: 0 (worst) to 100, an interval.
 *
 * A zone's index is 100 less 20 times the weighted mean grade of its checks, an open check spanning what is still
 * possible; the component's is that of its worst load-path zone (of all zones when none is). `likelyLow` and `likelyHigh`
 * are the 10 % and 90 % points of the draws. It orders and informs; it never decides.
 *
 * @returns null when no check of it counts
 */
export function conditionIndex(compiled: CompiledKind, facts: Facts, drawn: Drawn | null): IndexOut | null {
  const zones = zonesOf(compiled, facts);
  if (zones.length === 0) return null;
  let low = 100;
  let high = 100;
  for (const zone of zones) {
    let worst = 0;
    let best = 0;
    for (const { variable, weight } of zone) {
      const range = gradeRange(facts.facts[variable]!, compiled.variables[variable]!);
      worst += weight * range.worst;
      best += weight * range.best;
    }
    low = Math.min(low, 100 - 20 * worst);
    high = Math.min(high, 100 - 20 * best);
  }
  const [likelyLow, likelyHigh] = drawn ? likely(compiled, zones, drawn) : [low, high];
  return { low: round(low), high: round(high), likelyLow: round(likelyLow), likelyHigh: round(likelyHigh) };
}

type Weighted = { variable: number; weight: number };

/** Checks that count, by zone, weights summing to 1 in each. */
function zonesOf(compiled: CompiledKind, facts: Facts): Weighted[][] {
  const { kind } = compiled;
  const loadPath = kind.zones.filter((zone) => zone.loadPath);
  return (loadPath.length > 0 ? loadPath : kind.zones).flatMap((zone) => {
    const own = kind.checks.flatMap((check, variable) =>
      check.zone === zone.id && check.weight > 0 && facts.facts[variable]!.state !== 'not-applicable'
        ? [{ variable, weight: check.weight }]
        : [],
    );
    const total = own.reduce((sum, { weight }) => sum + weight, 0);
    return total > 0 ? [own.map(({ variable, weight }) => ({ variable, weight: weight / total }))] : [];
  });
}

function likely(compiled: CompiledKind, zones: readonly Weighted[][], drawn: Drawn): [number, number] {
  const n = drawn.draws;
  const lowest = new Float32Array(n).fill(100);
  const mean = new Float32Array(n);
  for (const zone of zones) {
    mean.fill(100);
    for (const { variable, weight } of zone) {
      const values = drawn.valuesOf(variable);
      const step = Float32Array.from(compiled.variables[variable]!.grades, (grade) => 20 * weight * grade);
      for (let d = 0; d < n; d++) mean[d]! -= step[values[d]!]!;
    }
    for (let d = 0; d < n; d++) if (mean[d]! < lowest[d]!) lowest[d] = mean[d]!;
  }
  const bins = new Uint32Array(BINS + 1);
  for (let d = 0; d < n; d++) bins[Math.max(0, Math.min(BINS, Math.round(lowest[d]! * 10)))]!++;
  return [quantile(bins, 0.1 * n), quantile(bins, 0.9 * n)];
}

function quantile(bins: Uint32Array, rank: number): number {
  let below = 0;
  for (let b = 0; b <= BINS; b++) {
    below += bins[b]!;
    if (below >= rank) return b / 10;
  }
  return 100;
}

function round(value: number): number {
  return Math.round(Math.max(0, value) * 10) / 10;
}
