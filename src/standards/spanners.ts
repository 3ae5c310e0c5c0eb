import { MM_PER_INCH } from '../../shared/index.ts';
import { positive } from './range.ts';
import { BA_THREADS } from './thread-tables.ts';
import type { Thread } from './threads.ts';

/**
 * Which head is meant where a thread came with more than one: `iso` and `bs` are the present ones, `din-old` the
 * metric heads before ISO, `small` the small metric series, `whitworth-large` the inch heads before BS 1083.
 */
export type HeadSystem = 'iso' | 'din-old' | 'small' | 'bs' | 'whitworth-large';

/** A spanner: what is stamped on it, its width in mm, and the head system it belongs to. */
export interface Spanner {
  readonly stamp: string;
  readonly widthMm: number;
  readonly system: string;
}

// Across flats in mm by thread diameter. M5 to M24 read, M3, M4, M7, M27 and M30 from memory.
const ISO_272: ReadonlyMap<number, number> = new Map([
  [3, 5.5],
  [4, 7],
  [5, 8],
  [6, 10],
  [7, 11],
  [8, 13],
  [10, 16],
  [12, 18],
  [14, 21],
  [16, 24],
  [18, 27],
  [20, 30],
  [22, 34],
  [24, 36],
  [27, 41],
  [30, 46],
]);
const DIN_OLD: ReadonlyMap<number, number> = new Map([
  [10, 17],
  [12, 19],
  [14, 22],
  [22, 32],
]);
// From memory.
const SMALL_SERIES: ReadonlyMap<number, number> = new Map([
  [8, 12],
  [10, 14],
  [12, 17],
]);
// Bolt size, spanner stamped AF, width in inches: BS 1768 bolt heads.
const UNIFIED: readonly (readonly [size: string, af: string, inches: number])[] = [
  ['1/4', '7/16', 0.4375],
  ['5/16', '1/2', 0.5],
  ['3/8', '9/16', 0.5625],
  ['7/16', '5/8', 0.625],
  ['1/2', '3/4', 0.75],
  ['9/16', '13/16', 0.8125],
  ['5/8', '15/16', 0.9375],
  ['3/4', '1-1/8', 1.125],
];
// Spanner stamped W, bolt size that takes it under BS 1083, greatest width of the head in inches.
const WHITWORTH: readonly (readonly [stamp: string, bolt: string, inches: number])[] = [
  ['3/16', '1/4', 0.445],
  ['1/4', '5/16', 0.525],
  ['5/16', '3/8', 0.6],
  ['3/8', '7/16', 0.71],
  ['7/16', '1/2', 0.82],
  ['1/2', '9/16', 0.92],
  ['9/16', '5/8', 1.01],
  ['5/8', '11/16', 1.1],
  ['11/16', '3/4', 1.2],
  ['3/4', '7/8', 1.3],
];

function metricSpanner(diameterMm: number, system: HeadSystem | undefined): Spanner | null {
  const table = system === 'din-old' ? DIN_OLD : system === 'small' ? SMALL_SERIES : ISO_272;
  const widthMm = table.get(diameterMm) ?? (system === 'small' ? undefined : ISO_272.get(diameterMm));
  if (widthMm === undefined) return null;
  const name = system === 'din-old' ? 'old DIN' : system === 'small' ? 'small metric series' : 'ISO 272';
  return { stamp: `${widthMm} mm`, widthMm, system: name };
}

/**
 * Spanner for a bolt head of the usual size. A head size does not identify a thread.
 *
 * @param thread The thread, diameter and pitch in mm
 * @param system Head system where more than one was made; left out means the present one for the thread's series
 * @returns Stamp and width across flats in mm, or null when no head is listed for this thread and system
 * Source: ISO 272 and DIN 931/933 (old) as compared; BS 1768 (unified); BS 1083 (Whitworth); BS 93 (BA)
 */
export function spannerFor(thread: Thread, system?: HeadSystem): Spanner | null {
  if (thread.series === 'M') return metricSpanner(thread.diameterMm, system);
  if (thread.series === 'BA') {
    const flatsMm = BA_THREADS.find(([number]) => thread.designation === `${number} BA`)?.[3];
    return flatsMm === undefined ? null : { stamp: thread.designation, widthMm: flatsMm, system: 'BA' };
  }
  const size = thread.designation.slice(0, thread.designation.indexOf('-'));
  if (thread.series === 'UNC' || thread.series === 'UNF') {
    const row = UNIFIED.find(([bolt]) => bolt === size);
    return row === undefined ? null : { stamp: `${row[1]} AF`, widthMm: row[2] * MM_PER_INCH, system: 'BS 1768' };
  }
  const isLarge = system === 'whitworth-large';
  const row = WHITWORTH.find(([stamp, bolt]) => (isLarge ? stamp : bolt) === size);
  if (row === undefined) return null;
  return {
    stamp: `${row[0]} W`,
    widthMm: row[2] * MM_PER_INCH,
    system: isLarge ? 'Whitworth before BS 1083' : 'BS 1083',
  };
}

/** What the stamp on a spanner means: its width in mm and, for Whitworth stamps, the bolt sizes it takes. */
export interface SpannerStamp {
  readonly widthMm: number;
  readonly boltBs1083: string | null;
  readonly boltWhitworthLarge: string | null;
}

/**
 * Reads the stamp of a spanner: AF and mm give a width, W, BS and BA a bolt size.
 *
 * @param stamp Text such as 1/2 AF, 13 mm, 3/8 W, 7/16 BS or 2 BA
 * @returns Width in mm with the bolt sizes for W and BS, or null when the stamp is not known
 * Source: BS 1083 and the large Whitworth series; BS 1768; a spanner stamped BS names the bolt of BS 1083
 */
export function readSpannerStamp(stamp: string): SpannerStamp | null {
  const asBa = BA_THREADS.find(([number]) => stamp.trim().toUpperCase().replace(/\s+/g, ' ') === `${number} BA`);
  if (asBa !== undefined) return { widthMm: asBa[3], boltBs1083: null, boltWhitworthLarge: null };
  const found = /^\s*(\d+(?:[-.]\d+)?(?:\/\d+)?)\s*(AF|W|BSW|BS|MM)\s*$/i.exec(stamp);
  if (found === null) return null;
  const size = found[1]!;
  const unit = found[2]!.toUpperCase();
  if (unit === 'MM') {
    const widthMm = Number(size);
    return widthMm > 0 ? { widthMm, boltBs1083: null, boltWhitworthLarge: null } : null;
  }
  if (unit === 'AF') {
    const parts = /^(?:(\d+)-)?(\d+)(?:\/(\d+))?$/.exec(size);
    if (parts === null) return null;
    const inches = Number(parts[1] ?? 0) + Number(parts[2]) / Number(parts[3] ?? 1);
    const isWidth = inches > 0 && inches < 10;
    return isWidth ? { widthMm: inches * MM_PER_INCH, boltBs1083: null, boltWhitworthLarge: null } : null;
  }
  const row = WHITWORTH.find(([w, bolt]) => (unit === 'BS' ? bolt : w) === size);
  return row === undefined ? null : { widthMm: row[2] * MM_PER_INCH, boltBs1083: row[1], boltWhitworthLarge: row[0] };
}

/** How a spanner sits on a head: the gap in mm (below zero: spanner smaller than the head) and a sentence. */
export interface SpannerFit {
  readonly verdict: 'fits' | 'loose' | 'tight';
  readonly gapMm: number;
  readonly words: string;
}

// Common practice: over 0.2 mm a rusty hexagon rounds; heads run from full size down by about as much.
const GAP_LOOSE_MM = 0.2;
const GAP_NO_USE_MM = 0.5;

/**
 * Whether a spanner suits a head, going by the nominal widths.
 *
 * @param widthMm Width of the spanner, mm, above 0
 * @param headMm Width across flats of the head, mm, above 0
 * @returns fits within 0.2 mm either way, loose above, tight below, with the gap in mm
 * @throws {RangeError} If a width is not above 0
 * Source: common practice, no source; gaps computed from ISO 272, BS 1768 and BS 1083 widths
 */
export function spannerFit(widthMm: number, headMm: number): SpannerFit {
  positive('spanner width in mm', widthMm);
  positive('head width in mm', headMm);
  // Rounded to the micrometre, so that a gap of exactly 0.2 mm is not pushed over by binary fractions.
  const gapMm = Math.round((widthMm - headMm) * 1000) / 1000;
  if (gapMm > GAP_NO_USE_MM) return { verdict: 'loose', gapMm, words: 'Far too wide: it will round the head' };
  if (gapMm > GAP_LOOSE_MM) {
    return { verdict: 'loose', gapMm, words: 'Loose: rounds a tight or rusty hexagon, use the true size, six-point' };
  }
  if (gapMm >= -GAP_LOOSE_MM) return { verdict: 'fits', gapMm, words: 'Fits closely enough to use' };
  return { verdict: 'tight', gapMm, words: 'Goes on a worn head only, or not at all: do not hammer it on' };
}
