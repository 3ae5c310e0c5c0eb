import type { Check, Condition, Kind } from '../../shared/index.ts';
import { compares } from './bounds.ts';
import type { Properties } from './program.ts';

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

/** Id of the variable that stands for a property comparison. */
export function propertyVariable(leaf: Extract<Condition, { property: string }>): string {
  return `property:${JSON.stringify(leaf)}`;
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
