import type { Rubric } from '../../../shared/index.ts';

/** On what a number stands: title and clause of a published source, or whose word it is. */
export interface Standing {
  source: string | null;
  basis: string;
}

const OWN_WORD = ['common-practice', 'from-memory', 'own-judgement'];

/** Reads a `from` of the rubric for showing: `SOURCE-ID clause`, or a basis with words after it. */
export function readFrom(rubric: Rubric, from: string): Standing {
  const [first = '', ...rest] = from.trim().split(/\s+/);
  const words = rest.join(' ');
  const id = first.replace(/[,:;]$/, '');
  if (OWN_WORD.includes(id)) return { source: words || null, basis: id };
  const entry = rubric.sources.find((source) => source.id === id);
  if (!entry) return { source: from, basis: 'published' };
  return {
    source: words ? `${entry.title}${id === first ? ',' : first.at(-1)} ${words}` : entry.title,
    basis: entry.seen === 'memory' ? 'from-memory' : 'published',
  };
}
