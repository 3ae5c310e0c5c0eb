import {
  type Assessment,
  type Check,
  type Component,
  type Kind,
  type Look,
  type Observation,
  type Rubric,
  STAGES,
  type Stage,
  type Value,
} from '../../../shared/index.ts';

/** Why there is no value. */
export type NoValue = NonNullable<Observation['none']>;

/** One check of one component, with what has been answered. */
export interface Question {
  component: Component;
  kind: Kind;
  check: Check;
  /** Answers to this check, oldest first. */
  history: readonly Observation[];
  /** The answer that holds at the part's present stage, if any. */
  answer: Observation | null;
}

const order = (stage: Stage) => STAGES.indexOf(stage);

/** Every check of an assessment that can be asked of its parts as they are now, in the order of parts and zones. */
export function questionsOf(assessment: Assessment, rubric: Rubric): Question[] {
  const kinds = new Map(rubric.kinds.map((kind) => [kind.id, kind]));
  return assessment.components.flatMap((component) => {
    const kind = kinds.get(component.kind);
    if (!kind || kind.alwaysNew?.when === true) return [];
    return questionsOfComponent(component, kind).filter(
      ({ check }) => order(check.earliestStage) <= order(component.stage),
    );
  });
}

/** All checks of one component, also those that cannot be asked yet. */
export function questionsOfComponent(component: Component, kind: Kind): Question[] {
  return kind.checks.map((check) => {
    const history = (component.observations ?? []).filter((observation) => observation.check === check.id);
    return { component, kind, check, history, answer: answerNow(component, check, history) };
  });
}

function answerNow(component: Component, check: Check, history: readonly Observation[]): Observation | null {
  const enough = Math.min(order(component.stage), order(check.finalStage));
  const holds = history.filter(
    (observation) =>
      observation.none === 'not-applicable' ||
      order(observation.stage ?? component.stage) >= (observation.none ? order(component.stage) : enough),
  );
  return holds.at(-1) ?? null;
}

export function keyOf(question: { component: { id: string }; check: { id: string } }): string {
  return `${question.component.id}/${question.check.id}`;
}

/** The next question: the best look that is still open, else the next open one of the same part, else of the list. */
export function nextQuestion(
  questions: readonly Question[],
  looks: readonly Look[],
  done: ReadonlySet<string>,
  after: Question | null,
): Question | null {
  const open = questions.filter((question) => question.answer === null && !done.has(keyOf(question)));
  if (open.length === 0) return null;
  const byKey = new Map(open.map((question) => [keyOf(question), question]));
  for (const look of looks) {
    const question = byKey.get(`${look.component}/${look.check}`);
    if (question) return question;
  }
  return open.find((question) => question.component.id === after?.component.id) ?? open[0]!;
}

/** Minutes that the open questions take, shared set-ups counted once a part. */
export function minutesLeft(questions: readonly Question[], rubric: Rubric): number {
  const setups = new Set<string>();
  let minutes = 0;
  for (const { component, check, answer } of questions) {
    if (answer) continue;
    minutes += check.minutes;
    if (check.setup) setups.add(`${component.area ?? component.position ?? component.id} ${check.setup}`);
  }
  for (const key of setups) {
    const id = key.slice(key.lastIndexOf(' ') + 1);
    minutes += rubric.charges.setups.find((setup) => setup.id === id)?.minutes ?? 0;
  }
  return minutes;
}

/** Grade words of a check: its own, else those of the shared scale. */
export function gradeWords(check: Check, rubric: Rubric): readonly string[] {
  if (check.answer.type !== 'grade') return [];
  const { words, scale } = check.answer;
  return words ?? rubric.scales.find((entry) => entry.id === scale)?.words ?? [];
}

export type Given = { value: Value } | { none: NoValue } | { split: { count: number; value: Value }[] };

/** What an answer says, in the check's words. */
export function answerText(
  observation: Observation,
  check: Check,
  rubric: Rubric,
  none: Record<NoValue, string>,
): string {
  if (observation.none) return none[observation.none];
  if (observation.split) {
    return observation.split
      .map((part) => `${part.count}: ${valueText(part.value, observation, check, rubric)}`)
      .join(', ');
  }
  return valueText(observation.value!, observation, check, rubric);
}

function valueText(value: Value, observation: Observation, check: Check, rubric: Rubric): string {
  switch (check.answer.type) {
    case 'grade': {
      const text = gradeWords(check, rubric)[Math.round(Number(value))];
      return text ? `${value}, ${text}` : String(value);
    }
    case 'measure':
      return `${value} ${observation.unit ?? check.answer.unit}`;
    case 'choice':
      return check.answer.options.find((option) => option.id === value)?.words ?? String(value);
  }
}
