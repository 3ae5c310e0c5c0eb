import { parseThread, sectionLeft as sectionLeftOf, stressAreaLeft as stressAreaLeftOf } from '../standards/index.ts';

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
