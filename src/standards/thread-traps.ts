import { parseThread, type Thread } from './threads.ts';

/** A thread that is taken for another: its name, what happens, and where that is known from. */
export interface ThreadTrap {
  readonly other: string;
  readonly why: string;
  readonly basis: 'published' | 'computed' | 'from-memory';
}

type Match = (thread: Thread) => boolean;
interface Pair {
  readonly a: Match;
  readonly aName: string;
  readonly b: Match;
  readonly bName: string;
  readonly why: string;
  readonly basis: ThreadTrap['basis'];
}

const size =
  (prefix: string): Match =>
  (thread) =>
    thread.designation.startsWith(`${prefix}-`);
const is =
  (designation: string): Match =>
  (thread) =>
    thread.designation === designation;
const metricOf =
  (diameterMm: number): Match =>
  (thread) =>
    thread.series === 'M' && thread.diameterMm === diameterMm;

const PAIRS: readonly Pair[] = [
  {
    a: is('5/16-24 UNF'),
    aName: '5/16-24 UNF',
    b: is('M8x1'),
    bName: 'M8x1',
    why: 'pitch 1.058 against 1.0 mm: starts by hand, soon binds, strips when forced',
    basis: 'computed',
  },
  {
    a: size('5/16'),
    aName: '5/16 in',
    b: metricOf(8),
    bName: 'M8',
    why: 'only 0.06 mm apart in diameter, less than wear: the pitch decides',
    basis: 'computed',
  },
  {
    a: is('1/4-28 UNF'),
    aName: '1/4-28 UNF',
    b: is('M6'),
    bName: 'M6',
    why: 'an M6 bolt drops loosely into a 1/4 in hole and holds on the crests only; pitch 0.907 against 1.0 mm',
    basis: 'computed',
  },
  {
    a: size('3/8'),
    aName: '3/8 in',
    b: metricOf(10),
    bName: 'M10',
    why: 'a 3/8 in bolt enters an M10 hole, then binds or strips',
    basis: 'computed',
  },
  {
    a: is('1/2-20 UNF'),
    aName: '1/2-20 UNF',
    b: is('M12x1.25'),
    bName: 'M12x1.25',
    why: 'pitch 1.27 against 1.25 mm: the thinner bolt goes into the larger nut with little overlap, as on wheel studs',
    basis: 'computed',
  },
  {
    a: is('9/16-18 UNF'),
    aName: '9/16-18 UNF',
    b: is('M14x1.5'),
    bName: 'M14x1.5',
    why: '0.29 mm apart in diameter, pitch 1.411 against 1.5 mm',
    basis: 'computed',
  },
  {
    a: size('5/8'),
    aName: '5/8 in',
    b: metricOf(16),
    bName: 'M16',
    why: '0.13 mm apart in diameter: the pitch decides',
    basis: 'computed',
  },
  {
    a: is('0 BA'),
    aName: '0 BA',
    b: is('M6'),
    bName: 'M6',
    why: 'same diameter and pitch, flanks 47.5 against 60 degrees: they go together and must not carry a load',
    basis: 'published',
  },
  {
    a: is('10-32 UNF'),
    aName: '10-32 UNF',
    b: is('M5'),
    bName: 'M5',
    why: 'pitch 0.794 against 0.8 mm, 0.17 mm apart in diameter',
    basis: 'computed',
  },
];

const WHITWORTH_HEADS = new Set(['M6', 'M8x1', 'M10']);

/**
 * The threads that this one is easily taken for, with what happens when they meet.
 *
 * @param thread The thread, diameter and pitch in mm
 * @returns One entry for each trap, the closest first; empty when none is known
 * Source: ASME B1.1 and BS 84 for threads per inch; BS 93 for BA; differences computed from the nominal sizes
 */
export function confusedWith(thread: Thread): ThreadTrap[] {
  const traps: ThreadTrap[] = [];
  const add = (other: string, why: string, basis: ThreadTrap['basis']): void => {
    if (!traps.some((trap) => trap.other === other)) traps.push({ other, why, basis });
  };
  if (thread.series === 'UNC' || thread.series === 'BSW') {
    const inchSize = thread.designation.slice(0, thread.designation.indexOf('-'));
    const twin = parseThread(`${inchSize} ${thread.series === 'UNC' ? 'BSW' : 'UNC'}`);
    if (twin !== null) {
      const why =
        twin.pitchMm === thread.pitchMm
          ? 'same threads per inch, so they screw together, but flanks of 55 and 60 degrees touch on a line only: reject'
          : 'same diameter, 12 threads per inch against 13: starts, then binds';
      add(twin.designation, why, 'published');
    }
  }
  for (const pair of PAIRS) {
    if (pair.a(thread)) add(pair.bName, pair.why, pair.basis);
    else if (pair.b(thread)) add(pair.aName, pair.why, pair.basis);
  }
  if (WHITWORTH_HEADS.has(thread.designation)) {
    add(
      'a Whitworth thread',
      'some British engines between the wars have this metric thread under a Whitworth hexagon: do not go by the head',
      'published',
    );
  }
  return traps;
}
