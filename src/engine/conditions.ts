import type { Check, Condition, Derived, Kind } from '../../shared/index.ts';
import { sectionLeft, stressAreaLeft, wallLost } from './derived.ts';

/** Three-valued logic after Kleene: 0 false, 1 true, 2 not known. */
export type Truth = 0 | 1 | 2;
export const FALSE = 0;
export const TRUE = 1;
export const UNKNOWN = 2;

export type Properties = Readonly<Record<string, string | number>>;

/**
 * What is known of a component's checks, one entry a variable of its kind (checks first, then one variable for each
 * property a rule reads): `possible` has bit k set when value k is still possible; `exact` is a measured figure that
 * lies between the listed values, or NaN. `possible` 0 means that the check does not apply.
 */
export interface Knowledge {
  possible: Int32Array;
  exact: Float64Array;
  properties: Properties;
}

/** A condition ready to be asked; `variables` are the indices it reads. */
export interface Compiled {
  ask(knowledge: Knowledge): Truth;
  variables: readonly number[];
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
  if ('all' in condition)
    return joined(
      condition.all.map((part) => compile(part, kind, variables)),
      FALSE,
      TRUE,
    );
  if ('any' in condition)
    return joined(
      condition.any.map((part) => compile(part, kind, variables)),
      TRUE,
      FALSE,
    );
  if ('not' in condition) {
    const inner = compile(condition.not, kind, variables);
    return {
      variables: inner.variables,
      ask: (knowledge) => {
        const truth = inner.ask(knowledge);
        return truth === UNKNOWN ? UNKNOWN : truth === TRUE ? FALSE : TRUE;
      },
    };
  }
  if ('property' in condition) {
    const id = propertyVariable(condition);
    const index = variables.findIndex((variable) => variable.id === id);
    return { variables: [index], ask: (knowledge) => truthOfBits(knowledge.possible[index]!, 0b10) };
  }
  if ('derived' in condition) return compileDerived(condition, kind, variables);
  return compileCheck(condition, variables);
}

function joined(parts: Compiled[], decisive: Truth, otherwise: Truth): Compiled {
  const variables = [...new Set(parts.flatMap((part) => part.variables))].sort((a, b) => a - b);
  if (parts.length === 1) return parts[0]!;
  return {
    variables,
    ask: (knowledge) => {
      let unknown = false;
      for (const part of parts) {
        const truth = part.ask(knowledge);
        if (truth === decisive) return decisive;
        if (truth === UNKNOWN) unknown = true;
      }
      return unknown ? UNKNOWN : otherwise;
    },
  };
}

function truthOfBits(possible: number, wanted: number): Truth {
  const hit = possible & wanted;
  // A check that does not apply makes no rule fire.
  if (hit === 0) return FALSE;
  return hit === possible ? TRUE : UNKNOWN;
}

function compileCheck(leaf: Extract<Condition, { check: string }>, variables: readonly Variable[]): Compiled {
  const index = variables.findIndex((variable) => variable.check?.id === leaf.check);
  const variable = variables[index];
  if (!variable?.check)
    throw new RangeError(`Cannot compile a condition: wanted a check of the kind, found ${leaf.check}`);
  const { answer } = variable.check;
  let test: (figure: number) => boolean;
  if (leaf.is !== undefined) {
    if (answer.type !== 'choice') throw new RangeError(`Cannot compare ${leaf.check} with "is": wanted a choice`);
    const ids = [leaf.is].flat();
    const wanted = ids.map((id) => answer.options.findIndex((option) => option.id === id));
    if (wanted.includes(-1)) throw new RangeError(`Cannot compare ${leaf.check}: no such choice as ${ids.join(', ')}`);
    test = (figure) => wanted.includes(figure);
  } else {
    test = (figure) => compares(leaf, figure);
  }
  return maskLeaf(index, variable.figures, test);
}

function maskLeaf(index: number, figures: readonly number[], test: (figure: number) => boolean): Compiled {
  let wanted = 0;
  figures.forEach((figure, k) => {
    if (test(figure)) wanted |= 1 << k;
  });
  return {
    variables: [index],
    ask: (knowledge) => {
      const exact = knowledge.exact[index]!;
      if (!Number.isNaN(exact)) return test(exact) ? TRUE : FALSE;
      return truthOfBits(knowledge.possible[index]!, wanted);
    },
  };
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

function compileDerived(
  leaf: Extract<Condition, { derived: string }>,
  kind: Kind,
  variables: readonly Variable[],
): Compiled {
  const derived = kind.derived?.find((entry) => entry.id === leaf.derived);
  if (!derived) throw new RangeError(`Cannot compile a condition: no derived fact ${leaf.derived} in ${kind.id}`);
  const index = variables.findIndex((variable) => variable.check?.id === derived.check);
  const variable = variables[index]!;
  return {
    variables: [index],
    ask: (knowledge) => {
      const exact = knowledge.exact[index]!;
      const test = (figure: number) => {
        const value = derivedValue(derived, figure, knowledge.properties);
        return value === null ? null : compares(leaf, value);
      };
      if (!Number.isNaN(exact)) {
        const hit = test(exact);
        return hit === null ? UNKNOWN : hit ? TRUE : FALSE;
      }
      const possible = knowledge.possible[index]!;
      let sawTrue = false;
      let sawFalse = possible === 0;
      for (let k = 0; k < variable.size; k++) {
        if ((possible & (1 << k)) === 0) continue;
        const hit = test(variable.figures[k]!);
        if (hit === null) return UNKNOWN;
        if (hit) sawTrue = true;
        else sawFalse = true;
      }
      return sawTrue ? (sawFalse ? UNKNOWN : TRUE) : FALSE;
    },
  };
}

/**
 * Value of a derived fact for one figure of its check.
 *
 * @param figure loss in mm as measured
 * @returns fraction 0 to 1, or null when a size that the formula needs is not known
 */
export function derivedValue(derived: Derived, figure: number, properties: Properties): number | null {
  const size = (name: string): number | null => {
    const own = properties[name];
    if (typeof own === 'number') return own;
    return derived.sizes?.[name] ?? null;
  };
  const value =
    derived.formula === 'thread-left'
      ? stressAreaLeft(properties.thread, figure)
      : derived.formula === 'wall-lost'
        ? wallLost(size('wallMm'), figure)
        : sectionLeft(derived.shape, size, figure, derived.side ?? 'outside');
  return value === null ? null : Math.round(value * EXACT) / EXACT;
}

// 2.8 mm left of 4 is 0.49 and not a hair under it.
const EXACT = 1e9;

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
