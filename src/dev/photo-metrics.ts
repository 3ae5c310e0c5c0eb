import { findRegions, type Mask } from '../imaging/index.ts';

/** Pixel counts of one prediction against the truth. */
export interface Overlap {
  both: number;
  predicted: number;
  truth: number;
}

/** Count agreement; pixels where `used` is 0 are left out. */
export function overlapOf(predicted: Mask, truth: Mask, used?: Uint8Array): Overlap {
  const overlap = { both: 0, predicted: 0, truth: 0 };
  for (let i = 0; i < truth.data.length; i++) {
    if (used !== undefined && used[i] === 0) continue;
    overlap.predicted += predicted.data[i]!;
    overlap.truth += truth.data[i]!;
    overlap.both += predicted.data[i]! & truth.data[i]!;
  }
  return overlap;
}

/** Intersection over union of counts summed over pictures; 1 when there is nothing to find and nothing was found. */
export function iouOf(overlaps: readonly Overlap[]): number {
  const both = sum(overlaps.map((o) => o.both));
  const either = sum(overlaps.map((o) => o.predicted + o.truth)) - both;
  return either === 0 ? 1 : both / either;
}

export function f1Of(overlaps: readonly Overlap[]): number {
  const total = sum(overlaps.map((o) => o.predicted + o.truth));
  return total === 0 ? 1 : (2 * sum(overlaps.map((o) => o.both))) / total;
}

/** Pixels at least `radius` away from every label edge (square window). */
export function awayFromEdges(truth: Mask, radius: number): Uint8Array {
  const { height, width, data } = truth;
  const near = new Uint8Array(data.length);
  for (let row = 0; row < height; row++) {
    for (let col = 0; col < width; col++) {
      const i = row * width + col;
      const isEdge = (col + 1 < width && data[i] !== data[i + 1]) || (row + 1 < height && data[i] !== data[i + width]);
      if (!isEdge) continue;
      for (let r = Math.max(0, row - radius + 1); r <= Math.min(height - 1, row + radius); r++) {
        near.fill(1, r * width + Math.max(0, col - radius + 1), r * width + Math.min(width, col + radius + 1));
      }
    }
  }
  return near.map((value) => 1 - value);
}

/** Distance to the nearest pixel outside the mask or the frame's edge, in chamfer units of a third of a pixel. */
export function depthInside(mask: Mask): Int32Array {
  const { height, width, data } = mask;
  const far = 1 << 28;
  const depth = Int32Array.from(data, (value) => (value === 1 ? far : 0));
  const at = (row: number, col: number) =>
    row < 0 || col < 0 || row >= height || col >= width ? 0 : depth[row * width + col]!;
  for (let row = 0; row < height; row++) {
    for (let col = 0; col < width; col++) {
      const i = row * width + col;
      depth[i] = Math.min(
        depth[i]!,
        at(row, col - 1) + 3,
        at(row - 1, col) + 3,
        at(row - 1, col - 1) + 4,
        at(row - 1, col + 1) + 4,
      );
    }
  }
  for (let row = height - 1; row >= 0; row--) {
    for (let col = width - 1; col >= 0; col--) {
      const i = row * width + col;
      depth[i] = Math.min(
        depth[i]!,
        at(row, col + 1) + 3,
        at(row + 1, col) + 3,
        at(row + 1, col + 1) + 4,
        at(row + 1, col - 1) + 4,
      );
    }
  }
  return depth;
}

/** Where a patient person would tap next: the deepest point of the largest wrong patch; null when all is right. */
export function nextTap(predicted: Mask, truth: Mask): { row: number; col: number; isRust: boolean } | null {
  const wrong: Mask = { ...truth, data: truth.data.map((value, i) => value ^ predicted.data[i]!) };
  const { labels, regions } = findRegions(wrong);
  if (regions.length === 0) return null;
  let largest = 0;
  for (const [n, region] of regions.entries()) if (region.areaPx > regions[largest]!.areaPx) largest = n;
  const patch: Mask = { ...truth, data: Uint8Array.from(labels, (label) => (label === largest + 1 ? 1 : 0)) };
  const depth = depthInside(patch);
  let deepest = 0;
  for (let i = 1; i < depth.length; i++) if (depth[i]! > depth[deepest]!) deepest = i;
  return { row: Math.floor(deepest / truth.width), col: deepest % truth.width, isRust: truth.data[deepest] === 1 };
}

/** Rank correlation with ties at their mean rank. */
export function spearman(first: readonly number[], second: readonly number[]): number {
  const a = ranks(first);
  const b = ranks(second);
  const mean = (a.length + 1) / 2;
  const covariance = sum(a.map((rank, i) => (rank - mean) * (b[i]! - mean)));
  return covariance / Math.sqrt(sum(a.map((rank) => (rank - mean) ** 2)) * sum(b.map((rank) => (rank - mean) ** 2)));
}

function ranks(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((i, j) => values[i]! - values[j]!);
  const out = new Array<number>(values.length).fill(0);
  for (let start = 0; start < order.length; ) {
    let end = start;
    while (end + 1 < order.length && values[order[end + 1]!] === values[order[start]!]) end++;
    for (let n = start; n <= end; n++) out[order[n]!] = (start + end) / 2 + 1;
    start = end + 1;
  }
  return out;
}

export function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

/** Quantile by the nearest rank; NaN of nothing. */
export function quantileOf(values: readonly number[], level: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.max(0, Math.ceil(level * sorted.length) - 1))] ?? Number.NaN;
}

/** True when an area is right: within a factor 1.8, or below 0.5 % true within 0.3 points. */
export function isAreaRight(predicted: number, truth: number, factor = 1.8): boolean {
  if (truth < 0.005) return Math.abs(predicted - truth) <= 0.003;
  return predicted >= truth / factor && predicted <= truth * factor;
}
