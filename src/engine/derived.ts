import type { Derived } from '../../shared/index.ts';
import { parseThread, sectionLeft as sectionLeftOf, stressAreaLeft as stressAreaLeftOf } from '../standards/index.ts';
import { type Bounds, boundsOf, type Compared, isWithin } from './bounds.ts';
import { type AsksDerived, FALSE, type Properties, TRUE, type Truth, truthOfBits, UNKNOWN } from './program.ts';
import type { Variable } from './variables.ts';

type Size = (name: string) => number | null;

// Reading a designation is slow beside all else here, and a job has few threads.
const threads = new Map<string, ReturnType<typeof parseThread>>();
const MOST_THREADS = 500;

function threadOf(designation: string): ReturnType<typeof parseThread> {
  let thread = threads.get(designation);
  if (thread === undefined) {
    thread = parseThread(designation);
    if (threads.size >= MOST_THREADS) threads.clear();
    threads.set(designation, thread);
  }
  return thread;
}

/** Fraction of a thread's stress area left after an even loss of `lossMm` on the radius, or null when the thread is not known. */
export function stressAreaLeft(thread: string | number | undefined, lossMm: number): number | null {
  const known = typeof thread === 'string' ? threadOf(thread) : null;
  return known ? stressAreaLeftOf(known, lossMm) : null;
}

/** Fraction of a wall lost, 0 to 1, or null when the wall is not known. */
export function wallLost(wallMm: number | null, lossMm: number): number | null {
  return wallMm === null || wallMm <= 0 ? null : Math.min(1, lossMm / wallMm);
}

/** Fraction of the section modulus left, or null when a size of the section is not known. */
export function sectionLeft(shape: string, size: Size, lossMm: number, side: 'inside' | 'outside'): number | null {
  const loss = { mm: lossMm, side };
  const outerMm = size('outerMm');
  const wallMm = size('wallMm');
  if (shape === 'tube' || shape === 'pipe') {
    return outerMm === null || wallMm === null ? null : sectionLeftOf({ kind: shape, outerMm, wallMm }, loss);
  }
  if (shape === 'box') {
    const heightMm = size('heightMm');
    const widthMm = size('widthMm');
    if (heightMm === null || widthMm === null || wallMm === null) return null;
    return sectionLeftOf({ kind: 'box', heightMm, widthMm, wallMm }, loss);
  }
  if (shape === 'plate') {
    const thicknessMm = size('thicknessMm');
    return thicknessMm === null ? null : sectionLeftOf({ kind: 'plate', thicknessMm }, loss);
  }
  const diameterMm = size('diameterMm');
  return diameterMm === null ? null : sectionLeftOf({ kind: shape as 'bar' | 'wire', diameterMm }, loss);
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

// A workshop meets few threads and few walls; past this the sizes known are forgotten and worked out again.
const MOST_SIZES = 500;

/** Makes a comparison with a derived fact ready to be asked. */
export function asksDerived(compared: Compared, derived: Derived, variable: Variable): AsksDerived {
  const bounds = boundsOf(compared);
  const { figures } = variable;
  // A thread or a wall alone decides all but the sections, which have several sizes.
  const size = derived.formula === 'thread-left' ? 'thread' : derived.formula === 'wall-lost' ? 'wallMm' : null;
  const known = new Map<string | number | undefined, number | null>();
  const wantedFor = (properties: Properties): number | null => {
    if (size === null) return wantedOf(bounds, derived, figures, properties);
    const key = properties[size];
    let wanted = known.get(key);
    if (wanted === undefined) {
      wanted = wantedOf(bounds, derived, figures, properties);
      if (known.size >= MOST_SIZES) known.clear();
      known.set(key, wanted);
    }
    return wanted;
  };
  return (possible, exact, properties) => {
    if (!Number.isNaN(exact)) return truthOf(bounds, derived, exact, properties);
    const wanted = wantedFor(properties);
    return wanted === null && possible !== 0 ? UNKNOWN : truthOfBits(possible, wanted ?? 0);
  };
}

function truthOf(bounds: Bounds, derived: Derived, figure: number, properties: Properties): Truth {
  const value = derivedValue(derived, figure, properties);
  if (value === null) return UNKNOWN;
  return isWithin(bounds, value) ? TRUE : FALSE;
}

/** Bits of the listed figures that satisfy it, or null when a size is not known. */
function wantedOf(bounds: Bounds, derived: Derived, figures: readonly number[], properties: Properties): number | null {
  let wanted = 0;
  for (const [k, figure] of figures.entries()) {
    const truth = truthOf(bounds, derived, figure, properties);
    if (truth === UNKNOWN) return null;
    if (truth === TRUE) wanted |= 1 << k;
  }
  return wanted;
}
