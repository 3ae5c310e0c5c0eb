import { useState } from 'react';
import type { Rubric, Value } from '../../../shared/index.ts';
import { type Given, gradeWords, type Question } from '../data/questions.ts';
import { words } from '../words.ts';

const w = words.round;

interface SplitKeysProps {
  question: Question;
  rubric: Rubric;
  given: Given | null;
  onGive: (given: Given) => void;
}

/** A counted set whose pieces are not all alike: so many at each value. */
export function SplitKeys({ question, rubric, given, onGive }: SplitKeysProps) {
  const { component, check } = question;
  const count = component.count ?? 1;
  const values = valuesOf(question, rubric);
  const [counts, setCounts] = useState<Record<string, number>>(() => countsOf(given));
  const placed = Object.values(counts).reduce((sum, n) => sum + n, 0);
  const change = (value: Value, by: number) => {
    const next = { ...counts, [String(value)]: Math.max(0, (counts[String(value)] ?? 0) + by) };
    setCounts(next);
    const split = values
      .map(({ value: v }) => ({ value: v, count: next[String(v)] ?? 0 }))
      .filter((share) => share.count > 0);
    if (split.reduce((sum, share) => sum + share.count, 0) === count) onGive({ split });
  };
  return (
    <div className="split">
      <p role="status" className="strong">
        {w.eachLeft(count - placed)}
      </p>
      <ul>
        {values.map(({ value, text }) => (
          <li key={String(value)}>
            <span>{text}</span>
            <button
              type="button"
              className="btn glove"
              aria-label={w.fewer(text)}
              disabled={(counts[String(value)] ?? 0) === 0}
              onClick={() => change(value, -1)}
            >
              −
            </button>
            <b className="num">{counts[String(value)] ?? 0}</b>
            <button
              type="button"
              className="btn glove"
              aria-label={w.more(text)}
              disabled={placed >= count}
              onClick={() => change(value, 1)}
            >
              +
            </button>
          </li>
        ))}
      </ul>
      <span className="vh">{check.ask}</span>
    </div>
  );
}

function valuesOf({ check }: Question, rubric: Rubric): { value: Value; text: string }[] {
  if (check.answer.type === 'choice') {
    return check.answer.options.map((option) => ({ value: option.id, text: option.words }));
  }
  const text = gradeWords(check, rubric);
  return [0, 1, 2, 3, 4, 5].map((grade) => ({ value: grade, text: `${grade}, ${text[grade] ?? ''}` }));
}

function countsOf(given: Given | null): Record<string, number> {
  if (!given || !('split' in given)) return {};
  return Object.fromEntries(given.split.map((share) => [String(share.value), share.count]));
}
