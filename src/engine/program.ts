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

/** Asks a derived fact: possible values of its check, its measured figure or NaN, and the component's sizes. */
export type DerivedLeaf = (possible: number, exact: number, properties: Properties) => Truth;

/**
 * A condition as a flat list of steps in postfix order, so that asking it is one loop over whole numbers. Four numbers a
 * step: what it is, then for a check its variable, the bits of the listed values that satisfy it, and its place in `bounds`; for a
 * derived fact its variable and its place in `derived`; for `all` and `any` how many results they join.
 */
export interface Program {
  steps: Int32Array;
  /** Least, greater than, most and less than, for a measured figure. */
  bounds: Float64Array;
  derived: readonly DerivedLeaf[];
}

export const STEP = { check: 0, derived: 1, all: 2, any: 3, not: 4 } as const;
/** Numbers a step. */
export const STEP_WIDTH = 4;

// One stack serves every condition: asking one never asks another.
let stack = new Uint8Array(64);

/** Makes a condition ready to be run. */
export function programOf(
  steps: readonly number[],
  bounds: readonly number[],
  derived: readonly DerivedLeaf[],
): Program {
  // Each step leaves one result at most.
  if (steps.length / STEP_WIDTH > stack.length) stack = new Uint8Array(steps.length);
  return { steps: Int32Array.from(steps), bounds: Float64Array.from(bounds), derived };
}

/** Asks a condition of what is known. */
export function run({ steps, bounds, derived }: Program, { possible, exact, properties }: Knowledge): Truth {
  let top = 0;
  for (let at = 0; at < steps.length; at += STEP_WIDTH) {
    const variable = steps[at + 1]!;
    switch (steps[at]) {
      case STEP.check: {
        const figure = exact[variable]!;
        const bits = possible[variable]!;
        const wanted = steps[at + 2]!;
        if (!Number.isNaN(figure)) {
          const from = steps[at + 3]!;
          stack[top++] =
            figure >= bounds[from]! &&
            figure > bounds[from + 1]! &&
            figure <= bounds[from + 2]! &&
            figure < bounds[from + 3]!
              ? TRUE
              : FALSE;
        } else stack[top++] = truthOfBits(bits, wanted);
        break;
      }
      case STEP.derived:
        stack[top++] = derived[steps[at + 2]!]!(possible[variable]!, exact[variable]!, properties);
        break;
      case STEP.not:
        if (stack[top - 1] !== UNKNOWN) stack[top - 1] = stack[top - 1] === TRUE ? FALSE : TRUE;
        break;
      default: {
        // `all` is settled by one that is false, `any` by one that is true.
        const decisive = steps[at] === STEP.all ? FALSE : TRUE;
        let truth: Truth = decisive === FALSE ? TRUE : FALSE;
        for (let left = variable; left > 0; left--) {
          const part = stack[--top];
          if (part === decisive) truth = decisive;
          else if (part === UNKNOWN && truth !== decisive) truth = UNKNOWN;
        }
        stack[top++] = truth;
      }
    }
  }
  return stack[0] as Truth;
}

/** Truth of "one of the wanted values" when some values are possible; a check that does not apply makes no rule fire. */
export function truthOfBits(possible: number, wanted: number): Truth {
  const hit = possible & wanted;
  if (hit === 0) return FALSE;
  return hit === possible ? TRUE : UNKNOWN;
}
