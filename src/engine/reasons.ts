import type { Because, Rubric } from '../../shared/index.ts';
import { BASES } from '../../shared/index.ts';

/** Reads a `from` of the rubric: title and clause of a published source, or the basis on which it stands without one. */
export function readFrom(rubric: Rubric, from: string): { source: string | null; basis: string } {
  const [first = '', ...rest] = from.trim().split(/\s+/);
  const words = rest.join(' ');
  const id = first.replace(/[,:;]$/, '');
  if ((BASES as readonly string[]).includes(id)) return { source: null, basis: id };
  const entry = rubric.sources.find((source) => source.id === id);
  if (!entry) return { source: from, basis: 'published' };
  return {
    source: words ? `${entry.title}${id === first ? ',' : first.at(-1)} ${words}` : entry.title,
    basis: entry.seen === 'memory' ? 'from-memory' : 'published',
  };
}

/** One step of a reason with its source. */
export function because(rubric: Rubric, rule: string, text: string, from: string): Because {
  return { rule, text, ...readFrom(rubric, from) };
}

/** A reason of the method itself or of a published standard, outside the rubric's files. */
export function methodBecause(rule: string, text: string, source: string | null = null): Because {
  return { rule: `method.${rule}`, text, source, basis: source ? 'published' : 'own-judgement' };
}
