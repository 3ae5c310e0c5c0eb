import type { Condition, Kind } from '../../shared/index.ts';
import { boundsOf, type Compared, compares } from './bounds.ts';
import { asksDerived } from './derived.ts';
import {
  ALL,
  ANY,
  type Comparison,
  DERIVED,
  FIGURES,
  type Join,
  LISTED,
  type Program,
  STEP,
  STEPS,
} from './program.ts';
import { propertyVariable, type Variable } from './variables.ts';

/** A condition ready to be asked, and the variables that it reads, rising. */
export interface Compiled extends Program {
  variables: readonly number[];
}

/**
 * Makes a condition of a kind ready to be asked.
 *
 * @throws RangeError when it names a check, a derived fact or a choice that the kind does not have
 */
export function compile(condition: Condition, kind: Kind, variables: readonly Variable[]): Compiled {
  const { comparisons, steps }: Writing = { comparisons: [], steps: [] };
  write(condition, kind, variables, { comparisons, steps });
  const parts = 'all' in condition ? condition.all : 'any' in condition ? condition.any : [condition];
  if (!parts.every(isLeaf)) return compiledOf(comparisons, STEPS, steps);
  return compiledOf(comparisons, 'any' in condition ? ANY : ALL, []);
}

/** A rule that fires when a check's listed value is one of some, or its measured figure lies within bounds. */
export function compileValues(variable: number, wanted: number, bounds: Compared | null): Compiled {
  return compiledOf([{ variable, wanted, bounds: bounds && boundsOf(bounds), derived: null }], ALL, []);
}

function compiledOf(comparisons: readonly Comparison[], join: Join, steps: readonly number[]): Compiled {
  const variables = [...new Set(comparisons.map(({ variable }) => variable))].sort((a, b) => a - b);
  const reads = comparisons.some(({ derived }) => derived)
    ? DERIVED
    : comparisons.some(({ bounds }) => bounds)
      ? FIGURES
      : LISTED;
  return { comparisons, join, reads, steps, variables };
}

type PropertyLeaf = Extract<Condition, { property: string }>;
type Leaf = Extract<Condition, { check: string } | { derived: string }> | PropertyLeaf | { not: PropertyLeaf };

/** Is it one comparison? So is a property that must not be: unlike a check, it never fails to apply. */
function isLeaf(condition: Condition): condition is Leaf {
  if ('not' in condition) return 'property' in condition.not;
  return !('all' in condition || 'any' in condition);
}

interface Writing {
  comparisons: Comparison[];
  steps: number[];
}

function write(condition: Condition, kind: Kind, variables: readonly Variable[], writing: Writing): void {
  if (isLeaf(condition)) {
    writing.steps.push(STEP.compare, writing.comparisons.length);
    writing.comparisons.push(comparisonOf(condition, kind, variables));
  } else if ('all' in condition || 'any' in condition) {
    const parts = 'all' in condition ? condition.all : condition.any;
    for (const part of parts) write(part, kind, variables, writing);
    writing.steps.push('all' in condition ? STEP.all : STEP.any, parts.length);
  } else {
    write(condition.not, kind, variables, writing);
    writing.steps.push(STEP.not, 1);
  }
}

function comparisonOf(leaf: Leaf, kind: Kind, variables: readonly Variable[]): Comparison {
  if ('not' in leaf || 'property' in leaf) {
    const id = propertyVariable('not' in leaf ? leaf.not : leaf);
    const variable = variables.findIndex((v) => v.id === id);
    return { variable, wanted: 'not' in leaf ? 0b01 : 0b10, bounds: null, derived: null };
  }
  if ('derived' in leaf) {
    const derived = kind.derived?.find((entry) => entry.id === leaf.derived);
    if (!derived) throw new RangeError(`Cannot compile a condition: no derived fact ${leaf.derived} in ${kind.id}`);
    const variable = variables.findIndex((v) => v.check?.id === derived.check);
    return { variable, wanted: 0, bounds: null, derived: asksDerived(leaf, derived, variables[variable]!) };
  }
  const index = variables.findIndex((v) => v.check?.id === leaf.check);
  const variable = variables[index];
  if (!variable?.check)
    throw new RangeError(`Cannot compile a condition: wanted a check of the kind, found ${leaf.check}`);
  const wanted = wantedValues(leaf, variable);
  const isMeasured = variable.check.answer.type === 'measure';
  return { variable: index, wanted, bounds: isMeasured ? boundsOf(leaf) : null, derived: null };
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
