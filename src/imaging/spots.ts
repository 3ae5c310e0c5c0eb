import { assertSameSize, countInside, insidePart, type Mask } from './image.ts';
import { findRegions } from './regions.ts';

/** How the rust is spread: in a few places, all over in spots of many sizes, as fine specks, or a mixture. */
export type Spread = 'none' | 'spot' | 'general' | 'pinpoint' | 'hybrid';

/** Our own limits between the spreads; no standard gives any. */
export interface SpreadLimits {
  /** A speck covers at most this fraction of the part. */
  readonly speckAreaFraction: number;
  /** Pinpoint: at least this share of the rust is specks. */
  readonly pinpointSpeckShare: number;
  /** Pinpoint: at least this many patches. */
  readonly pinpointCount: number;
  /** Hybrid: at least this share of the rust is specks, and less than the pinpoint share. */
  readonly hybridSpeckShare: number;
  /** Spot: at most this many patches are "a few places" wherever they lie. */
  readonly spotPatches: number;
  /**
   * Spot: or this share of the rust lies in the most rusted cells of an 8 x 8 grid that together make up an eighth of the
   * part, or the rusted share of it where that is more.
   */
  readonly spotCellShare: number;
}

/** Counts and sizes of the rust patches on a part. */
export interface Spots {
  readonly count: number;
  readonly spread: Spread;
  /** Largest patch, per cent of the part. */
  readonly largestPercent: number;
  /** Middle patch by size, per cent of the part; 0 without rust. */
  readonly medianPercent: number;
  /** Number of patches by size: up to 0.01, 0.1, 1, 10 and above 10 per cent of the part. */
  readonly sizes: readonly [number, number, number, number, number];
}

const SIZE_LIMITS = [0.01, 0.1, 1, 10] as const;
const GRID = 8;

/**
 * Count the rust patches on a part, sort them by size and say how they are spread.
 *
 * @param rust Mask (height, width), 1 is rust
 * @param part Mask (height, width), 1 is the part
 * @param limits Our limits between the spreads
 * @returns Counts, sizes in per cent of the part, and the spread
 * @throws {RangeError} If the masks differ in size
 * Source: the words spot, general, pinpoint and hybrid are those of ASTM D610; the limits are ours, in rubric/imaging.yaml
 */
export function measureSpots(rust: Mask, part: Mask, limits: SpreadLimits): Spots {
  assertSameSize(rust, part);
  const partPx = countInside(part);
  const inside = insidePart(rust, part);
  const { regions } = findRegions(inside);
  const areas = regions.map((region) => region.areaPx).sort((a, b) => b - a);
  const sizes: [number, number, number, number, number] = [0, 0, 0, 0, 0];
  for (const area of areas) {
    const percent = (100 * area) / partPx;
    const band = SIZE_LIMITS.findIndex((limit) => percent <= limit);
    sizes[band === -1 ? 4 : band]!++;
  }
  const middle = areas[Math.floor(areas.length / 2)] ?? 0;
  return {
    count: areas.length,
    spread: spreadOf(areas, partPx, cellShare(inside, part), limits),
    largestPercent: partPx === 0 ? 0 : (100 * (areas[0] ?? 0)) / partPx,
    medianPercent: partPx === 0 ? 0 : (100 * middle) / partPx,
    sizes,
  };
}

function spreadOf(areas: readonly number[], partPx: number, topCells: number, limits: SpreadLimits): Spread {
  if (areas.length === 0) return 'none';
  const total = areas.reduce((sum, area) => sum + area, 0);
  const specks = areas.filter((area) => area <= limits.speckAreaFraction * partPx);
  const speckShare = specks.reduce((sum, area) => sum + area, 0) / total;
  if (speckShare >= limits.pinpointSpeckShare && areas.length >= limits.pinpointCount) return 'pinpoint';
  if (areas.length <= limits.spotPatches || topCells >= limits.spotCellShare) return 'spot';
  return speckShare >= limits.hybridSpeckShare ? 'hybrid' : 'general';
}

/** Share of the rust in the most rusted cells that together make up an eighth of the part, or as much as is rusted. */
function cellShare(rust: Mask, part: Mask): number {
  const cells = Array.from({ length: GRID * GRID }, () => ({ rust: 0, part: 0 }));
  const { height, width } = part;
  // Columns by cell, so that the inner loop has no division.
  const starts = Array.from({ length: GRID + 1 }, (_, col) => Math.ceil((col * width) / GRID));
  for (let row = 0; row < height; row++) {
    const cellRow = Math.floor((row * GRID) / height) * GRID;
    for (let cellCol = 0; cellCol < GRID; cellCol++) {
      let [rustPx, inPart] = [0, 0];
      for (let i = row * width + starts[cellCol]!, end = row * width + starts[cellCol + 1]!; i < end; i++) {
        if (part.data[i] === 0) continue;
        inPart++;
        rustPx += rust.data[i]!;
      }
      cells[cellRow + cellCol]!.part += inPart;
      cells[cellRow + cellCol]!.rust += rustPx;
    }
  }
  const partPx = cells.reduce((sum, cell) => sum + cell.part, 0);
  const rustPx = cells.reduce((sum, cell) => sum + cell.rust, 0);
  if (rustPx === 0) return 0;
  const wanted = Math.max(partPx / 8, rustPx);
  let held = 0;
  let covered = 0;
  for (const cell of cells.filter((c) => c.part > 0).sort((a, b) => b.rust / b.part - a.rust / a.part)) {
    if (covered + cell.part > wanted && covered > 0) break;
    covered += cell.part;
    held += cell.rust;
  }
  return held / rustPx;
}
