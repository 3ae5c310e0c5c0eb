import {
  type Check,
  type Component,
  enteredUnit,
  inUnit,
  METHODS,
  type Observation,
  type PhotoRecord,
  type RevealTable,
  STAGES,
  type Stage,
  type Value,
} from '../../shared/index.ts';
import { leastRustGrade } from '../standards/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Knowledge } from './program.ts';
import type { Tables } from './tables.ts';
import { gradeOfMeasure, propertyTruth, type Variable } from './variables.ts';

/** What the observations of one check come to. */
export interface Fact {
  state: 'final' | 'evidence' | 'unknown' | 'not-applicable';
  /** Bit k set: listed value k is possible, by the answers alone. 0: does not apply. */
  possible: number;
  /** Measured figure, or NaN. */
  exact: number;
  /** Chances of the listed values for odds, or null when unanswered (then the rustiness table gives them). */
  weights: Float64Array | null;
  /** Listed value that was seen, for learning the rustiness; null when unanswered. */
  seen: number | null;
  /** Stage of the ruling answer, or null. */
  stage: Stage | null;
  /** Lowest listed value left by an outlined photo; 0 when none. It moves odds and index, never a knock-out. */
  floor: number;
  /** Earlier answers by a stronger method that the ruling one does not lift: figures of listed values or measured. */
  standing: { value: number; exact: number; observation: Observation }[];
  notes: string[];
}

/** The facts of one component or of one group of alike members of a counted set, one a variable of the kind. */
export interface Facts {
  facts: Fact[];
  knowledge: Knowledge;
  /** Some earlier answer still stands beside the ruling one. */
  hasStanding: boolean;
}

/**
 * Works out what is known of a component.
 *
 * @param observations answers of one member (no `split`)
 * @param tables reveal tables and grader's error of the rubric
 * @param lengthUnit unit of lengths that name none
 */
export function factsOf(
  component: Component,
  observations: readonly Observation[],
  compiled: CompiledKind,
  tables: Tables,
  lengthUnit: 'mm' | 'in',
): Facts {
  const facts = compiled.variables.map((variable) => {
    if (variable.property) return propertyFact(variable, component);
    const own = observations.filter((o) => o.check === variable.check!.id);
    const fact = checkFact(variable, variable.check!, own, component, tables, lengthUnit);
    liftByPhotos(fact, variable, component.photos ?? []);
    return fact;
  });
  return {
    facts,
    knowledge: knowledgeOf(facts, compiled.variables, component),
    hasStanding: facts.some(({ standing }) => standing.length > 0),
  };
}

/** Knowledge in the form that conditions are asked with. */
function knowledgeOf(facts: readonly Fact[], variables: readonly Variable[], component: Component): Knowledge {
  const isBetween = (fact: Fact, v: number) =>
    !Number.isNaN(fact.exact) && variables[v]!.figures[31 - Math.clz32(fact.possible)] !== fact.exact;
  return {
    // Always the same sort of array, unlike what `map` gives, so that asking thousands of parts stays quick.
    possible: Array.from(facts, (fact) => fact.possible),
    exact: facts.some(isBetween) ? facts.map((fact, v) => (isBetween(fact, v) ? fact.exact : Number.NaN)) : null,
    properties: component.properties ?? {},
  };
}

function everything(size: number): number {
  return (1 << size) - 1;
}

function blank(size: number): Fact {
  return {
    state: 'unknown',
    possible: everything(size),
    exact: Number.NaN,
    weights: null,
    seen: null,
    stage: null,
    floor: 0,
    standing: [],
    notes: [],
  };
}

function propertyFact(variable: Variable, component: Component): Fact {
  const truth = propertyTruth(variable.property!, component.properties ?? {});
  const fact = blank(2);
  return truth === null
    ? fact
    : {
        ...fact,
        state: 'final',
        possible: truth ? 0b10 : 0b01,
        weights: Float64Array.of(truth ? 0 : 1, truth ? 1 : 0),
      };
}

interface Answer {
  observation: Observation;
  stage: number;
  method: number;
  /** Listed value nearest to the answer. */
  value: number;
  /** Measured figure, NaN for grades and choices. */
  exact: number;
}

function checkFact(
  variable: Variable,
  check: Check,
  observations: readonly Observation[],
  component: Component,
  tables: Tables,
  lengthUnit: 'mm' | 'in',
): Fact {
  const fact = blank(variable.size);
  const answers = observations
    .flatMap((observation): Answer[] => {
      if (observation.value === undefined) return [];
      const { value, exact } = listedValue(variable, check, observation.value, observation.unit, lengthUnit);
      const stage = STAGES.indexOf(observation.stage ?? component.stage);
      return [{ observation, stage, method: METHODS.indexOf(observation.method ?? check.method), value, exact }];
    })
    .sort((a, b) => a.stage - b.stage || a.observation.date.localeCompare(b.observation.date));
  if (answers.length === 0) {
    if (observations.some((o) => o.none === 'not-applicable')) return { ...fact, state: 'not-applicable', possible: 0 };
    const none = observations.at(-1)?.none;
    if (none) fact.notes.push(none === 'not-possible' ? 'Could not be looked at' : 'Not seen');
    return fact;
  }
  const last = answers.at(-1)!;
  const ruling = rulingAnswers(answers.filter((answer) => answer.stage === last.stage));
  fact.stage = STAGES[last.stage]!;
  fact.seen = ruling[0]!.value;
  const isFinal = last.stage >= STAGES.indexOf(check.finalStage);
  fact.state = isFinal ? 'final' : 'evidence';
  fact.possible = 0;
  const weights = new Float64Array(variable.size);
  const reveal = isFinal ? null : revealRows(tables.reveal(check.reveal), last.stage);
  for (const answer of ruling) {
    const spread = spreadOf(answer.value, variable, check, answer.method, tables);
    if (isFinal) {
      fact.possible |= 1 << answer.value;
      spread.forEach((p, k) => {
        weights[k]! += p / ruling.length;
      });
    } else {
      const rows = reveal ?? variable.figures.map(() => variable.figures.map(() => 1 / variable.size));
      rows[answer.value]!.forEach((p, k) => {
        if (p > 0) fact.possible |= 1 << k;
      });
      spread.forEach((p, seen) => {
        rows[seen]!.forEach((q, k) => {
          weights[k]! += (p * q) / ruling.length;
        });
      });
    }
  }
  if (isFinal && ruling.length > 1) fact.possible = span(fact.possible);
  if (isFinal && ruling.length === 1) fact.exact = ruling[0]!.exact;
  fact.weights = weights;
  fact.standing = standingAnswers(answers, ruling);
  fact.notes.push(...historyNotes(check, variable, answers, ruling));
  return fact;
}

/** The latest answer of each grader. */
function rulingAnswers(answers: readonly Answer[]): Answer[] {
  const byGrader = new Map<string, Answer>();
  for (const answer of answers) byGrader.set(answer.observation.grader ?? '', answer);
  const all = [...byGrader.values()];
  return new Set(all.map((a) => a.value)).size === 1 && all.every((a) => Object.is(a.exact, all[0]!.exact))
    ? [all[0]!]
    : all;
}

/** All values between the best and the worst of a set. */
function span(bits: number): number {
  const low = bits & -bits;
  const high = 31 - Math.clz32(bits);
  return (everything(high + 1) & ~(low - 1)) | 0;
}

/** Earlier answers that no later one of an equal or later stage and an equal or stronger method lifts. */
function standingAnswers(answers: readonly Answer[], ruling: readonly Answer[]): Fact['standing'] {
  return answers
    .filter(
      (answer, i) => !ruling.includes(answer) && !answers.slice(i + 1).some((later) => later.method >= answer.method),
    )
    .map(({ value, exact, observation }) => ({ value, exact, observation }));
}

function historyNotes(
  check: Check,
  variable: Variable,
  answers: readonly Answer[],
  ruling: readonly Answer[],
): string[] {
  const notes: string[] = [];
  const now = ruling[0]!;
  const before = answers.filter((answer) => answer.stage < now.stage).at(-1);
  if (before && variable.grades[before.value] !== variable.grades[now.value]) {
    const worse =
      variable.grades[now.value]! > variable.grades[before.value]! ? 'Worse than it looked' : 'Better than it looked';
    notes.push(
      `${worse}: ${answerWords(check, before)} when ${STAGES[before.stage]}, ${answerWords(check, now)} when ${STAGES[now.stage]}`,
    );
  }
  if (ruling.length > 1) {
    notes.push(
      `Graders differ: ${ruling.map((a) => `${a.observation.grader ?? 'unnamed'} says ${answerWords(check, a)}`).join(', ')}`,
    );
  }
  return notes;
}

function answerWords(check: Check, answer: Answer): string {
  if (check.answer.type === 'grade') return `grade ${answer.value}`;
  if (check.answer.type === 'choice') return `"${check.answer.options[answer.value]!.words}"`;
  return `${Number(answer.exact.toFixed(3))} ${check.answer.unit}`;
}

/** A person's grade may be one step off; a measurement or a choice is taken as it is. */
function spreadOf(value: number, variable: Variable, check: Check, method: number, tables: Tables): Float64Array {
  const out = new Float64Array(variable.size);
  if (check.answer.type !== 'grade' || method >= METHODS.indexOf('measured')) {
    out[value] = 1;
    return out;
  }
  const beside = (1 - tables.graderOn) / 2;
  out[value]! += tables.graderOn;
  out[Math.max(0, value - 1)]! += beside;
  out[Math.min(variable.size - 1, value + 1)]! += beside;
  return out;
}

/** Reveal matrix of a stage; a stage without one uses the nearest earlier stage's, which knows less. */
function revealRows(table: RevealTable | null, stage: number): readonly (readonly number[])[] | null {
  if (!table) return null;
  for (let s = stage; s >= 0; s--) {
    const rows = table.stages[STAGES[s]!];
    if (rows) return rows;
  }
  return null;
}

/** Index of the listed value that an answer stands for, and its exact figure when measured. */
export function listedValue(
  variable: Variable,
  check: Check,
  value: Value,
  unit: string | undefined,
  lengthUnit: 'mm' | 'in',
): { value: number; exact: number } {
  const { answer } = check;
  if (answer.type === 'choice')
    return { value: answer.options.findIndex((option) => option.id === value), exact: Number.NaN };
  if (answer.type === 'grade') return { value: Number(value), exact: Number.NaN };
  const figure = inUnit(Number(value), enteredUnit(answer, unit, lengthUnit), answer.unit);
  let nearest = 0;
  variable.figures.forEach((listed, k) => {
    const near = Math.abs(listed - figure) - Math.abs(variable.figures[nearest]! - figure);
    if (near < 0 || (near === 0 && k > nearest)) nearest = k;
  });
  return { value: nearest, exact: figure };
}

/** An outlined photo that nobody struck lifts the lower end to the grade of its low bound, until a later stage is graded. */
function liftByPhotos(fact: Fact, variable: Variable, photos: readonly PhotoRecord[]): void {
  if (fact.state === 'not-applicable') return;
  for (const photo of photos) {
    if (photo.check !== variable.id || !photo.outline || !photo.rustAreaPercent) continue;
    if (photo.struck) {
      fact.notes.push(`Photo ${photo.id} struck: ${photo.struck.reason}`);
      continue;
    }
    const stage = STAGES.indexOf(photo.stage ?? 'fitted');
    if (fact.stage !== null && STAGES.indexOf(fact.stage) > stage) {
      fact.notes.push(`Photo ${photo.id} no longer counts: the part was graded at a later stage`);
      continue;
    }
    const { low, high } = photo.rustAreaPercent;
    const grade = leastRustGrade(low);
    const floor = variable.grades.findIndex((g) => g >= grade);
    fact.floor = Math.max(fact.floor, floor < 0 ? variable.size - 1 : floor);
    fact.notes.push(
      `Photo ${photo.id}: rust on ${tenths(low)} to ${tenths(high)} % of the outlined part, so grade ${grade} at least`,
    );
  }
}

const tenths = (percent: number) => Math.round(percent * 10) / 10;

/** Grade 0 to 5 range of a fact: by its answers, the better end lifted by photos. */
export function gradeRange(fact: Fact, variable: Variable): { best: number; worst: number } {
  const { answer } = variable.check!;
  if (!Number.isNaN(fact.exact) && answer.type === 'measure') {
    const grade = gradeOfMeasure(answer.grades, fact.exact);
    return { best: grade, worst: grade };
  }
  let best = 5;
  let worst = 0;
  for (let k = 0; k < variable.size; k++) {
    if ((fact.possible & (1 << k)) === 0) continue;
    best = Math.min(best, variable.grades[k]!);
    worst = Math.max(worst, variable.grades[k]!);
  }
  const floor = fact.floor > 0 ? variable.grades[fact.floor]! : 0;
  return { best: Math.max(best, floor), worst: Math.max(worst, floor) };
}
