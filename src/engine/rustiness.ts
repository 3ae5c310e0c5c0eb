import type { Rubric } from '../../shared/index.ts';
import { fillByRow, fillByRows, fillStream, rowsOf } from './streams.ts';

/** Chance of an answer at each of the five steps of rustiness, for one area (`null`: the car as a whole). */
export interface Evidence {
  area: string | null;
  /** Name by which evidence is put in order, so that the order of components changes nothing. */
  key: string;
  likelihood: readonly number[];
}

/** Rustiness after all graded answers, and its draws. */
export interface Rustiness {
  /** Chance of each of the five steps for the car. */
  car: number[];
  /** Step 0 to 4 in each draw, for an area; an area without answers follows the car. */
  drawsOf(area: string | null): Uint8Array;
}

const STEPS = 5;
// A table may rule an answer out altogether; a person's answer still happened, so it never makes a step impossible.
const LEAST = 1e-6;

/**
 * Updates the rustiness of the car and its areas by every answer, exactly (Bayes on a two-level tree).
 *
 * @param evidence one entry an answer
 * @param seed names the draws
 * @param count number of draws
 */
export function rustinessOf(rubric: Rubric, evidence: readonly Evidence[], seed: number, count: number): Rustiness {
  const { prior, follow } = rubric.settings.rustiness;
  const byArea = new Map<string, number[]>();
  const ofCar = new Array<number>(STEPS).fill(1);
  const ordered = [...evidence].sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : 0));
  for (const { area, likelihood } of ordered) {
    let product = ofCar;
    if (area !== null) {
      product = byArea.get(area) ?? new Array<number>(STEPS).fill(1);
      byArea.set(area, product);
    }
    for (let r = 0; r < STEPS; r++) product[r]! *= Math.max(LEAST, likelihood[r]!);
    scale(product);
  }
  const car = prior.map((p, c) => p * ofCar[c]!);
  for (const area of [...byArea.keys()].sort()) {
    const likelihood = byArea.get(area)!;
    for (let c = 0; c < STEPS; c++) car[c]! *= follow[c]!.reduce((sum, p, r) => sum + p * likelihood[r]!, 0);
    scale(car);
  }
  const total = car.reduce((a, b) => a + b, 0);
  for (let c = 0; c < STEPS; c++) car[c]! /= total;

  const uniform = new Uint32Array(count);
  fillStream(uniform, seed, 'rustiness');
  const carDraws = new Uint8Array(count);
  fillByRow(carDraws, uniform, rowsOf([car]));
  const cache = new Map<string, Uint8Array>();
  return {
    car,
    drawsOf: (area) => {
      if (area === null) return carDraws;
      const known = cache.get(area);
      if (known) return known;
      const likelihood = byArea.get(area);
      const rows = rowsOf(follow.map((row) => row.map((p, r) => p * (likelihood?.[r] ?? 1))));
      fillStream(uniform, seed, `rustiness|${area}`);
      const draws = new Uint8Array(count);
      fillByRows(draws, uniform, carDraws, rows);
      cache.set(area, draws);
      return draws;
    },
  };
}

/** Keeps a long product of chances away from zero; only ratios matter. */
function scale(values: number[]): void {
  const most = Math.max(...values);
  for (let i = 0; i < values.length; i++) values[i]! /= most;
}
