import { inRange, positive } from './range.ts';
import { pitchDiameterMm, type Thread } from './threads.ts';

/** Densities, g/cm3. Source: handbook values */
export const DENSITY_G_CM3: Readonly<Record<'steel' | 'iron' | 'aluminium' | 'zinc', number>> = {
  steel: 7.85,
  iron: 7.2,
  aluminium: 2.7,
  zinc: 7.14,
};

/** A part's bare mass in kg and the surface that is blasted or painted in dm2. */
export interface PartSize {
  readonly massKg: number;
  readonly areaDm2: number;
}

/**
 * Both faces of a sheet part, or the surface of a chunky one of this mean section, from its mass.
 *
 * A closed box shows only half of it outside.
 *
 * @param massKg Mass of the metal, kg, at least 0
 * @param thicknessMm Sheet thickness or mean section, mm, above 0
 * @param densityGCm3 Density, g/cm3, above 0; steel unless said
 * @returns Area, dm2
 * @throws {RangeError} If a figure is outside its range
 * Source: geometry, 200 m / (density x thickness)
 */
export function sheetAreaDm2(massKg: number, thicknessMm: number, densityGCm3 = DENSITY_G_CM3.steel): number {
  inRange('mass in kg', massKg, 0);
  return (200 * massKg) / (positive('density in g/cm3', densityGCm3) * positive('thickness in mm', thicknessMm));
}

/**
 * Mass and surface of a solid round bar, ends left out.
 *
 * @param diameterMm Diameter, mm, above 0
 * @param lengthMm Developed length, mm, above 0
 * @param densityGCm3 Density, g/cm3, above 0; steel unless said
 * @returns Mass in kg, surface in dm2
 * @throws {RangeError} If a figure is not above 0
 * Source: geometry, pi/4 d^2 L and pi d L
 */
export function barSize(diameterMm: number, lengthMm: number, densityGCm3 = DENSITY_G_CM3.steel): PartSize {
  positive('diameter in mm', diameterMm);
  positive('length in mm', lengthMm);
  positive('density in g/cm3', densityGCm3);
  return {
    massKg: (Math.PI / 4) * diameterMm * diameterMm * lengthMm * densityGCm3 * 1e-6,
    areaDm2: Math.PI * diameterMm * lengthMm * 1e-4,
  };
}

/**
 * Mass and surface of a coil spring.
 *
 * @param wireMm Wire diameter, mm, above 0
 * @param meanDiameterMm Mean coil diameter, mm, above 0
 * @param turns Number of turns, above 0
 * @returns Length of wire in mm, mass in kg, surface in dm2
 * @throws {RangeError} If a figure is not above 0
 * Source: geometry, wire length pi D n
 */
export function springSize(wireMm: number, meanDiameterMm: number, turns: number): PartSize & { wireLengthMm: number } {
  positive('mean diameter in mm', meanDiameterMm);
  const wireLengthMm = Math.PI * meanDiameterMm * positive('turns', turns);
  return { wireLengthMm, ...barSize(wireMm, wireLengthMm) };
}

// Head height k and width across flats s in mm, ISO 4014, from memory.
const HEX_HEADS: ReadonlyMap<number, readonly [k: number, s: number]> = new Map([
  [5, [3.5, 8]],
  [6, [4, 10]],
  [8, [5.3, 13]],
  [10, [6.4, 16]],
  [12, [7.5, 18]],
  [14, [8.8, 21]],
  [16, [10, 24]],
  [18, [11.5, 27]],
  [20, [12.5, 30]],
]);

/**
 * Mass of a steel hexagon bolt with a plain shank.
 *
 * @param thread A metric thread, diameter and pitch in mm
 * @param lengthMm Length under the head, mm, above 0 to 125
 * @returns Mass, kg; null for a thread whose head is not listed
 * @throws {RangeError} If lengthMm is outside its range
 * Source: ISO 4014 (head and thread length 2 d + 6, from memory); head 0.866 s^2 k, threaded part at the pitch diameter, computed
 */
export function boltMassKg(thread: Thread, lengthMm: number): number | null {
  inRange('length in mm', positive('length in mm', lengthMm), 0, 125);
  const head = thread.series === 'M' ? HEX_HEADS.get(thread.diameterMm) : undefined;
  if (head === undefined) return null;
  const [height, flats] = head;
  const threaded = Math.min(lengthMm, 2 * thread.diameterMm + 6);
  const headMm3 = (Math.sqrt(3) / 2) * flats * flats * height;
  const steel = DENSITY_G_CM3.steel;
  const shankKg = lengthMm > threaded ? barSize(thread.diameterMm, lengthMm - threaded, steel).massKg : 0;
  return headMm3 * steel * 1e-6 + shankKg + barSize(pitchDiameterMm(thread), threaded, steel).massKg;
}
