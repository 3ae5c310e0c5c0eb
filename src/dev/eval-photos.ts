import { existsSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ImagingSettings } from '../../shared/imaging-settings.ts';
import { loadImagingSettings, loadIntervals, openPhotoPool, type PhotoPool } from '../adapters/photos/index.ts';
import {
  areaInterval,
  binomialInterval,
  type IntervalModel,
  type Mask,
  measurePhoto,
  type PhotoTap,
} from '../imaging/index.ts';
import * as metrics from './photo-metrics.ts';
import { type LabelledPhoto, listLabelled, photosFolder, readTruth } from './rust-photos.ts';

/*
 * Prints how well the photo pipeline does on the team's labelled photos, the network beside the colour rule.
 *
 *   npm run eval:photos -- [--split train|val|test] [--taps N] [--no-network-features] [--calibrate]
 *
 * --calibrate writes models/colour-rule/calibration.json from train and val, and, where the network's training left none,
 * models/rust-segmenter/calibration.json from val alone: its training saw the scenes of train.
 */

type Base = 'model' | 'colour';

interface Scored {
  readonly photo: LabelledPhoto;
  readonly predicted: number;
  readonly truth: number;
  readonly overlap: metrics.Overlap;
  readonly inner: metrics.Overlap;
  readonly isDeclined: boolean;
  /** IoU and area after 0, 1, ... taps. */
  readonly afterTaps: readonly { readonly iou: number; readonly predicted: number }[];
}

const ROOT = process.cwd();
const args = process.argv.slice(2);
const option = (name: string) => (args.includes(name) ? args[args.indexOf(name) + 1] : undefined);

await main();

async function main(): Promise<void> {
  const folder = photosFolder(ROOT);
  if (folder === null) {
    console.log('No labelled photos beside this repository (../shared/rust-photos): nothing to evaluate');
    return;
  }
  const settings = await loadImagingSettings(join(ROOT, 'rubric/imaging.yaml'));
  const modelFolder = join(ROOT, 'models/rust-segmenter');
  const pool = openPhotoPool({ settings, modelFolder });
  const photos = listLabelled(folder);
  try {
    if (args.includes('--calibrate')) await calibrate(photos, pool, settings);
    const intervals = await loadIntervals(join(ROOT, 'models'), settings);
    const split = option('--split') ?? 'test';
    const taps = Number(option('--taps') ?? 0);
    for (const base of ['model', 'colour'] as const) {
      if (base === 'model' && !existsSync(join(modelFolder, 'model.onnx'))) {
        console.log('No models/rust-segmenter/model.onnx: the network is left out');
        continue;
      }
      const scored = await score(
        photos.filter((photo) => photo.split === split),
        base,
        taps,
        pool,
        settings,
      );
      printTable(`${base}, ${split}`, scored, intervals[base]);
      if (taps > 0) printTaps(scored);
    }
  } finally {
    await pool.close();
  }
}

async function score(
  photos: readonly LabelledPhoto[],
  base: Base,
  taps: number,
  pool: PhotoPool,
  settings: ImagingSettings,
): Promise<Scored[]> {
  const out: Scored[] = new Array(photos.length);
  let next = 0;
  const lane = async () => {
    while (next < photos.length) {
      const index = next++;
      out[index] = await scoreOne(photos[index]!, base, taps, pool, settings);
    }
  };
  await Promise.all(Array.from({ length: pool.parallel }, lane));
  return out;
}

async function scoreOne(
  photo: LabelledPhoto,
  base: Base,
  taps: number,
  pool: PhotoPool,
  settings: ImagingSettings,
): Promise<Scored> {
  const raw = await pool.measure({ path: photo.file }, { request: { method: base }, wantsMap: true });
  const { image, logits, features } = raw.map!;
  const truth = await readTruth(photo, image);
  const look = { image, original: image, logits, ...(args.includes('--no-network-features') ? {} : { features }) };
  const given: PhotoTap[] = [];
  const afterTaps: { iou: number; predicted: number }[] = [];
  let first: Mask | undefined;
  for (let n = 0; n <= (photo.hasRust ? taps : 0); n++) {
    const { rust, fraction } = measurePhoto({ ...look, taps: given }, settings);
    first ??= rust;
    afterTaps.push({ iou: metrics.iouOf([metrics.overlapOf(rust, truth)]), predicted: fraction ?? 0 });
    const tap = n < taps ? metrics.nextTap(rust, truth) : null;
    if (tap !== null) given.push({ x: tap.col + 0.5, y: tap.row + 0.5, is: tap.isRust ? 'rust' : 'not-rust' });
  }
  // Label edges are 3 to 8 px off at 640.
  const inner = metrics.awayFromEdges(truth, Math.round((5 * Math.max(image.height, image.width)) / 640));
  return {
    photo,
    predicted: raw.fraction ?? 0,
    truth: metrics.sum(Array.from(truth.data)) / truth.data.length,
    overlap: metrics.overlapOf(first!, truth),
    inner: metrics.overlapOf(first!, truth, inner),
    isDeclined: !raw.fit.ok,
    afterTaps,
  };
}

function printTable(title: string, scored: readonly Scored[], interval: IntervalModel | null): void {
  console.log(`\n${title}`);
  console.log('source                 n   IoU  IoU5   F1  MAE pts  in 1.8  declined  covered (95 %)        width');
  const rusty = scored.filter((s) => s.photo.hasRust);
  for (const group of [...new Set(rusty.map((s) => s.photo.group))].sort())
    printRow(
      group,
      rusty.filter((s) => s.photo.group === group),
      interval,
    );
  printRow('all with rust', rusty, interval);
  for (const [from, to] of [
    [0, 0.01],
    [0.01, 0.05],
    [0.05, 0.2],
    [0.2, 1.01],
  ] as const) {
    const band = rusty.filter((s) => s.truth >= from && s.truth < to);
    if (band.length > 0) printRow(`  true ${from * 100} to ${Math.min(100, to * 100)} %`, band, interval);
  }
  const clean = scored.filter((s) => !s.photo.hasRust);
  const wrong = clean.map((s) => s.predicted * 100);
  const worst = [...clean].sort((a, b) => b.predicted - a.predicted).slice(0, 5);
  console.log(
    `negatives ${clean.length}: median ${metrics.quantileOf(wrong, 0.5).toFixed(2)} %, nine in ten up to ${metrics.quantileOf(wrong, 0.9).toFixed(2)} %, pooled ${(metrics.sum(wrong) / clean.length).toFixed(2)} %; worst ${worst.map((s) => `${s.photo.id} ${(s.predicted * 100).toFixed(1)} %`).join(', ')}`,
  );
  const rank = metrics.spearman(
    rusty.map((s) => s.predicted),
    rusty.map((s) => s.truth),
  );
  const byTruth = [...rusty].sort((a, b) => b.truth - a.truth);
  const byPrediction = [...rusty].sort((a, b) => b.predicted - a.predicted);
  const head = new Set(byPrediction.slice(0, Math.round(rusty.length * 0.3)));
  const worstFifth = byTruth.slice(0, Math.round(rusty.length * 0.2));
  const found = worstFifth.filter((s) => head.has(s)).length;
  console.log(`order: Spearman ${rank.toFixed(2)}; ${found} of the worst ${worstFifth.length} stand in the first 30 %`);
}

function printRow(name: string, scored: readonly Scored[], interval: IntervalModel | null): void {
  const count = scored.length;
  const error = metrics.sum(scored.map((s) => Math.abs(s.predicted - s.truth))) / count;
  const right = scored.filter((s) => metrics.isAreaRight(s.predicted, s.truth)).length / count;
  let coverage = '-';
  let width = '-';
  if (interval !== null) {
    const bounds = scored.map((s) => areaInterval(s.predicted, interval));
    const hits = scored.filter((s, i) => bounds[i]!.low <= s.truth && s.truth <= bounds[i]!.high).length;
    const { low, high } = binomialInterval(hits, count);
    coverage = `${(hits / count).toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)})`;
    const floor = interval.floorFraction;
    width = metrics
      .quantileOf(
        bounds.map((b) => (b.high + floor) / (b.low + floor)),
        0.5,
      )
      .toFixed(1);
  }
  const declined = scored.filter((s) => s.isDeclined).length;
  console.log(
    [
      name.padEnd(20),
      String(count).padStart(3),
      metrics
        .iouOf(scored.map((s) => s.overlap))
        .toFixed(2)
        .padStart(5),
      metrics
        .iouOf(scored.map((s) => s.inner))
        .toFixed(2)
        .padStart(5),
      metrics
        .f1Of(scored.map((s) => s.overlap))
        .toFixed(2)
        .padStart(5),
      (error * 100).toFixed(2).padStart(7),
      right.toFixed(2).padStart(7),
      String(declined).padStart(9),
      ` ${coverage.padEnd(22)}`,
      width.padStart(4),
    ].join(' '),
  );
}

function printTaps(scored: readonly Scored[]): void {
  const rusty = scored.filter((s) => s.photo.hasRust);
  const count = Math.max(...rusty.map((s) => s.afterTaps.length));
  for (let n = 0; n < count; n++) {
    const at = rusty.map((s) => s.afterTaps[n] ?? s.afterTaps.at(-1)!);
    const gone = rusty.map((s, i) => {
      const error = 1 - s.afterTaps[0]!.iou;
      return error === 0 ? 1 : 1 - (1 - at[i]!.iou) / error;
    });
    const right = rusty.filter((s, i) => metrics.isAreaRight(at[i]!.predicted, s.truth, 1.25)).length / rusty.length;
    console.log(
      `${n} taps: median IoU ${metrics
        .quantileOf(
          at.map((a) => a.iou),
          0.5,
        )
        .toFixed(
          2,
        )}, error gone at the median ${metrics.quantileOf(gone, 0.5).toFixed(2)}, area within 1.25 on ${right.toFixed(2)}`,
    );
  }
}

async function calibrate(photos: readonly LabelledPhoto[], pool: PhotoPool, settings: ImagingSettings): Promise<void> {
  const known = photos.filter((photo) => photo.split !== 'test');
  await writeCalibration(await score(known, 'colour', 0, pool, settings), 'models/colour-rule');
  const model = 'models/rust-segmenter';
  if (!existsSync(join(ROOT, model, 'model.onnx')) || existsSync(join(ROOT, model, 'calibration.json'))) return;
  const unseen = photos.filter((photo) => photo.split === 'val');
  await writeCalibration(await score(unseen, 'model', 0, pool, settings), model);
}

async function writeCalibration(scored: readonly Scored[], folder: string): Promise<void> {
  const round = (value: number) => Math.round(value * 1e6) / 1e6;
  const rows = scored.map(({ photo, truth, predicted }) => ({
    id: photo.id,
    scene_group: photo.group,
    true_fraction: round(truth),
    predicted_fraction: round(predicted),
  }));
  const lines = rows.map((row) => `    ${JSON.stringify(row)}`).join(',\n');
  await writeFile(join(ROOT, folder, 'calibration.json'), `{\n  "pictures": [\n${lines}\n  ]\n}\n`);
  console.log(`Wrote ${folder}/calibration.json: ${rows.length} photos`);
}
