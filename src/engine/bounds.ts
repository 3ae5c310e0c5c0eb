/** A comparison with figures, as the rubric states it. */
export interface Compared {
  atLeast?: number | undefined;
  above?: number | undefined;
  atMost?: number | undefined;
  below?: number | undefined;
}

/** Bounds that a figure must keep, each the widest where none is set. */
export type Bounds = Record<keyof Compared, number>;

/** The bounds that a comparison sets. */
export function boundsOf({ atLeast, above, atMost, below }: Compared): Bounds {
  return {
    atLeast: atLeast ?? -Infinity,
    above: above ?? -Infinity,
    atMost: atMost ?? Infinity,
    below: below ?? Infinity,
  };
}

/** Does a figure keep the bounds? */
export function isWithin({ atLeast, above, atMost, below }: Bounds, figure: number): boolean {
  return figure >= atLeast && figure > above && figure <= atMost && figure < below;
}

/** Does a figure satisfy a comparison? One that sets no bound is satisfied by anything, no number too. */
export function compares({ atLeast, above, atMost, below }: Compared, figure: number): boolean {
  return (
    (atLeast === undefined || figure >= atLeast) &&
    (above === undefined || figure > above) &&
    (atMost === undefined || figure <= atMost) &&
    (below === undefined || figure < below)
  );
}
