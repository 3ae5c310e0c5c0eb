import type { Fault, Kind } from '../../shared/index.ts';
import type { Placed } from './check-rubric.ts';

/** Shorter texts are labels ("no play", "Ball pin nut"); from this many words on they are sentences. */
const SENTENCE_WORDS = 5;
/** Not sentences of a kind: where a number is from, and how a joint is held, which several kinds may share (`sameAs`). */
const NOT_WORDS = new Set(['from', 'sizesFrom', 'hoursFrom', 'clause', 'counterhold']);

/**
 * No sentence stands in two kinds: what several kinds share is written once, as a shared entry.
 *
 * @returns a fault at the later place of each sentence that stands in two kinds
 */
export function checkSentences(kinds: readonly Placed<Kind>[]): Fault[] {
  const first = new Map<string, { kind: Placed<Kind>; path: string }>();
  const faults: Fault[] = [];
  for (const kind of kinds) {
    for (const { text, path } of sentencesOf(kind.value)) {
      const before = first.get(text);
      if (!before) first.set(text, { kind, path });
      else if (before.kind !== kind) {
        faults.push({
          file: kind.file,
          path,
          wanted: 'a sentence that no other kind has',
          found: `the one at ${before.kind.id}, ${before.path}`,
        });
      }
    }
  }
  return faults;
}

/** Every sentence of a kind, in lower case without marks, with its path. */
export function sentencesOf(kind: unknown): { text: string; path: string }[] {
  const out: { text: string; path: string }[] = [];
  const walk = (value: unknown, path: string): void => {
    if (typeof value === 'string') {
      const words = value.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
      // Ids have hyphens and no spaces.
      if (words.length >= SENTENCE_WORDS && value.includes(' ')) out.push({ text: words.join(' '), path });
    } else if (value !== null && typeof value === 'object') {
      for (const [key, inner] of Object.entries(value))
        if (!NOT_WORDS.has(key)) walk(inner, path === '' ? key : `${path}.${key}`);
    }
  };
  walk(kind, '');
  return out;
}
