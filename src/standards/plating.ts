import { MM_PER_INCH } from '../../shared/index.ts';
import { pow } from './elementary.ts';
import { inRange, positive } from './range.ts';
import type { Thread } from './threads.ts';

/** Tolerance position: `g` leaves room for plating (6g, or unified class 2A), `h` leaves none (6h, or class 3A). */
export type TolerancePosition = 'g' | 'h';

/** Whether a coat fits a thread; null fields: no figure is known for this thread. */
export interface PlatingFit {
  readonly fits: boolean | null;
  readonly maxUm: number | null;
  readonly source: string;
}

// Fundamental deviation for position g in um by pitch in mm: 0.8 read in ISO 965-1, the others from memory.
const G_DEVIATION_UM: ReadonlyMap<number, number> = new Map([
  [0.5, 20],
  [0.7, 22],
  [0.75, 22],
  [0.8, 24],
  [1, 26],
  [1.25, 28],
  [1.5, 32],
  [1.75, 34],
  [2, 38],
  [2.5, 42],
  [3, 48],
  [3.5, 53],
]);

/**
 * Allowance of a unified class 2A thread: how far its pitch diameter lies under the basic size.
 *
 * @param thread A UNC or UNF thread, diameter and pitch in mm
 * @returns Allowance, um, to the printed 0.0001 in; null for any other series
 * Source: ASME B1.1, 0.3 (0.0015 D^(1/3) + 0.0015 D^(1/2) + 0.015 P^(2/3)) in inches, from memory
 */
export function allowance2AUm(thread: Thread): number | null {
  if (thread.series !== 'UNC' && thread.series !== 'UNF') return null;
  const d = thread.diameterMm / MM_PER_INCH;
  const p = thread.pitchMm / MM_PER_INCH;
  const inches = 0.3 * (0.0015 * pow(d, 1 / 3) + 0.0015 * Math.sqrt(d) + 0.015 * pow(p, 2 / 3));
  return (Math.round(inches * 10_000) / 10_000) * MM_PER_INCH * 1000;
}

function roomUm(thread: Thread, position: TolerancePosition): number | null {
  if (thread.series === 'M') return position === 'h' ? 0 : (G_DEVIATION_UM.get(thread.pitchMm) ?? null);
  if (thread.series === 'UNC' || thread.series === 'UNF') return position === 'h' ? 0 : allowance2AUm(thread);
  return null;
}

/**
 * Thickest coat that still lets the nut on.
 *
 * Each um on the flanks adds 4 um to the pitch diameter. On long bolts the ends build up, so less is allowed:
 * divided by 1.25 from 5 to 10 diameters, by 1.5 up to 15.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param position Tolerance position; h leaves no room at all
 * @param lengthMm Length under the head, mm, above 0; left out means short
 * @returns Thickness, um, at least 0; null when no figure is known for the thread or it is longer than 15 diameters
 * @throws {RangeError} If lengthMm is given and not above 0
 * Source: ISO 4042 on coat thickness and thread fit; ISO 965-1 (g at 0.8 mm read, the rest from memory); ASME B1.1 class 2A from memory
 */
export function platingMaxUm(thread: Thread, position: TolerancePosition, lengthMm?: number): number | null {
  const room = roomUm(thread, position);
  if (room === null) return null;
  const diameters = lengthMm === undefined ? 0 : positive('length in mm', lengthMm) / thread.diameterMm;
  if (diameters > 15) return null;
  const buildUp = diameters > 10 ? 1.5 : diameters > 5 ? 1.25 : 1;
  return room / (4 * buildUp);
}

/**
 * Whether a coat fits a thread.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param um Coat thickness, um, at least 0
 * @param position Tolerance position, g unless said
 * @param lengthMm Length under the head, mm, above 0; left out means short
 * @returns Whether it fits, the thickest coat in um, and the source; null fields when no figure is known
 * @throws {RangeError} If um is negative or lengthMm not above 0
 * Source: as platingMaxUm
 */
export function platingFits(
  thread: Thread,
  um: number,
  position: TolerancePosition = 'g',
  lengthMm?: number,
): PlatingFit {
  inRange('coat thickness in um', um, 0);
  const maxUm = platingMaxUm(thread, position, lengthMm);
  const source =
    thread.series === 'M'
      ? 'ISO 4042, a quarter of the ISO 965-1 deviation (deviation from memory above pitch 0.8)'
      : thread.series === 'UNC' || thread.series === 'UNF'
        ? 'A quarter of the ASME B1.1 class 2A allowance (from memory)'
        : 'No published room for plating found for this thread';
  return { fits: maxUm === null ? null : um <= maxUm, maxUm, source };
}

/** An electroplated zinc class: designation, least thickness in um and the service it is for. Source: ASTM B633, ISO 2081 */
export interface ZincServiceClass {
  readonly designation: string;
  readonly minUm: number;
  readonly service: 'mild' | 'moderate' | 'severe' | 'very severe';
}

/** Electroplated zinc by service condition, thinnest first, thickness in um. Source: ASTM B633-15 classes SC1 to SC4; ISO 2081 */
export const ZINC_SERVICE_CLASSES: readonly ZincServiceClass[] = [
  { designation: 'Fe/Zn 5', minUm: 5, service: 'mild' },
  { designation: 'Fe/Zn 8', minUm: 8, service: 'moderate' },
  { designation: 'Fe/Zn 12', minUm: 12, service: 'severe' },
  { designation: 'Fe/Zn 25', minUm: 25, service: 'very severe' },
];

/**
 * Best electroplated zinc class that a thickness meets.
 *
 * @param um Zinc thickness, um, at least 0
 * @returns The class, or null under 5 um
 * @throws {RangeError} If um is negative
 * Source: ASTM B633-15; ISO 2081
 */
export function zincServiceClass(um: number): ZincServiceClass | null {
  inRange('zinc thickness in um', um, 0);
  return ZINC_SERVICE_CLASSES.findLast((row) => um >= row.minUm) ?? null;
}

/** Hours of salt spray to white rust by passivate type. Source: ASTM B633 types II, III, V, VI */
export const WHITE_RUST_HOURS: Readonly<Record<'II' | 'III' | 'V' | 'VI', number>> = {
  II: 96,
  III: 12,
  V: 72,
  VI: 120,
};

/**
 * Least thickness of a hot-dip zinc coat by the section dipped.
 *
 * @param sectionMm Thickness of the metal, mm, above 0
 * @param isCasting True for a casting, false for rolled or forged steel
 * @returns Least local and mean coat, um
 * @throws {RangeError} If sectionMm is not above 0
 * Source: ISO 1461:2009 tables for parts not centrifuged
 */
export function hotDipThicknessUm(sectionMm: number, isCasting: boolean): { localUm: number; meanUm: number } {
  positive('section in mm', sectionMm);
  if (isCasting) return sectionMm >= 6 ? { localUm: 70, meanUm: 80 } : { localUm: 60, meanUm: 70 };
  if (sectionMm > 6) return { localUm: 70, meanUm: 85 };
  if (sectionMm > 3) return { localUm: 55, meanUm: 70 };
  if (sectionMm >= 1.5) return { localUm: 45, meanUm: 55 };
  return { localUm: 35, meanUm: 45 };
}
