import type { Mask } from './image.ts';

/** What a reference picture shows. */
export interface ReferencePicture {
  /** Rusted share of the picture, per cent, above 0 and at most 50. */
  readonly percent: number;
  readonly spread: 'spot' | 'general' | 'pinpoint';
  /** Whole number; the same seed gives the same picture. */
  readonly seed: number;
  /** Height and width in pixels; 500 x 500 unless given. */
  readonly height?: number;
  readonly width?: number;
}

/**
 * Draw rust of exactly known area for grading by eye.
 *
 * The rusted pixels number round(percent / 100 x height x width), to the pixel. The shapes are our own; they copy no
 * standard's picture.
 *
 * @param wanted Share, spread, seed and size
 * @returns Mask (height, width), 1 is rust
 * @throws {RangeError} If the share is not above 0 and at most 50, or comes to less than one pixel
 * @example countInside(referencePicture({ percent: 1, spread: 'general', seed: 1 })) // 2500
 */
export function referencePicture(wanted: ReferencePicture): Mask {
  const { percent, spread, seed, height = 500, width = 500 } = wanted;
  const target = Math.round((percent / 100) * height * width);
  if (!(percent > 0 && percent <= 50) || target < 1) {
    throw new RangeError(
      `Cannot draw a reference picture as the share must be above 0 and at most 50 % and at least one pixel: found ${percent} %`,
    );
  }
  const draw = { spot: drawSpot, general: drawGeneral, pinpoint: drawPinpoint }[spread];
  return { height, width, data: draw(height, width, target, mulberry32(seed)) };
}

type Random = () => number;

/** Small seeded generator (mulberry32, public domain): whole-number arithmetic only, so every engine agrees. */
function mulberry32(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A ragged blob: squared distance from the centre, bent by a few waves so that the edge is not a circle. */
function raggedDistance(random: Random): (down: number, across: number) => number {
  const stretch = 0.7 + 0.6 * random();
  const waves = Array.from({ length: 3 }, () => [random() - 0.5, random() - 0.5, random() * 0.5] as const);
  return (down, across) => {
    const base = Math.sqrt((down * down) / stretch + across * across * stretch);
    let bend = 1;
    for (const [kDown, kAcross, height] of waves)
      bend += height * 0.5 * triangle((kDown * down + kAcross * across) * 0.2);
    return base * bend;
  };
}

/** Wave of height 1 without a sine. */
function triangle(x: number): number {
  const phase = x - Math.floor(x);
  return phase < 0.5 ? 4 * phase - 1 : 3 - 4 * phase;
}

function drawSpot(height: number, width: number, target: number, random: Random): Uint8Array {
  const count = 1 + Math.floor(random() * 3);
  const centres = Array.from({ length: count }, () => ({
    row: height * (0.25 + 0.5 * random()),
    col: width * (0.25 + 0.5 * random()),
    weight: 0.6 + 0.8 * random(),
    distance: raggedDistance(random),
  }));
  const distances = new Float64Array(height * width);
  for (let i = 0; i < distances.length; i++) {
    const row = Math.floor(i / width);
    const col = i % width;
    let nearest = Number.POSITIVE_INFINITY;
    for (const centre of centres) {
      nearest = Math.min(nearest, centre.weight * centre.distance(row - centre.row, col - centre.col));
    }
    distances[i] = nearest;
  }
  const data = new Uint8Array(height * width);
  const order = Uint32Array.from(distances.keys()).sort((a, b) => distances[a]! - distances[b]! || a - b);
  for (let n = 0; n < target; n++) data[order[n]!] = 1;
  return data;
}

function drawGeneral(height: number, width: number, target: number, random: Random): Uint8Array {
  const data = new Uint8Array(height * width);
  const largest = Math.max(1.5, Math.min(Math.sqrt(target / 60), Math.min(height, width) / 24));
  let left = target;
  while (left > 0) {
    // Spots of various sizes, each with its own raggedness.
    const radius = Math.max(0.8, largest * (0.3 + 0.7 * random()));
    const centreRow = random() * height;
    const centreCol = random() * width;
    const distance = raggedDistance(random);
    const reach = Math.ceil(radius * 1.8);
    const near: { at: number; d: number }[] = [];
    for (let row = Math.max(0, Math.floor(centreRow) - reach); row < Math.min(height, centreRow + reach + 1); row++) {
      for (let col = Math.max(0, Math.floor(centreCol) - reach); col < Math.min(width, centreCol + reach + 1); col++) {
        const d = distance(row + 0.5 - centreRow, col + 0.5 - centreCol);
        if (d <= radius && data[row * width + col] === 0) near.push({ at: row * width + col, d });
      }
    }
    near.sort((a, b) => a.d - b.d || a.at - b.at);
    for (const { at } of near.slice(0, left)) data[at] = 1;
    left -= Math.min(near.length, left);
  }
  return data;
}

function drawPinpoint(height: number, width: number, target: number, random: Random): Uint8Array {
  const data = new Uint8Array(height * width);
  // Specks of side `side` in cells one wider never touch; at 50 % a side of 3 in cells of 4 leaves room (9 of 16).
  const sparse = target / (height * width) < 0.3;
  const side = sparse ? 2 : 3;
  const cell = side + 1;
  const rows = Math.floor(height / cell);
  const cols = Math.floor(width / cell);
  const cells = Uint32Array.from({ length: rows * cols }, (_, i) => i);
  for (let i = cells.length - 1; i > 0; i--) {
    const other = Math.floor(random() * (i + 1));
    const kept = cells[i]!;
    cells[i] = cells[other]!;
    cells[other] = kept;
  }
  let left = target;
  for (const index of cells) {
    if (left <= 0) break;
    const top = Math.floor(index / cols) * cell;
    const start = (index % cols) * cell;
    // At low shares a speck may lose a corner; near half cover every pixel is needed.
    const skip = sparse ? Math.floor(random() * side * side * 2) : -1;
    for (let n = 0; n < side * side && left > 0; n++) {
      if (n === skip) continue;
      data[(top + Math.floor(n / side)) * width + start + (n % side)] = 1;
      left--;
    }
  }
  return data;
}
