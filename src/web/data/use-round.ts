import { useCallback, useMemo, useRef, useState } from 'react';
import type { Look, Observation } from '../../../shared/index.ts';
import { today } from '../format.ts';
import { newId } from './outbox.ts';
import { type Given, keyOf, minutesLeft, type NoValue, nextQuestion, type Question, questionsOf } from './questions.ts';
import { grader } from './settings.ts';
import { outbox } from './use-outbox.ts';
import type { Scored } from './use-score.ts';

/** Something just answered, so that one can go back to it. */
interface Step {
  question: Question;
  given: Given | null;
}

type Ready = Scored & { assessment: NonNullable<Scored['assessment']>; rubric: NonNullable<Scored['rubric']> };

/** The walk round the car: which check now, what was given, what is next. */
export function useRound({ assessment, rubric, score }: Ready, first: string | null) {
  const questions = useMemo(() => questionsOf(assessment, rubric), [assessment, rubric]);
  const looks = useMemo(() => (score ? [...score.nextLooks, ...score.looksLeft] : []), [score]);
  const done = useRef(new Set<string>());
  const answerId = useRef(newId());
  const trail = useRef<Step[]>([]);
  const [key, setKey] = useState<string | null>(() => {
    const asked = first && questions.find((question) => keyOf(question) === first);
    const start = asked || nextQuestion(questions, looks, done.current, null);
    return start ? keyOf(start) : null;
  });
  const [given, setGiven] = useState<Given | null>(null);
  const question = questions.find((entry) => keyOf(entry) === key) ?? null;

  /** Keeps the answer at once; until the person moves on it can be changed, and then it goes out. */
  const give = useCallback(
    (answer: Given) => {
      if (!question) return;
      setGiven(answer);
      done.current.add(keyOf(question));
      void outbox.put(waitingAnswer(answerId.current, assessment.id, question, answer, true));
    },
    [question, assessment.id],
  );

  const goTo = useCallback((next: Question | null) => {
    void outbox.release();
    answerId.current = newId();
    setGiven(null);
    setKey(next ? keyOf(next) : null);
  }, []);

  const next = useCallback(() => {
    if (!question) return;
    trail.current.push({ question, given });
    done.current.add(keyOf(question));
    goTo(nextQuestion(questions, looks, done.current, question));
  }, [question, given, questions, looks, goTo]);

  const previous = useCallback(() => {
    const step = trail.current.pop();
    if (!step) return;
    goTo(step.question);
    setGiven(step.given);
  }, [goTo]);

  const skip = useCallback((chosen: Question) => goTo(chosen), [goTo]);

  /** One answer for every open check of an area. Each can be answered by itself later. */
  const answerArea = useCallback(
    async (none: NoValue, name: string, open: readonly Question[]) => {
      for (const entry of open) {
        done.current.add(keyOf(entry));
        await outbox.put(waitingAnswer(newId(), assessment.id, entry, { none }, false, name));
      }
      if (name.trim() !== '') await keepCover(name, open, assessment.id);
      goTo(nextQuestion(questions, looks, done.current, question));
    },
    [assessment.id, questions, looks, question, goTo],
  );

  const answeredCount = questions.filter((entry) => entry.answer !== null).length;
  return {
    questions,
    question,
    given: given ?? (question?.answer ? givenOf(question.answer) : null),
    give,
    next,
    previous: trail.current.length > 0 ? previous : null,
    skip,
    answerArea,
    count: {
      at: Math.min(questions.length, answeredCount + (given || question?.answer ? 0 : 1)),
      all: questions.length,
    },
    minutes: minutesLeft(questions, rubric),
    upNext: upNext(questions, looks, done.current, question),
  };
}

export function givenOf(observation: Observation): Given | null {
  if (observation.none) return { none: observation.none };
  if (observation.split) return { split: [...observation.split] };
  return observation.value === undefined ? null : { value: observation.value };
}

function upNext(
  questions: readonly Question[],
  looks: readonly Look[],
  done: ReadonlySet<string>,
  now: Question | null,
) {
  const list: Question[] = [];
  const seen = new Set(done);
  if (now) seen.add(keyOf(now));
  while (list.length < 4) {
    const next = nextQuestion(questions, looks, seen, now);
    if (!next) break;
    seen.add(keyOf(next));
    list.push(next);
  }
  return list;
}

export function waitingAnswer(
  id: string,
  assessment: string,
  question: Question,
  given: Given,
  held: boolean,
  note?: string,
) {
  const { component, check } = question;
  const name = grader();
  return {
    id,
    assessment,
    at: Date.now(),
    held,
    what: {
      kind: 'change' as const,
      change: {
        id,
        type: 'observe' as const,
        at: new Date().toISOString(),
        component: component.id,
        observation: {
          id,
          check: check.id,
          ...given,
          ...(check.answer.type === 'measure' && 'value' in given ? { unit: check.answer.unit } : {}),
          stage: component.stage,
          method: check.method,
          date: today(),
          ...(name ? { grader: name } : {}),
          ...(note ? { note } : {}),
        },
      },
    },
  };
}

/** What hides the checks is kept by name, so that they share one fate in the odds. */
async function keepCover(name: string, open: readonly Question[], assessment: string): Promise<void> {
  const id =
    name
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-|-$/g, '')
      .slice(0, 60) || 'cover';
  const hides = open.map(({ component, check }) => `${component.id}.${check.id}`);
  const change = newId();
  await outbox.put({
    id: change,
    assessment,
    at: Date.now(),
    held: false,
    what: { kind: 'change', change: { id: change, type: 'add-cover', cover: { id, name, hides } } },
  });
}
