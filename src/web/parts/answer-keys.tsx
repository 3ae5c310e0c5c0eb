import { useState } from 'react';
import type { Check, Rubric, Value } from '../../../shared/index.ts';
import { type Given, gradeWords, type NoValue } from '../data/questions.ts';
import { figure, readFigure } from '../format.ts';
import { words } from '../words.ts';
import { Field, type Wrong } from './field.tsx';
import { Icon } from './mark.tsx';
import { REFERENCE_PERCENT, ReferencePicture } from './reference-picture.tsx';

const w = words.round;

interface KeysProps {
  check: Check;
  rubric: Rubric;
  given: Given | null;
  onGive: (given: Given) => void;
}

/** The answer to one check: keys of a grade, of a choice, or a field for a measured figure. */
export function AnswerKeys(props: KeysProps) {
  switch (props.check.answer.type) {
    case 'grade':
      return <GradeKeys {...props} />;
    case 'choice':
      return <ChoiceKeys {...props} />;
    case 'measure':
      return <MeasureField key={props.check.id} {...props} />;
  }
}

function isGiven(given: Given | null, value: Value): boolean {
  return given !== null && 'value' in given && given.value === value;
}

function GradeKeys({ check, rubric, given, onGive }: KeysProps) {
  const text = gradeWords(check, rubric);
  const hasPictures = check.photo === true;
  return (
    // biome-ignore lint/a11y/useSemanticElements: the keys are one grid of buttons.
    <div className={`keys${hasPictures ? ' pics' : ''}`} role="group" aria-label={w.grade}>
      {[0, 1, 2, 3, 4, 5].map((grade) => (
        <button
          key={grade}
          type="button"
          className="key"
          aria-pressed={isGiven(given, grade)}
          onClick={() => onGive({ value: grade })}
        >
          <b className="dg">{grade}</b>
          <span className="sw s-base" aria-hidden="true">
            <svg aria-hidden="true" preserveAspectRatio="xMidYMid slice">
              <use href={`#grade-${grade}`} />
            </svg>
          </span>
          {hasPictures ? (
            <span className="sw s-match" aria-hidden="true">
              <ReferencePicture percent={REFERENCE_PERCENT[grade]!} />
              <em>{figure(REFERENCE_PERCENT[grade]!)} %</em>
            </span>
          ) : null}
          <span className="wd">{text[grade]}</span>
        </button>
      ))}
    </div>
  );
}

function ChoiceKeys({ check, given, onGive }: KeysProps) {
  if (check.answer.type !== 'choice') return null;
  return (
    // biome-ignore lint/a11y/useSemanticElements: the keys are one grid of buttons.
    <div className="keys choice" role="group" aria-label={check.ask}>
      {check.answer.options.map((option, i) => (
        <button
          key={option.id}
          type="button"
          className="key"
          aria-pressed={isGiven(given, option.id)}
          onClick={() => onGive({ value: option.id })}
        >
          <b className="dg">{i + 1}</b>
          <span className="wd">{option.words}</span>
        </button>
      ))}
    </div>
  );
}

function MeasureField({ check, given, onGive }: KeysProps) {
  const [text, setText] = useState(given && 'value' in given ? figure(Number(given.value)) : '');
  const [wrong, setWrong] = useState<Wrong | null>(null);
  if (check.answer.type !== 'measure') return null;
  const { unit, range, points, words: meaning } = check.answer;
  const [low, high] = [Math.min(...range), Math.max(...range)];
  const take = (typed: string) => {
    setText(typed);
    const value = readFigure(typed);
    if (typed.trim() === '') return setWrong(null);
    if (value === null) return setWrong({ title: w.notNumber(typed, figure(points[0]!)) });
    if (value < low || value > high) return setWrong({ title: w.outOfRange(figure(value), low, high, unit) });
    setWrong(null);
    onGive({ value });
  };
  return (
    <div className="measure">
      <Field
        label={w.value(unit)}
        inputMode="decimal"
        autoComplete="off"
        value={text}
        wrong={wrong}
        note={`${w.between(low, high, unit)}${meaning ? `. ${meaning}` : ''}`}
        onChange={(event) => take(event.target.value)}
      />
    </div>
  );
}

const NONE: readonly (readonly [NoValue, string, string])[] = [
  ['not-seen', 'st-notseen', w.notSeen],
  ['not-possible', 'st-notpossible', w.notPossible],
  ['not-applicable', 'st-na', w.notApplicable],
];

/** The three answers that are none: as large and as near as a grade. */
export function NoneKeys({ given, onGive }: { given: Given | null; onGive: (given: Given) => void }) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: the keys are one grid of buttons.
    <div className="keys uns" role="group" aria-label={w.noGrade}>
      {NONE.map(([none, icon, text]) => (
        <button
          key={none}
          type="button"
          className="key un"
          aria-pressed={given !== null && 'none' in given && given.none === none}
          onClick={() => onGive({ none })}
        >
          <Icon name={icon} />
          {text}
        </button>
      ))}
    </div>
  );
}
