import { propertyClass } from './property-classes.ts';
import { positive } from './range.ts';

/** What is known of the part: its class, its highest specified hardness in HV, or its tensile strength in MPa. */
export interface HydrogenInput {
  readonly classId?: string;
  readonly hardnessHV?: number;
  readonly tensileMPa?: number;
}

/** What two documents ask before and after electroplating, and the careful one of the two. */
export interface HydrogenRule {
  readonly iso4042: 'none' | 'verify process' | 'bake';
  readonly b850: { readonly hours: number; readonly tempC: readonly [number, number] } | null;
  /** True when either document asks for a bake: the answer to go by unless the fastener standard is shown to be met. */
  readonly isBakeAdvised: boolean;
  readonly refuse: boolean;
  readonly because: string;
  readonly source: string;
}

const PROCESS_FROM_HV = 360;
const BAKE_ABOVE_HV = 390;
const NEVER_ABOVE_MPA = 1700;
// Upper ends in MPa with hours at 190 to 220 C; the first row begins at 1000 MPa.
const B850_HOURS: readonly (readonly [toMPa: number, hours: number])[] = [
  [1100, 8],
  [1200, 10],
  [1300, 12],
  [1400, 14],
  [1500, 16],
  [1600, 18],
  [1700, 20],
  [1800, 22],
];
const B850_FROM_MPA = 1000;
// Tensile strength is about 3.2 times Vickers hardness for tempered steel (ISO 18265, from memory).
const MPA_PER_HV = 3.2;
const SOURCE = 'ISO 4042:2018 4.4 (the 2022 edition was not read); ASTM B850-98 Table 1; ASTM B633 scope';

function known(input: HydrogenInput): { hardnessHV: number; tensileMPa: number } | null {
  let hardnessHV = input.hardnessHV === undefined ? 0 : positive('hardness in HV', input.hardnessHV);
  let tensileMPa = input.tensileMPa === undefined ? 0 : positive('tensile strength in MPa', input.tensileMPa);
  if (input.classId !== undefined) {
    // The harder of the thin and the thick row, since the diameter is not asked for here.
    const rows = [12, 20].map((d) => propertyClass(input.classId ?? '', d)).filter((row) => row !== null);
    if (rows.length === 0 && hardnessHV === 0 && tensileMPa === 0) return null;
    for (const row of rows) {
      hardnessHV = Math.max(hardnessHV, row.hardnessMaxHV ?? 0);
      tensileMPa = Math.max(tensileMPa, row.tensileMPa);
    }
  }
  if (hardnessHV === 0) hardnessHV = tensileMPa / MPA_PER_HV;
  if (tensileMPa === 0) tensileMPa = hardnessHV * MPA_PER_HV;
  return { hardnessHV, tensileMPa };
}

function reason(
  steel: { hardnessHV: number; tensileMPa: number },
  iso4042: HydrogenRule['iso4042'],
  isBakeAdvised: boolean,
  refuse: boolean,
): string {
  if (refuse) {
    return `Do not electroplate: above ${NEVER_ABOVE_MPA} MPa no bake makes it safe. Use zinc flake, phosphate or paint`;
  }
  const figures = `${Math.round(steel.hardnessHV)} HV at most and ${Math.round(steel.tensileMPa)} MPa at least`;
  if (iso4042 === 'bake') {
    return `Hard enough to crack from hydrogen (${figures}): bake within hours of plating, or better use zinc flake`;
  }
  const asks = iso4042 === 'none' ? 'nothing' : 'a verified process';
  if (isBakeAdvised) {
    return `The documents differ for ${figures}: the fastener standard asks for ${asks}, the plating standard for a bake. Bake unless the plater shows a verified process`;
  }
  return iso4042 === 'none'
    ? `Below the hardness at which hydrogen matters (${figures})`
    : `Near the hardness at which hydrogen matters (${figures}): the plater must show a verified process`;
}

/**
 * Whether a part may be electroplated, and what bake the documents ask for against hydrogen.
 *
 * The documents disagree for 10.9: the fastener standard asks for a verified process, the plating standard for a bake.
 * Both are returned; isBakeAdvised is the careful one, since a small plating line is seldom a verified process.
 * Where only hardness or only strength is known the other is reckoned at 3.2 MPa a HV. Acid pickling and cathodic
 * derusting charge hydrogen as plating does, and a powder cure is no hydrogen bake.
 *
 * @param input Class as for propertyClass, highest specified hardness in HV, tensile strength in MPa; at least one
 * @returns The rules, refusal above 1700 MPa, hours and temperature in degrees C; null when the class is unknown and nothing else is given
 * @throws {RangeError} If nothing is given, or a figure is not above 0
 * Source: ISO 4042:2018 4.4; ASTM B850-98 Table 1; ASTM B633 scope (never above 1700 MPa)
 */
export function hydrogenRule(input: HydrogenInput): HydrogenRule | null {
  if (input.classId === undefined && input.hardnessHV === undefined && input.tensileMPa === undefined) {
    throw new RangeError('Cannot judge hydrogen: wanted a class, a hardness or a tensile strength, found none');
  }
  const steel = known(input);
  if (steel === null) return null;
  const { hardnessHV, tensileMPa } = steel;
  const iso4042 = hardnessHV > BAKE_ABOVE_HV ? 'bake' : hardnessHV >= PROCESS_FROM_HV ? 'verify process' : 'none';
  const refuse = tensileMPa > NEVER_ABOVE_MPA;
  const hours = B850_HOURS.find(([toMPa]) => tensileMPa <= toMPa)?.[1];
  const b850 = tensileMPa < B850_FROM_MPA || hours === undefined ? null : { hours, tempC: [190, 220] as const };
  const isBakeAdvised = !refuse && (iso4042 === 'bake' || b850 !== null);
  const because = reason(steel, iso4042, isBakeAdvised, refuse);
  return { iso4042, b850, isBakeAdvised, refuse, because, source: SOURCE };
}
