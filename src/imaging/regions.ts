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
 * Source: two-pass union-find labelling (Rosenfeld and Pfaltz 1966), 8-connectivity
 */
export function findRegions(mask: Mask): Regions {
  const { height, width, data } = mask;
  const labels = new Int32Array(height * width);
  const parent: number[] = [0];
  const find = (label: number) => {
    let top = label;
    while (parent[top] !== top) {
      parent[top] = parent[parent[top]!]!;
      top = parent[top]!;
    }
    return top;
  };
  for (let row = 0; row < height; row++) {
    for (let col = 0; col < width; col++) {
      const i = row * width + col;
      if (data[i] === 0) continue;
      let label = 0;
      const join = (other: number) => {
        if (other === 0) return;
        if (label === 0) {
          label = find(other);
          return;
        }
        const a = find(label);
        const b = find(other);
        label = Math.min(a, b);
        parent[Math.max(a, b)] = label;
      };
      if (col > 0) join(labels[i - 1]!);
      if (row > 0) {
        if (col > 0) join(labels[i - width - 1]!);
        join(labels[i - width]!);
        if (col + 1 < width) join(labels[i - width + 1]!);
      }
      if (label === 0) {
        label = parent.length;
        parent.push(label);
      }
      labels[i] = label;
    }
  }
  return collect(labels, width, find);
}

function collect(labels: Int32Array, width: number, find: (label: number) => number): Regions {
  const numbers = new Map<number, number>();
  const areas: number[] = [];
  const rows: number[] = [];
  const cols: number[] = [];
  for (let i = 0; i < labels.length; i++) {
    if (labels[i] === 0) continue;
    const top = find(labels[i]!);
    let number = numbers.get(top);
    if (number === undefined) {
      number = numbers.size + 1;
      numbers.set(top, number);
      areas.push(0);
      rows.push(0);
      cols.push(0);
    }
    labels[i] = number;
    areas[number - 1]!++;
    rows[number - 1]! += Math.floor(i / width);
    cols[number - 1]! += i % width;
  }
  const regions = areas.map((areaPx, n) => ({
    areaPx,
    centreRow: rows[n]! / areaPx,
    centreCol: cols[n]! / areaPx,
  }));
  return { labels, regions };
}
