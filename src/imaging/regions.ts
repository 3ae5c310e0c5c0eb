import type { Mask } from './image.ts';

/** One connected patch of a mask. */
export interface Region {
  /** Pixels in the patch. */
  readonly areaPx: number;
  /** Mean row of its pixels. */
  readonly centreRow: number;
  /** Mean column of its pixels. */
  readonly centreCol: number;
}

/** Every pixel's patch number (0 is outside) and the patches, number 1 first. */
export interface Regions {
  readonly labels: Int32Array;
  readonly regions: readonly Region[];
}

/**
 * Connected patches of a mask; pixels that touch by a corner belong together.
 *
 * @param mask Mask (height, width)
 * @returns Patch numbers a pixel, and the patches in the order in which their first pixel is met
 * Source: two-pass union-find labelling (Rosenfeld and Pfaltz 1966) over runs of pixels in a row, 8-connectivity
 */
export function findRegions(mask: Mask): Regions {
  const { height, width, data } = mask;
  // A run is a stretch of a row: where it starts, where it ends (the pixel behind it), and the run it hangs on.
  const starts: number[] = [];
  const ends: number[] = [];
  const parent: number[] = [];
  let above = 0;
  for (let row = 0; row < height; row++) {
    const from = row * width;
    const first = starts.length;
    let met = above;
    for (let col = 0; col < width; col++) {
      if (data[from + col] === 0) continue;
      const start = col;
      while (col < width && data[from + col] !== 0) col++;
      const run = starts.length;
      starts.push(from + start);
      ends.push(from + col);
      parent.push(run);
      // Runs of the row above that touch this one, by a corner too; one may reach over several of this row.
      while (met < first && ends[met]! - from + width < start) met++;
      for (let other = met; other < first && starts[other]! - from + width <= col; other++) join(parent, run, other);
    }
    above = first;
  }
  return collect({ starts, ends, parent }, height, width);
}

function top(parent: number[], run: number): number {
  let at = run;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

function join(parent: number[], one: number, other: number): void {
  const a = top(parent, one);
  const b = top(parent, other);
  parent[Math.max(a, b)] = Math.min(a, b);
}

interface Runs {
  readonly starts: readonly number[];
  readonly ends: readonly number[];
  readonly parent: number[];
}

function collect({ starts, ends, parent }: Runs, height: number, width: number): Regions {
  const labels = new Int32Array(height * width);
  const numbers = new Int32Array(starts.length);
  const areas: number[] = [];
  const rows: number[] = [];
  const cols: number[] = [];
  for (const [run, start] of starts.entries()) {
    const end = ends[run]!;
    const highest = top(parent, run);
    // The first run of a patch is its own top: it stands before all others of the patch.
    if (highest === run) {
      areas.push(0);
      rows.push(0);
      cols.push(0);
      numbers[run] = areas.length;
    }
    const number = numbers[highest]!;
    const length = end - start;
    const row = Math.floor(start / width);
    labels.fill(number, start, end);
    areas[number - 1]! += length;
    rows[number - 1]! += row * length;
    cols[number - 1]! += ((start + end - 1) / 2 - row * width) * length;
  }
  const regions = areas.map((areaPx, n) => ({
    areaPx,
    centreRow: rows[n]! / areaPx,
    centreCol: cols[n]! / areaPx,
  }));
  return { labels, regions };
}
