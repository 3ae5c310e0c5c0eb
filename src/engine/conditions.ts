import type { Check, Condition, Derived, Kind } from '../../shared/index.ts';
import { sectionLeft, stressAreaLeft, wallLost } from './derived.ts';
import {
  type DerivedLeaf,
  FALSE,
  type Knowledge,
  type Properties,
  programOf,
  run,
  STEP,
  STEP_WIDTH,
  TRUE,
  type Truth,
  truthOfBits,
  UNKNOWN,
} from './program.ts';

export type { Knowledge, Properties, Truth } from './program.ts';

/** A condition ready to be asked; `variables` are the indices it reads. */
export interface Compiled {
  ask(knowledge: Knowledge): Truth;
  variables: readonly number[];
  /** Its comparisons, when it is one of answers that are never measured, or `all` or `any` of such; else null. */
  plain: { isAny: boolean; variables: readonly number[]; wanted: readonly number[] } | null;
}

/** One variable of a kind: a check, or a property that a rule reads. */
export interface Variable {
  id: string;
  check: Check | null;
  /** Property comparison, for a variable that stands for one. */
  property: Extract<Condition, { property: string }> | null;
  /** Number of listed values. */
  size: number;
  /** Figure of each listed value: grade, measured figure, or index of the choice. */
  figures: readonly number[];
  /** Grade 0 to 5 of each listed value. */
  grades: readonly number[];
}

/** The variables of a kind: its checks in order, then each distinct property comparison its rules make. */
export function variablesOf(kind: Kind): Variable[] {
  const variables = kind.checks.map(variableOf);
  const seen = new Set<string>();
  for (const condition of conditionsOf(kind)) {
    for (const leaf of leavesOf(condition)) {
      if (!('property' in leaf)) continue;
      const id = propertyVariable(leaf);
      if (seen.has(id)) continue;
      seen.add(id);
      variables.push({ id, check: null, property: leaf, size: 2, figures: [0, 1], grades: [0, 0] });
    }
  }
  return variables;
}

function variableOf(check: Check): Variable {
  const { answer } = check;
  const base = { id: check.id, check, property: null };
  if (answer.type === 'grade') {
    return { ...base, size: 6, figures: [0, 1, 2, 3, 4, 5], grades: [0, 1, 2, 3, 4, 5] };
  }
  if (answer.type === 'choice') {
    const grades = answer.options.map((option) => option.grade);
    return { ...base, size: grades.length, figures: grades.map((_, i) => i), grades };
  }
  const grades = answer.points.map((point) => gradeOfMeasure(answer.grades, point));
  return { ...base, size: answer.points.length, figures: answer.points, grades };
}

/**
 * Grade 0 to 5 of a measured figure.
 *
 * @param starts figures at which grades 1 to 5 begin; falling figures mean that less is worse
 * @param figure measured figure, same unit
 */
export function gradeOfMeasure(starts: readonly number[], figure: number): number {
  const sign = starts[4]! >= starts[0]! ? 1 : -1;
  let grade = 0;
  while (grade < 5 && sign * figure >= sign * starts[grade]!) grade++;
  return grade;
}

/** Every condition of a kind, wherever it stands. */
export function conditionsOf(kind: Kind): Condition[] {
  const out: Condition[] = kind.knockOuts.map((knockOut) => knockOut.when);
  if (kind.alwaysNew && kind.alwaysNew.when !== true) out.push(kind.alwaysNew.when);
  for (const harm of kind.mustNotMeet) if (harm.when) out.push(harm.when);
  for (const note of kind.roadworthiness ?? []) out.push(note.when);
  for (const growth of kind.growth ?? []) if (growth.when) out.push(growth.when);
  return out;
}

type Leaf = Extract<Condition, { check: string } | { derived: string } | { property: string }>;

/** The comparisons in a condition. */
export function leavesOf(condition: Condition): Leaf[] {
  if ('all' in condition) return condition.all.flatMap(leavesOf);
  if ('any' in condition) return condition.any.flatMap(leavesOf);
  if ('not' in condition) return leavesOf(condition.not);
  return [condition];
}

function propertyVariable(leaf: Extract<Condition, { property: string }>): string {
  return `property:${JSON.stringify(leaf)}`;
}

/**
 * Makes a condition of a kind ready to be asked.
 *
 * @throws RangeError when it names a check, a derived fact or a choice that the kind does not have
 */
export function compile(condition: Condition, kind: Kind, variables: readonly Variable[]): Compiled {
  const writing: Writing = { hasFigures: false, steps: [], bounds: [], derived: [], variables: new Set() };
  write(condition, kind, variables, writing);
  return compiledOf(writing);
}

/** A rule that fires when a check's listed value is one of some, or its measured figure lies within bounds. */
export function compileValues(variable: number, values: number, bounds: Bounds): Compiled {
  const writing: Writing = { hasFigures: false, steps: [], bounds: [], derived: [], variables: new Set() };
  writeCheck(variable, values, bounds, Object.keys(bounds).length > 0, writing);
  return compiledOf(writing);
}

interface Writing {
  /** Some check that it reads is measured, or some fact derived. */
  hasFigures: boolean;
  steps: number[];
  bounds: number[];
  derived: DerivedLeaf[];
  variables: Set<number>;
}

interface Bounds {
  atLeast?: number | undefined;
  atMost?: number | undefined;
  above?: number | undefined;
  below?: number | undefined;
}

function compiledOf(writing: Writing): Compiled {
  const program = programOf(writing.steps, writing.bounds, writing.derived);
  return {
    variables: [...writing.variables].sort((a, b) => a - b),
    ask: (knowledge) => run(program, knowledge),
    plain: plainOf(writing),
  };
}

function plainOf({ steps, hasFigures }: Writing): Compiled['plain'] {
  if (hasFigures) return null;
  const rows = Array.from({ length: steps.length / STEP_WIDTH }, (_, i) => steps.slice(i * STEP_WIDTH));
  const last = rows.at(-1)!;
  const leaves = rows.length === 1 ? rows : rows.slice(0, -1);
  if (leaves.some(([step]) => step !== STEP.check)) return null;
  if (rows.length > 1 && last[0] !== STEP.all && last[0] !== STEP.any) return null;
  return {
    isAny: last[0] === STEP.any,
    variables: leaves.map((leaf) => leaf[1]!),
    wanted: leaves.map((leaf) => leaf[2]!),
  };
}

function write(condition: Condition, kind: Kind, variables: readonly Variable[], writing: Writing): void {
  if ('all' in condition || 'any' in condition) {
    const parts = 'all' in condition ? condition.all : condition.any;
    for (const part of parts) write(part, kind, variables, writing);
    if (parts.length > 1) writing.steps.push('all' in condition ? STEP.all : STEP.any, parts.length, 0, 0);
  } else if ('not' in condition) {
    write(condition.not, kind, variables, writing);
    writing.steps.push(STEP.not, 0, 0, 0);
  } else if ('property' in condition) {
    const id = propertyVariable(condition);
    const index = variables.findIndex((variable) => variable.id === id);
    writeCheck(index, 0b10, {}, false, writing);
  } else if ('derived' in condition) {
    const derived = kind.derived?.find((entry) => entry.id === condition.derived);
    if (!derived)
      throw new RangeError(`Cannot compile a condition: no derived fact ${condition.derived} in ${kind.id}`);
    const index = variables.findIndex((variable) => variable.check?.id === derived.check);
    writing.variables.add(index);
    writing.hasFigures = true;
    writing.steps.push(STEP.derived, index, writing.derived.length, 0);
    writing.derived.push(derivedLeaf(condition, derived, variables[index]!));
  } else {
    const index = variables.findIndex((variable) => variable.check?.id === condition.check);
    const variable = variables[index];
    if (!variable?.check)
      throw new RangeError(`Cannot compile a condition: wanted a check of the kind, found ${condition.check}`);
    writeCheck(index, wantedValues(condition, variable), condition, variable.check.answer.type === 'measure', writing);
  }
}

function writeCheck(index: number, wanted: number, bounds: Bounds, isMeasured: boolean, writing: Writing): void {
  if (isMeasured) writing.hasFigures = true;
  writing.variables.add(index);
  writing.steps.push(STEP.check, index, wanted, writing.bounds.length);
  const { atLeast, above, atMost, below } = bounds;
  writing.bounds.push(atLeast ?? -Infinity, above ?? -Infinity, atMost ?? Infinity, below ?? Infinity);
}

/** Bits of the listed values that satisfy a comparison. */
function wantedValues(leaf: Extract<Condition, { check: string }>, variable: Variable): number {
  if (leaf.is === undefined) return bitsOf(variable.figures, (figure) => compares(leaf, figure));
  const { answer } = variable.check!;
  if (answer.type !== 'choice') throw new RangeError(`Cannot compare ${leaf.check} with "is": wanted a choice`);
  const ids = [leaf.is].flat();
  const wanted = ids.map((id) => answer.options.findIndex((option) => option.id === id));
  if (wanted.includes(-1)) throw new RangeError(`Cannot compare ${leaf.check}: no such choice as ${ids.join(', ')}`);
  return bitsOf(variable.figures, (figure) => wanted.includes(figure));
}

function bitsOf(figures: readonly number[], test: (figure: number) => boolean): number {
  return figures.reduce((bits, figure, k) => (test(figure) ? bits | (1 << k) : bits), 0);
}

function compares(
  leaf: { atLeast?: number; atMost?: number; above?: number; below?: number },
  figure: number,
): boolean {
  return (
    (leaf.atLeast === undefined || figure >= leaf.atLeast) &&
    (leaf.atMost === undefined || figure <= leaf.atMost) &&
    (leaf.above === undefined || figure > leaf.above) &&
    (leaf.below === undefined || figure < leaf.below)
  );
}

// A workshop meets few threads and few walls; past this the sizes known are forgotten and worked out again.
const MOST_SIZES = 500;

function derivedLeaf(leaf: Extract<Condition, { derived: string }>, derived: Derived, variable: Variable): DerivedLeaf {
  const test = (figure: number, properties: Properties): boolean | null => {
    const value = derivedValue(derived, figure, properties);
    return value === null ? null : compares(leaf, value);
  };
  /** Listed values that satisfy it, or null when a size is not known. */
  const wantedFor = (properties: Properties): number | null => {
    let wanted = 0;
    for (let k = 0; k < variable.size; k++) {
      const hit = test(variable.figures[k]!, properties);
      if (hit === null) return null;
      if (hit) wanted |= 1 << k;
    }
    return wanted;
  };
  // A thread or a wall alone decides all but the sections, which have several sizes.
  const size = derived.formula === 'thread-left' ? 'thread' : derived.formula === 'wall-lost' ? 'wallMm' : null;
  const known = new Map<string | number | undefined, number | null>();
  const remembered = (properties: Properties): number | null => {
    if (size === null) return wantedFor(properties);
    const key = properties[size];
    let wanted = known.get(key);
    if (wanted === undefined) {
      wanted = wantedFor(properties);
      if (known.size >= MOST_SIZES) known.clear();
      known.set(key, wanted);
    }
    return wanted;
  };
  return (possible, exact, properties) => {
    if (!Number.isNaN(exact)) {
      const hit = test(exact, properties);
      return hit === null ? UNKNOWN : hit ? TRUE : FALSE;
    }
    if (possible === 0) return FALSE;
    const wanted = remembered(properties);
    return wanted === null ? UNKNOWN : truthOfBits(possible, wanted);
  };
}

/**
 * Value of a derived fact for one figure of its check.
 *
 * @param figure loss in mm as measured
 * @returns fraction 0 to 1, or null when a size that the formula needs is not known
 */
export function derivedValue(derived: Derived, figure: number, properties: Properties): number | null {
  const value = fractionOf(derived, figure, properties);
  return value === null ? null : Math.round(value * EXACT) / EXACT;
}

function fractionOf(derived: Derived, figure: number, properties: Properties): number | null {
  if (derived.formula === 'thread-left') return stressAreaLeft(properties.thread ?? usualThread(derived), figure);
  if (derived.formula === 'wall-lost') return wallLost(sizeOf(derived, properties, 'wallMm'), figure);
  return sectionLeft(derived.shape, (name) => sizeOf(derived, properties, name), figure, derived.side ?? 'outside');
}

function sizeOf(derived: Derived, properties: Properties, name: string): number | null {
  const own = properties[name];
  return typeof own === 'number' ? own : (derived.sizes?.[name] ?? null);
}

// 2.8 mm left of 4 is 0.49 and not a hair under it.
const EXACT = 1e9;

/** The thread to reckon with while nobody has gauged it, from the sizes of the rule. */
function usualThread({ sizes }: Derived): string | undefined {
  const { diameterMm, pitchMm } = sizes ?? {};
  return diameterMm === undefined || pitchMm === undefined ? undefined : `M${diameterMm}x${pitchMm}`;
}

/** Is a property comparison true of this component? Null when the property is not stated. */
export function propertyTruth(leaf: Extract<Condition, { property: string }>, properties: Properties): boolean | null {
  const value = properties[leaf.property];
  if (value === undefined) return null;
  if (leaf.is !== undefined && ![leaf.is].flat().some((wanted) => String(wanted) === String(value))) return false;
  const compared = leaf.atLeast ?? leaf.atMost ?? leaf.above ?? leaf.below;
  if (compared === undefined) return true;
  const figure = typeof value === 'number' ? value : Number(value);
  return Number.isFinite(figure) ? compares(leaf, figure) : null;
}
