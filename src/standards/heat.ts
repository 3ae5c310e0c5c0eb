import { type PropertyClass, propertyClass } from './property-classes.ts';
import { inRange } from './range.ts';

/**
 * Temper colours on bare steel with the lowest and highest temperature that two charts give, degrees C.
 *
 * Source: temper-colour chart of a gauge-plate maker and a tool-steel colour list; they differ by 10 to 20 K
 */
export const TEMPER_COLOURS_C: Readonly<Record<string, readonly [low: number, high: number]>> = {
  'faint straw': [199, 210],
  straw: [220, 229],
  'dark straw': [240, 241],
  brown: [249, 250],
  'red brown': [260, 260],
  purple: [270, 271],
  violet: [280, 282],
  'dark blue': [290, 290],
  blue: [300, 302],
  'light blue': [310, 310],
  'grey blue': [320, 320],
  'grey green': [330, 330],
};

/** Glow of steel in dim light, degrees C, darkest first. Source: glow chart of the same tool-steel colour list */
export const GLOW_C: Readonly<Record<string, number>> = {
  'very slight red': 538,
  'slight red': 593,
  'dull red': 649,
  'medium red': 704,
  red: 760,
  'bright red': 816,
  'orange red': 871,
  orange: 927,
  'orange yellow': 982,
  'bright yellow': 1093,
};

/** Temperature at which steel first glows in the dark, degrees C. Source: glow chart of a tool-steel colour list */
export const GLOW_FROM_C = 538;

/** Doubt in a temper colour either way, K: time and alloy move it. Source: comparison of two charts */
export const TEMPER_COLOUR_DOUBT_K = 30;

/** What a temper colour says: at least lowC, probably nominalC, no higher than highC if heated briefly. */
export interface ColourBound {
  readonly lowC: number;
  readonly nominalC: readonly [number, number];
  readonly highC: number;
}

/**
 * Temperature that a temper colour stands for.
 *
 * Hours at 200 C look like minutes at 260, and alloy steel colours later, so a colour is only a lower bound.
 *
 * @param colour A name from TEMPER_COLOURS_C
 * @returns Charts' range and 30 K either side of it, degrees C; null for a colour not listed
 * Source: two temper-colour charts, 30 K of doubt
 */
export function temperColour(colour: string): ColourBound | null {
  if (!Object.hasOwn(TEMPER_COLOURS_C, colour)) return null;
  const nominalC = TEMPER_COLOURS_C[colour]!;
  return { lowC: nominalC[0] - TEMPER_COLOUR_DOUBT_K, nominalC, highC: nominalC[1] + TEMPER_COLOUR_DOUBT_K };
}

/** How a limit is known. */
export type LimitBasis = 'published' | 'from-memory' | 'common-practice';

/** The most a part may see, degrees C, with what happens above it and how that is known. */
export interface HeatLimit {
  readonly maxC: number;
  readonly because: string;
  readonly basis: LimitBasis;
}

/** Heat limits by part. Source: named in each row; common practice has no source */
export const HEAT_LIMITS: Readonly<Record<string, HeatLimit>> = {
  'nylon insert nut': { maxC: 120, because: 'ISO 2320:2015 scope: the insert fails above it', basis: 'published' },
  'all-metal lock nut': { maxC: 150, because: 'ISO 2320:2015 scope', basis: 'published' },
  'bolt in service': { maxC: 150, because: 'ISO 898-1 holds from -50 to 150 C', basis: 'published' },
  'cadmium plate': { maxC: 232, because: 'AC 43.13-1B: cadmium diffuses and embrittles', basis: 'published' },
  'passivated zinc plate': { maxC: 120, because: 'the passivate dries out and cracks', basis: 'from-memory' },
  'rubber bush': { maxC: 90, because: 'rubber hardens and the bond lets go', basis: 'common-practice' },
  'rubber boot': { maxC: 90, because: 'rubber hardens and splits', basis: 'common-practice' },
  'ball joint': { maxC: 110, because: 'seat and grease are lost, POM melts near 165', basis: 'common-practice' },
  'seam sealer': { maxC: 180, because: 'sealer chars', basis: 'common-practice' },
  'structural adhesive': { maxC: 180, because: 'the bond softens', basis: 'common-practice' },
  'body solder': { maxC: 180, because: 'lead-tin filler begins to melt', basis: 'from-memory' },
  spring: { maxC: 200, because: 'peening stress relaxes; never a torch', basis: 'common-practice' },
  'torsion bar': { maxC: 200, because: 'peening stress relaxes; never a torch', basis: 'common-practice' },
  'anti-roll bar': { maxC: 200, because: 'peening stress relaxes; never a torch', basis: 'common-practice' },
};

/**
 * The most heat a part may see.
 *
 * @param what A name from HEAT_LIMITS, or a bolt class such as 8.8
 * @returns Limit in degrees C, or null when none is known
 * Source: HEAT_LIMITS; for a class the least tempering temperature of ISO 898-1 or SAE J429, old boron 10.9 taken
 */
export function heatLimitC(what: string): number | null {
  if (Object.hasOwn(HEAT_LIMITS, what)) return HEAT_LIMITS[what]!.maxC;
  return propertyClass(what, 10, { old: true })?.temperMinC ?? null;
}

/** What was seen of heat on a bolt, strongest evidence used first: a temperature, a glow, grey bare steel, a colour. */
export interface BoltHeat {
  readonly temperatureC?: number;
  readonly isGlowSeen?: boolean;
  readonly isGreyScale?: boolean;
  readonly colour?: string;
  /** True in a brake, steering or suspension joint. */
  readonly isSafetyJoint?: boolean;
  /** False only for a bolt known to be from 2009 or later; left out, the careful limit for old steel is taken. */
  readonly old?: boolean;
}

/** Keep, keep and note, hold open until a hardness test, or reject. */
export interface BoltHeatVerdict {
  readonly verdict: 'keep' | 'note' | 'open' | 'reject';
  readonly because: string;
}

function byBlue({ id, temperMinC }: PropertyClass, isSafetyJoint: boolean): BoltHeatVerdict {
  if (id === '12.9' || id === 'BS X' || id === 'BS Y') {
    return { verdict: 'reject', because: 'Blue may mean 330 C, too near the tempering temperature of this class' };
  }
  if (id === '10.9' || id === 'SAE 8' || id === 'SAE 8.2' || id === 'SAE 5.2' || id === 'BS V') {
    return isSafetyJoint
      ? {
          verdict: 'reject',
          because: 'Blue may mean 330 C; boron steel of this strength is tempered at 340 and its mark is soon lost',
        }
      : { verdict: 'open', because: 'Blue: keep out of use until a hardness test shows a drop of at most 20 HV' };
  }
  return temperMinC === null
    ? { verdict: 'note', because: 'Blue: no tempering temperature is published for this class; record it' }
    : { verdict: 'keep', because: `Blue is well under the ${temperMinC} C at which this class was tempered` };
}

/**
 * What heat that was seen on a bolt means for using it again.
 *
 * @param classId Class as for propertyClass
 * @param heat Temperature in degrees C, glow, grey steel, or a temper colour; and where the bolt sits
 * @returns Verdict with its reason; null when the class is unknown, nothing was seen, or no limit is published for what was seen
 * @throws {RangeError} If the temperature is not one
 * Source: ISO 898-1 Tables 2 and 3, glow chart; barring blue 10.9 from safety joints is our own judgement
 */
export function boltAfterHeat(classId: string, heat: BoltHeat): BoltHeatVerdict | null {
  const bolt = propertyClass(classId, 10, { old: heat.old ?? true });
  if (bolt === null) return null;
  if (heat.temperatureC !== undefined) {
    inRange('temperature in degrees C', heat.temperatureC, -273.15);
    const limit = bolt.temperMinC;
    if (limit !== null) {
      return heat.temperatureC > limit
        ? { verdict: 'reject', because: `Class lost: above the ${limit} C at which it was tempered` }
        : { verdict: 'keep', because: `Not above the ${limit} C at which it was tempered` };
    }
  }
  const hasGlowed = heat.isGlowSeen === true || (heat.temperatureC ?? 0) >= GLOW_FROM_C;
  if (hasGlowed || heat.isGreyScale === true) {
    return bolt.quenchedAndTempered
      ? { verdict: 'reject', because: 'It glowed or burnt grey: every quenched and tempered bolt is lost' }
      : { verdict: 'reject', because: 'It glowed or burnt grey: what strength it had from cold work is gone' };
  }
  const colour = heat.colour === undefined ? null : temperColour(heat.colour);
  if (colour === null) return null;
  if (colour.nominalC[1] < TEMPER_COLOURS_C['dark blue']![0]) {
    return { verdict: 'note', because: 'Straw to purple: warm, but under every tempering temperature; record it' };
  }
  return byBlue(bolt, heat.isSafetyJoint ?? false);
}
