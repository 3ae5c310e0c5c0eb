import type { Check, Kind, Rubric, WantedFinish } from '../../../shared/index.ts';

/** A check's limit for a finish, in grades, or null when it has none. */
export function limitOf(check: Check, finish: WantedFinish): number | null {
  if (check.limit === undefined) return null;
  return typeof check.limit === 'number' ? check.limit : check.limit[finish];
}

/**
 * Index of a part whose every check stands exactly on its limit: what the wanted finish asks. Worked as the condition
 * index itself, `100 - 20 x` the weighted mean, lowest load-path zone.
 */
export function wantedIndexOfKind(kind: Kind, finish: WantedFinish): number | null {
  const zones = kind.zones.filter((zone) => zone.loadPath);
  const indices = (zones.length > 0 ? zones : kind.zones).flatMap((zone) => {
    const checks = kind.checks.filter(
      (check) => check.zone === zone.id && check.weight > 0 && check.limit !== undefined,
    );
    const weight = checks.reduce((sum, check) => sum + check.weight, 0);
    if (weight === 0) return [];
    return [100 - (20 * checks.reduce((sum, check) => sum + check.weight * limitOf(check, finish)!, 0)) / weight];
  });
  return indices.length === 0 ? null : Math.min(...indices);
}

const known = new WeakMap<Rubric, Map<string, number | null>>();

/** One figure for the head of the bench: the middle of the kinds. */
export function wantedIndex(rubric: Rubric, finish: WantedFinish): number | null {
  let byFinish = known.get(rubric);
  if (!byFinish) {
    byFinish = new Map();
    known.set(rubric, byFinish);
  }
  if (!byFinish.has(finish)) {
    const all = rubric.kinds
      .map((kind) => wantedIndexOfKind(kind, finish))
      .filter((value) => value !== null)
      .sort((a, b) => a - b);
    byFinish.set(finish, all[Math.floor(all.length / 2)] ?? null);
  }
  return byFinish.get(finish) ?? null;
}
