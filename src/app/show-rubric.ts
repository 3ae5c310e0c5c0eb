import { BASES, type Rubric } from '../../shared/index.ts';

/** One number or rule of the rubric, with where it comes from. */
export interface Sourced {
  place: string;
  from: string;
  /** Id of the source, or the basis. */
  origin: string;
}

/** Every entry of a rubric that carries a `from`, in order. */
export function sourcedEntries(rubric: Rubric): Sourced[] {
  const out: Sourced[] = [];
  const walk = (value: unknown, place: string): void => {
    if (value === null || typeof value !== 'object') return;
    const named = (value as { id?: unknown }).id;
    const here = typeof named === 'string' ? place.replace(/\.\d+$/, `.${named}`) : place;
    for (const [key, inner] of Object.entries(value)) {
      if ((key === 'from' || key.endsWith('From')) && typeof inner === 'string') {
        out.push({ place: here, from: inner, origin: inner.trim().split(/[\s,:;]/)[0]! });
      } else walk(inner, here === '' ? key : `${here}.${key}`);
    }
  };
  const { version: _, sources: __, ...rest } = rubric;
  walk(rest, '');
  return out;
}

/**
 * Every number by source and basis, how many rest on judgement, and which sources were last checked over two years ago.
 *
 * @param today ISO date
 * @returns sources in the rubric's order, then bases, each with its entries; `judged` counts entries without a published source
 */
export function sourcesSummary(rubric: Rubric, today: string) {
  const entries = sourcedEntries(rubric);
  const byOrigin = new Map<string, Sourced[]>();
  for (const entry of entries) byOrigin.set(entry.origin, [...(byOrigin.get(entry.origin) ?? []), entry]);
  const of = (origin: string) => byOrigin.get(origin) ?? [];
  const oldest = `${Number(today.slice(0, 4)) - 2}${today.slice(4)}`;
  const bases = BASES.map((basis) => ({ basis, count: of(basis).length }));
  return {
    total: entries.length,
    judged: bases.reduce((sum, { count }) => sum + count, 0),
    knockOuts: knockOutOrigins(rubric, entries),
    bases,
    sources: rubric.sources.map(({ id, title, edition, checkedOn, seen }) => ({
      id,
      title,
      edition: edition ?? null,
      checkedOn,
      seen,
      count: of(id).length,
      isOld: checkedOn < oldest,
    })),
    entries,
  };
}

/**
 * How many knock-outs there are, how many rest on a published source, and in how many of these the figure itself
 * (a depth, a count, a grade) is said to be own judgement or from memory.
 */
export function knockOutOrigins(
  rubric: Rubric,
  entries: readonly Sourced[] = sourcedEntries(rubric),
): { published: number; ownFigure: number; total: number } {
  const rules = entries.filter(({ place }) => /^kinds\.[^.]+\.knockOuts\./.test(place));
  const published = rules.filter(({ origin }) => !isBasis(origin));
  const ownFigure = published.filter(({ from }) => /own judgement|from memory/.test(from)).length;
  return { published: published.length, ownFigure, total: rules.length };
}

function isBasis(origin: string): boolean {
  return (BASES as readonly string[]).includes(origin);
}
