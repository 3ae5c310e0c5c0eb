import {
  type Assessment,
  type Component,
  enteredUnit,
  inUnit,
  type Observation,
  type Rubric,
  STAGES,
  type Stage,
} from '../../../shared/index.ts';
import { type Question, questionsOfComponent } from './questions.ts';

/** One person's answer to a check at one stage: the newest of that person. */
export interface Graded {
  observation: Observation;
  /** Place on the check's scale: grade, figure, or number of the option. */
  at: number;
}

/** A check that more than one person has answered at the same stage. */
export interface GradedTwice {
  question: Question;
  stage: Stage;
  /** Lowest on the scale first. */
  graded: readonly Graded[];
  /** From the lowest to the highest, on the check's scale; 0 when all agree. */
  apart: number;
  /** The part was looked at again at a later stage: that answer counts, this one is history. */
  isPast: boolean;
}

/** Every check that several people answered at one stage, furthest apart first, those that still count before the others. */
export function gradedTwice(questions: readonly Question[], lengthUnit: 'mm' | 'in'): GradedTwice[] {
  return questions
    .flatMap((question) => {
      const answered = STAGES.map((stage) => ({ stage, graded: gradedAt(question, stage, lengthUnit) })).filter(
        ({ graded }) => graded.length > 0,
      );
      return answered.flatMap(({ stage, graded }, n): GradedTwice[] => {
        if (graded.length < 2) return [];
        const apart = graded.at(-1)!.at - graded[0]!.at;
        return [{ question, stage, graded, apart, isPast: n < answered.length - 1 }];
      });
    })
    .sort((a, b) => Number(a.isPast) - Number(b.isPast) || stepsOf(b) - stepsOf(a));
}

/** Every check of the job on which people differ and which still counts, furthest apart first. */
export function differences({ components, units }: Assessment, rubric: Rubric): GradedTwice[] {
  const kinds = new Map(rubric.kinds.map((kind) => [kind.id, kind]));
  const questions = components.filter(hasSeveralGraders).flatMap((component) => {
    const kind = kinds.get(component.kind);
    return kind ? questionsOfComponent(component, kind) : [];
  });
  return gradedTwice(questions, units).filter(({ apart, isPast }) => apart > 0 && !isPast);
}

function hasSeveralGraders({ observations = [] }: Component): boolean {
  return observations.some(({ grader }) => grader !== observations[0]!.grader);
}

/** Where a check stands on the page of its component: the anchor of its address. */
export function anchorOf({ question, stage }: GradedTwice): string {
  return `graders-${question.check.id}-${stage}`;
}

/** How far apart, as a share of the scale, so that grades and figures can be ordered together. */
function stepsOf({ question, apart }: GradedTwice): number {
  const { answer } = question.check;
  if (answer.type === 'grade') return apart / 5;
  if (answer.type === 'choice') return apart / Math.max(1, answer.options.length - 1);
  return apart / (answer.range[1] - answer.range[0] || 1);
}

/** The newest answer of each person at a stage; whoever gave no name counts as one person. */
function gradedAt({ component, check, history }: Question, stage: Stage, lengthUnit: 'mm' | 'in'): Graded[] {
  const byGrader = new Map<string, Observation>();
  for (const observation of [...history].sort((a, b) => a.date.localeCompare(b.date))) {
    if (observation.value === undefined || (observation.stage ?? component.stage) !== stage) continue;
    byGrader.set(observation.grader ?? '', observation);
  }
  return [...byGrader.values()]
    .map((observation) => {
      const { value, unit } = observation;
      const { answer } = check;
      if (answer.type === 'choice') return { observation, at: answer.options.findIndex(({ id }) => id === value) };
      if (answer.type === 'grade') return { observation, at: Number(value) };
      return { observation, at: inUnit(Number(value), enteredUnit(answer, unit, lengthUnit), answer.unit) };
    })
    .sort((a, b) => a.at - b.at);
}
