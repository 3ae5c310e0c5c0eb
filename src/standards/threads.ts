import { MM_PER_INCH } from '../../shared/index.ts';
import { inRange, positive } from './range.ts';
import { BA_THREADS, INCH_THREADS, METRIC_PITCHES, type ThreadSeries } from './thread-tables.ts';

/** One screw thread: its full designation, nominal diameter and pitch in mm, angle between flanks in degrees. */
export interface Thread {
  readonly designation: string;
  readonly series: ThreadSeries;
  readonly diameterMm: number;
  readonly pitchMm: number;
  readonly flankDeg: number;
}

const FLANK_DEG: Readonly<Record<ThreadSeries, number>> = { M: 60, UNC: 60, UNF: 60, BSW: 55, BSF: 55, BA: 47.5 };
// Pitch diameter = d - a P; minor diameter of the bolt = d - b P. Stress circle = d - c P.
const PROFILE: Readonly<Record<ThreadSeries, readonly [a: number, b: number, c: number]>> = {
  M: [0.649519, 1.226869, 0.938194],
  UNC: [0.649519, 1.226869, 0.9743],
  UNF: [0.649519, 1.226869, 0.9743],
  BSW: [0.640327, 1.280654, 0.960491],
  BSF: [0.640327, 1.280654, 0.960491],
  BA: [0.6, 1.2, 0.9],
};

function metric(diameterMm: number, pitchMm: number): Thread {
  const coarse = METRIC_PITCHES.find(([d]) => d === diameterMm)?.[1][0];
  const designation = pitchMm === coarse ? `M${diameterMm}` : `M${diameterMm}x${pitchMm}`;
  return { designation, series: 'M', diameterMm, pitchMm, flankDeg: FLANK_DEG.M };
}

// Every inch size here is a whole number of 0.00001 mm; rounding takes off the dust of binary fractions.
function inchToMm(inches: number): number {
  return Math.round(inches * MM_PER_INCH * 1e5) / 1e5;
}

function inch(series: 'UNC' | 'UNF' | 'BSW' | 'BSF', size: string, diameterIn: number, tpi: number): Thread {
  return {
    designation: `${size}-${tpi} ${series}`,
    series,
    diameterMm: inchToMm(diameterIn),
    pitchMm: MM_PER_INCH / tpi,
    flankDeg: FLANK_DEG[series],
  };
}

/** Every thread known here, metric first, then unified, Whitworth and BA. Source: the tables of thread-tables.ts */
export const THREADS: readonly Thread[] = [
  ...METRIC_PITCHES.flatMap(([d, pitches]) => pitches.map((p) => metric(d, p))),
  ...(['UNC', 'UNF', 'BSW', 'BSF'] as const).flatMap((series) =>
    INCH_THREADS[series].map(([size, d, tpi]) => inch(series, size, d, tpi)),
  ),
  ...BA_THREADS.map(
    ([number, diameterMm, pitchMm]): Thread => ({
      designation: `${number} BA`,
      series: 'BA',
      diameterMm,
      pitchMm,
      flankDeg: FLANK_DEG.BA,
    }),
  ),
];

/**
 * Reads a thread designation as a mechanic writes it.
 *
 * Blanks, a times sign, a comma for the point and small letters are taken; M10 without a pitch is coarse.
 *
 * @param text Designation, such as M10x1.5, M10, 3/8-24 UNF, 3/8 UNF, 1/2 BSW or 2 BA
 * @returns The thread with diameter and pitch in mm, or null when it is none of those known here
 * Source: ISO 261, ASME B1.1, BS 84, BS 93
 */
export function parseThread(text: string): Thread | null {
  const plain = text.trim().toUpperCase().replaceAll('×', 'X').replaceAll(',', '.').replace(/\s+/g, ' ');
  const asMetric = /^M ?(\d+(?:\.\d+)?)(?: ?X ?(\d+(?:\.\d+)?))?$/.exec(plain);
  if (asMetric !== null) {
    const diameter = Number(asMetric[1]);
    const row = METRIC_PITCHES.find(([d]) => d === diameter);
    const pitch = asMetric[2] === undefined ? row?.[1][0] : Number(asMetric[2]);
    return row !== undefined && pitch !== undefined && row[1].includes(pitch) ? metric(diameter, pitch) : null;
  }
  const asBa = /^(?:(\d) ?BA|BA ?(\d))$/.exec(plain);
  if (asBa !== null) {
    const designation = `${asBa[1] ?? asBa[2]} BA`;
    return THREADS.find((thread) => thread.designation === designation) ?? null;
  }
  const asInch = /^(?:NO\.? ?|#)?(\d+(?:\/\d+)?)(?:"| IN)?(?:[ -](\d+))? ?(UNC|UNF|BSW|BSF)$/.exec(plain);
  if (asInch === null) return null;
  const series = asInch[3] as 'UNC' | 'UNF' | 'BSW' | 'BSF';
  const row = INCH_THREADS[series].find(([size]) => size === asInch[1]);
  if (row === undefined || (asInch[2] !== undefined && Number(asInch[2]) !== row[2])) return null;
  return inch(series, row[0], row[1], row[2]);
}

/**
 * Pitch (effective) diameter of a bolt.
 *
 * @param thread The thread, diameter and pitch in mm
 * @returns Pitch diameter d2, mm
 * Source: ISO 724; ASME B1.1; BS 84 (depth 0.640327 p); BS 93 (depth 0.6 p)
 */
export function pitchDiameterMm(thread: Thread): number {
  return thread.diameterMm - PROFILE[thread.series][0] * thread.pitchMm;
}

/**
 * Diameter at the root of a bolt's thread.
 *
 * @param thread The thread, diameter and pitch in mm
 * @returns Minor diameter d3, mm
 * Source: ISO 724; BS 84; BS 93; for unified threads the rounded root of ASME B1.1, from memory
 */
export function minorDiameterMm(thread: Thread): number {
  return thread.diameterMm - PROFILE[thread.series][1] * thread.pitchMm;
}

/**
 * Diameter of the round bar that is as strong in tension as the threaded part.
 *
 * @param thread The thread, diameter and pitch in mm
 * @returns Diameter of the stress circle, mm: (d2 + d3) / 2, for unified threads d - 0.9743 p
 * Source: ISO 898-1 clause on the stress area; ASME B1.1
 */
export function stressDiameterMm(thread: Thread): number {
  return thread.diameterMm - PROFILE[thread.series][2] * thread.pitchMm;
}

/**
 * Stress area of a bolt by the formula.
 *
 * For Whitworth and BA no published stress area was found; the mean of pitch and minor diameter is used as for metric.
 *
 * @param thread The thread, diameter and pitch in mm
 * @returns Stress area, mm2, not rounded
 * Source: ISO 898-1, As = pi/4 ((d2 + d3)/2)^2; ASME B1.1, As = 0.7854 (D - 0.9743/n)^2; Whitworth and BA computed
 */
export function stressAreaMm2(thread: Thread): number {
  const diameter = stressDiameterMm(thread);
  return (Math.PI / 4) * diameter * diameter;
}

/**
 * Stress area as a standard prints it, the one that proof loads are reckoned from.
 *
 * @param thread The thread, diameter and pitch in mm
 * @returns Stress area, mm2: to three figures for metric, the printed in2 for unified, by formula for the others
 * Source: ISO 898-1:2013 Tables 4 to 7; ASME B1.1
 */
export function nominalStressAreaMm2(thread: Thread): number {
  const area = stressAreaMm2(thread);
  if (thread.series === 'M') {
    const perMm2 = area >= 100 ? 1 : area >= 10 ? 10 : 100;
    return Math.round(area * perMm2) / perMm2;
  }
  if (thread.series === 'UNC' || thread.series === 'UNF') {
    const row = INCH_THREADS[thread.series].find(([, d]) => inchToMm(d) === thread.diameterMm);
    const printed = row?.[3] ?? null;
    if (printed !== null) return printed * MM_PER_INCH * MM_PER_INCH;
  }
  return area;
}

/** What a measured diameter and pitch can be: the threads that fit both, and why a name is or is not given. */
export interface ThreadGuess {
  readonly named: Thread | null;
  readonly candidates: readonly Thread[];
  readonly because: string;
}

// A crest lies a little under the nominal size and rust takes more; a caliper on a dirty crest reads a little over.
const DIAMETER_UNDER_MM = 0.3;
const DIAMETER_OVER_MM = 0.06;
// Ten threads measured with a caliper to 0.2 mm.
const PITCH_SLACK_MM = 0.02;

/**
 * Threads that a measured bolt can have. It never names a thread on the diameter alone.
 *
 * Tolerances (0.3 mm under, 0.06 mm over, pitch 0.02 mm either way) are our own judgement.
 *
 * @param diameterMm Outside diameter over the crests, mm, above 0
 * @param pitchMm Pitch, mm, best taken over ten threads; null when not measured
 * @returns The candidates, the nearest first; named only when a pitch was given and one thread alone fits
 * @throws {RangeError} If a measure is not above 0
 * Source: ISO 261, ASME B1.1, BS 84, BS 93; 5/16 in and M8 are 0.06 mm apart, so only the pitch tells
 */
export function nearestThreads(diameterMm: number, pitchMm: number | null): ThreadGuess {
  positive('diameter in mm', diameterMm);
  if (pitchMm !== null) positive('pitch in mm', pitchMm);
  const distance = (thread: Thread): number =>
    Math.abs(thread.diameterMm - diameterMm) + (pitchMm === null ? 0 : 10 * Math.abs(thread.pitchMm - pitchMm));
  const candidates = THREADS.filter(
    (thread) =>
      thread.diameterMm >= diameterMm - DIAMETER_OVER_MM &&
      thread.diameterMm <= diameterMm + DIAMETER_UNDER_MM &&
      (pitchMm === null || Math.abs(thread.pitchMm - pitchMm) <= PITCH_SLACK_MM),
  ).sort((a, b) => distance(a) - distance(b) || (a.designation < b.designation ? -1 : 1));
  if (candidates.length === 0) {
    return { named: null, candidates, because: 'No thread known here has this diameter and pitch: measure both again' };
  }
  if (pitchMm === null) {
    return {
      named: null,
      candidates,
      because: 'The diameter alone does not name a thread: measure the pitch over ten threads and the head width',
    };
  }
  if (candidates.length > 1) {
    return {
      named: null,
      candidates,
      because: 'More than one thread has this diameter and pitch: lay a flank gauge on it (60, 55 or 47.5 degrees)',
    };
  }
  const named = candidates[0]!;
  return { named, candidates, because: `Only ${named.designation} has this diameter and pitch` };
}

/**
 * Stress area left when the flanks, crest and root of a bolt have lost metal.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param lossMm Depth lost all round, mm, at least 0
 * @returns Fraction of the stress area left, 0 to 1
 * @throws {RangeError} If lossMm is negative
 * Source: computed from the stress circle of ISO 898-1, taken as thinner by twice the depth
 */
export function stressAreaLeft(thread: Thread, lossMm: number): number {
  inRange('depth lost in mm', lossMm, 0);
  const diameter = stressDiameterMm(thread);
  if (2 * lossMm >= diameter) return 0;
  const left = (diameter - 2 * lossMm) / diameter;
  return left * left;
}
