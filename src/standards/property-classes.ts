import { MM_PER_INCH } from '../../shared/index.ts';
import { positive } from './range.ts';
import { nominalStressAreaMm2, type Thread } from './threads.ts';

/** Least strengths of a bolt class; a null field is one that the source does not give. */
export interface PropertyClass {
  readonly id: string;
  readonly tensileMPa: number;
  readonly yieldMPa: number | null;
  readonly proofMPa: number | null;
  readonly hardnessMaxHV: number | null;
  readonly temperMinC: number | null;
  readonly quenchedAndTempered: boolean;
}

/** How the class is to be read. */
export interface ClassOptions {
  /** True for a bolt of unknown make or from before 2009, whose 10.9 may be low-carbon boron steel. */
  readonly old?: boolean;
  /** Length under the head in mm; SAE grade 2 over 152.4 mm only has to meet grade 1. */
  readonly lengthMm?: number;
}

const MPA_PER_KSI = 6.894757;
const MPA_PER_TONF_IN2 = 15.4443;

type Row = readonly [
  tensile: number,
  yields: number | null,
  proof: number | null,
  hv: number | null,
  temper: number | null,
];

// ISO 898-1:2013 Table 3; temper of 12.9 is 380 in the 1999 edition and for the underlined mark: the lower is used.
const ISO_898_1: Readonly<Record<string, Row>> = {
  '4.6': [400, 240, 225, 220, null],
  '4.8': [420, 340, 310, 220, null],
  '5.6': [500, 300, 280, 220, null],
  '5.8': [520, 420, 380, 220, null],
  '6.8': [600, 480, 440, 250, null],
  '8.8': [800, 640, 580, 320, 425],
  '9.8': [900, 720, 650, 360, 425],
  '10.9': [1040, 940, 830, 380, 425],
  '12.9': [1220, 1100, 970, 435, 380],
};
const ISO_8_8_THICK: Row = [830, 660, 600, 335, 425];
const OLD_BORON_10_9_C = 340;

// SAE J429 in ksi; hardness turned from Rockwell to Vickers by ASTM E140, from memory. Temper of 5.2 and 8.2 from memory.
const SAE_J429: Readonly<Record<string, Row>> = {
  '1': [60, 36, 33, 240, null],
  '2': [74, 57, 55, 240, null],
  '5': [120, 92, 85, 336, 427],
  '5.1': [120, null, 85, 392, null],
  '5.2': [120, 92, 85, 354, 343],
  '7': [133, 115, 105, null, null],
  '8': [150, 130, 120, 382, 427],
  '8.2': [150, 130, 120, 382, 343],
};
const SAE_5_THICK: Row = [105, 81, 74, 302, 427];
const SAE_SOFT = new Set(['1', '2']);

// Least tensile strength in tonf/in2: X and Y read, the others from memory of BS 1768; P is the lowest of all.
const BRITISH: Readonly<Record<string, number>> = { P: 35, R: 45, S: 50, T: 55, V: 65, X: 75, Y: 80 };
const BRITISH_SOFT = new Set(['P']);

function fromKsi(id: string, row: Row): PropertyClass {
  const [tensile, yields, proof, hardnessMaxHV, temperMinC] = row;
  return {
    id: `SAE ${id}`,
    tensileMPa: tensile * MPA_PER_KSI,
    yieldMPa: yields === null ? null : yields * MPA_PER_KSI,
    proofMPa: proof === null ? null : proof * MPA_PER_KSI,
    hardnessMaxHV,
    temperMinC,
    quenchedAndTempered: !SAE_SOFT.has(id),
  };
}

// A size on the limit is within it, whatever turning inches into mm does to the last digit.
function isOverInches(mm: number, inches: number): boolean {
  return mm > inches * MM_PER_INCH + 1e-6;
}

function sae(grade: string, diameterMm: number, lengthMm: number): PropertyClass | null {
  const row = SAE_J429[grade];
  if (row === undefined || isOverInches(diameterMm, 1.5)) return null;
  if (grade === '2' && (isOverInches(diameterMm, 0.75) || isOverInches(lengthMm, 6)))
    return fromKsi(grade, SAE_J429['1']!);
  if (isOverInches(diameterMm, 1)) {
    if (grade === '5') return fromKsi(grade, SAE_5_THICK);
    if (grade === '5.2' || grade === '8.2') return null;
  }
  return fromKsi(grade, row);
}

function metricClass(id: string, diameterMm: number, old: boolean): PropertyClass | null {
  const row = id === '8.8' && diameterMm > 16 ? ISO_8_8_THICK : ISO_898_1[id];
  if (row === undefined || diameterMm > 39 || (id === '9.8' && diameterMm > 16)) return null;
  const [tensileMPa, yieldMPa, proofMPa, hardnessMaxHV, temper] = row;
  const temperMinC = id === '10.9' && old ? OLD_BORON_10_9_C : temper;
  return { id, tensileMPa, yieldMPa, proofMPa, hardnessMaxHV, temperMinC, quenchedAndTempered: temper !== null };
}

/**
 * Least strengths of a bolt by the class or grade marked on its head.
 *
 * Where editions differ the lower tempering temperature is given (12.9: 380). A bare number without a point, 5.1, 5.2
 * and 8.2 are SAE grades; a single letter is a British grade, of which only the tensile strength is known here.
 *
 * @param id Class such as 8.8, SAE 5 (or 5), BS T (or T)
 * @param diameterMm Thread diameter, mm, above 0
 * @param options Whether the bolt is old, and its length in mm
 * @returns Strengths in MPa, highest core hardness in HV, least tempering temperature in degrees C; null when the class
 *   is unknown or not made in this diameter
 * @throws {RangeError} If diameterMm is not above 0
 * Source: ISO 898-1:2013 Tables 2 and 3 (10.9 boron and 12.9: 1999 edition); SAE J429; BS 1768 as quoted
 */
export function propertyClass(id: string, diameterMm: number, options: ClassOptions = {}): PropertyClass | null {
  positive('thread diameter in mm', diameterMm);
  const plain = id.trim().toUpperCase();
  const letter = /^(?:BS ?)?([PRSTVXY])$/.exec(plain)?.[1];
  if (letter !== undefined) {
    return {
      id: `BS ${letter}`,
      tensileMPa: BRITISH[letter]! * MPA_PER_TONF_IN2,
      yieldMPa: null,
      proofMPa: null,
      hardnessMaxHV: null,
      temperMinC: null,
      quenchedAndTempered: !BRITISH_SOFT.has(letter),
    };
  }
  if (Object.hasOwn(ISO_898_1, plain)) return metricClass(plain, diameterMm, options.old ?? false);
  const grade = /^(?:SAE(?: GRADE)? ?|GRADE ?)?(\d(?:\.[12])?)$/.exec(plain)?.[1];
  return grade === undefined ? null : sae(grade, diameterMm, options.lengthMm ?? 0);
}

/**
 * Load that a bolt must stand without lasting stretch.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param classId Class as for propertyClass
 * @param lengthMm Length under the head, mm, above 0; matters for SAE grade 2 over 152.4 mm only
 * @returns Proof load, N, or null when the class is unknown, has no proof stress, or is a bare nut class on a metric thread
 * @throws {RangeError} If lengthMm is given and not above 0
 * Source: ISO 898-1:2013 Tables 5 and 7, nominal area times proof stress; SAE J429
 */
export function proofLoadN(thread: Thread, classId: string, lengthMm?: number): number | null {
  const options = lengthMm === undefined ? {} : { lengthMm: positive('length in mm', lengthMm) };
  // A whole number beside a metric thread is a nut class, not an SAE grade.
  if (thread.series === 'M' && /^\s*\d+\s*$/.test(classId)) return null;
  const proofMPa = propertyClass(classId, thread.diameterMm, options)?.proofMPa ?? null;
  return proofMPa === null ? null : proofMPa * nominalStressAreaMm2(thread);
}

/** What the lines on an inch bolt's head say: the grade, whether it is only assumed, and why. */
export interface HeadMark {
  readonly id: string;
  readonly isAssumed: boolean;
  readonly because: string;
}

/**
 * Grade of an inch bolt by the radial lines on its head.
 *
 * @param lines Number of radial lines, whole number, at least 0
 * @param even True when the lines are spread evenly round the head
 * @returns The SAE grade, or null for a pattern that is none of the known ones: treat as unmarked
 * @throws {RangeError} If lines is negative or not whole
 * Source: SAE J429 head marks (evenly spread lines + 2 = grade); layout of 5.2 and 8.2 from memory; unmarked is common practice
 */
export function gradeFromHeadLines(lines: number, even: boolean): HeadMark | null {
  if (!(Number.isInteger(lines) && lines >= 0)) {
    throw new RangeError(`Cannot read a head mark: lines must be a whole number from 0, found ${lines}`);
  }
  if (lines === 0) {
    return { id: 'SAE 1', isAssumed: true, because: 'No lines or only a maker mark: take the weakest, grade 1' };
  }
  if (even && (lines === 3 || lines === 5 || lines === 6)) {
    const old = lines === 5 ? ', an old grade' : '';
    return { id: `SAE ${lines + 2}`, isAssumed: false, because: `${lines} even lines + 2 = grade ${lines + 2}${old}` };
  }
  if (!even && (lines === 3 || lines === 6)) {
    const id = lines === 3 ? 'SAE 5.2' : 'SAE 8.2';
    return { id, isAssumed: false, because: `${lines} uneven lines: boron steel, lost to heat sooner` };
  }
  return null;
}

/**
 * Whether heat has taken a bolt's class away.
 *
 * @param classId Class as for propertyClass
 * @param temperatureC Highest temperature the bolt has seen, degrees C, at least -273.15
 * @param options Whether the bolt is old: then 10.9 may be boron steel, lost above 340
 * @returns True above the least tempering temperature, false up to it, null when the class has none or is unknown
 * @throws {RangeError} If temperatureC is not a temperature
 * Source: ISO 898-1 Table 2 (12.9 and boron 10.9: 1999 edition); SAE J429 (5.2 and 8.2 from memory)
 */
export function classLostAt(classId: string, temperatureC: number, options: ClassOptions = {}): boolean | null {
  if (!(temperatureC >= -273.15 && temperatureC <= Number.MAX_VALUE)) {
    throw new RangeError(`Cannot judge heat: temperature must be at least -273.15 C, found ${temperatureC}`);
  }
  // The tempering temperature does not depend on the diameter; 10 mm is inside every table.
  const temperMinC = propertyClass(classId, 10, options)?.temperMinC ?? null;
  return temperMinC === null ? null : temperatureC > temperMinC;
}
