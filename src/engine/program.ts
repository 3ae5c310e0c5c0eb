import { type Bounds, isWithin } from './bounds.ts';

/** Three-valued logic after Kleene, in the order false, not known, true: `all` is the least, `any` the most, `not` turns it round. */
export type Truth = 0 | 1 | 2;
export const FALSE = 0;
export const UNKNOWN = 1;
export const TRUE = 2;

export type Properties = Readonly<Record<string, string | number>>;

/**
 * What is known of a component's checks, one entry a variable of its kind (checks first, then one variable for each
 * property a rule reads): `possible` has bit k set when value k is still possible; `exact` is a measured figure that
 * lies between the listed values, or NaN, and null where every entry would be. `possible` 0 means that the check does not apply.
 */
export interface Knowledge {
  possible: number[];
  exact: readonly number[] | null;
  properties: Properties;
}

/** One comparison that a condition makes. */
export interface Comparison {
  /** What it reads. */
  variable: number;
  /** Bits of the listed values that satisfy it. */
  wanted: number;
  /** Bounds of a figure between the listed values, or null where nothing is measured. */
  bounds: Bounds | null;
  /** Asks a derived fact instead: possible values of its check, its figure between the listed ones or NaN, and the component's sizes. */
  derived: AsksDerived | null;
}

export type AsksDerived = (possible: number, exact: number, properties: Properties) => Truth;

/** What the comparisons of a condition may have to read beside listed values. */
export type Reads = 0 | 1 | 2;
export const LISTED = 0;
export const FIGURES = 1;
export const DERIVED = 2;

/** What joins the comparisons of a condition: all of them, any of them, or steps. */
export type Join = 0 | 1 | 2;
export const ALL = 0;
export const ANY = 1;
export const STEPS = 2;

/**
 * A condition ready to be asked. Most are comparisons under one `all` or `any`. One that nests is a list of steps in
 * postfix order, two numbers each: which step, then the place of a comparison or how many results it joins.
 */
export interface Program {
  comparisons: readonly Comparison[];
  join: Join;
  reads: Reads;
  steps: readonly number[];
}

export const STEP = { compare: 0, all: 1, any: 2, not: 3 } as const;

// One stack serves every condition: asking one never asks another.
const stack: number[] = [];

/** Asks a condition of what is known. */
export function ask({ comparisons, join, reads, steps }: Program, knowledge: Knowledge): Truth {
  if (join === STEPS) return run(steps, comparisons, knowledge);
  return reads > (knowledge.exact === null ? FIGURES : LISTED)
    ? joined(comparisons, join, knowledge)
    : joinedListed(comparisons, join, knowledge.possible);
}

function joined(comparisons: readonly Comparison[], join: Join, knowledge: Knowledge): Truth {
  let truth = join === ALL ? TRUE : FALSE;
  for (let i = 0; i < comparisons.length; i++) {
    const part = compare(comparisons[i]!, knowledge);
    truth = join === ALL ? Math.min(truth, part) : Math.max(truth, part);
  }
  return truth as Truth;
}

/** The same where no figure lies between the listed values, which is most of what is asked. */
function joinedListed(comparisons: readonly Comparison[], join: Join, possible: readonly number[]): Truth {
  let truth = join === ALL ? TRUE : FALSE;
  for (let i = 0; i < comparisons.length; i++) {
    const { variable, wanted } = comparisons[i]!;
    const part = truthOfBits(possible[variable]!, wanted);
    truth = join === ALL ? Math.min(truth, part) : Math.max(truth, part);
  }
  return truth as Truth;
}

function run(steps: readonly number[], comparisons: readonly Comparison[], knowledge: Knowledge): Truth {
  let top = 0;
  for (let at = 0; at < steps.length; at += 2) {
    const operand = steps[at + 1]!;
    switch (steps[at]) {
      case STEP.compare:
        stack[top++] = compare(comparisons[operand]!, knowledge);
        break;
      case STEP.not:
        stack[top - 1] = TRUE - stack[top - 1]!;
        break;
      case STEP.all:
        for (let left = operand; left > 1; left--) top = joinedTop(Math.min(stack[top - 2]!, stack[top - 1]!), top);
        break;
      default:
        for (let left = operand; left > 1; left--) top = joinedTop(Math.max(stack[top - 2]!, stack[top - 1]!), top);
    }
  }
  return stack[0] as Truth;
}

/** Puts one result in the place of the upper two. */
function joinedTop(result: number, top: number): number {
  stack[top - 2] = result;
  return top - 1;
}

function compare({ variable, wanted, bounds, derived }: Comparison, { possible, exact, properties }: Knowledge): Truth {
  const figure = exact === null ? Number.NaN : exact[variable]!;
  if (derived !== null) return derived(possible[variable]!, figure, properties);
  if (bounds !== null && !Number.isNaN(figure)) return isWithin(bounds, figure) ? TRUE : FALSE;
  return truthOfBits(possible[variable]!, wanted);
}

/**
 * Truth of "one of the wanted values" when some values are possible; a check that does not apply makes no rule fire.
 *
 * Plain arithmetic, since a processor guesses a branch badly where answers differ from part to part.
 */
export function truthOfBits(possible: number, wanted: number): Truth {
  const hits = someOf(possible & wanted);
  return (2 * hits - (hits & someOf(possible & ~wanted))) as Truth;
}

/** 1 when some bit is set, 0 when none is. */
function someOf(bits: number): number {
  return (bits | -bits) >>> 31;
}
