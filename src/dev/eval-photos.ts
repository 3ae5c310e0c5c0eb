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
  type MeasuredArea,
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
 * --calibrate writes models/colour-rule/calibration.json from train and val, models/rust-segmenter/calibration-taps.json from
 * val alone, since the network's training saw the scenes of train, and, where that training left none, calibration.json.
 */

type Base = 'model' | 'colour';

interface Scored {
  readonly photo: LabelledPhoto;
  readonly measured: MeasuredArea;
  readonly truth: number;
  readonly overlap: metrics.Overlap;
  readonly inner: metrics.Overlap;
  readonly isDeclined: boolean;
  /** IoU and area after 0, 1, ... taps. */
  readonly afterTaps: readonly { readonly iou: number; readonly measured: MeasuredArea }[];
}

/** Taps after which the interval is fitted anew. */
const CALIBRATED_TAPS = 6;

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
      if (taps > 0)
        printTaps(scored, (n) => (base === 'model' ? intervals.corrected[n - 1] : undefined) ?? intervals[base]);
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
  const afterTaps: { iou: number; measured: MeasuredArea }[] = [];
  let first: Mask | undefined;
  for (let n = 0; n <= (photo.hasRust ? taps : 0); n++) {
    const { rust, area } = measurePhoto({ ...look, taps: given }, settings);
    first ??= rust;
    afterTaps.push({ iou: metrics.iouOf([metrics.overlapOf(rust, truth)]), measured: area! });
    const tap = n < taps ? metrics.nextTap(rust, truth) : null;
    if (tap !== null) given.push({ x: tap.col + 0.5, y: tap.row + 0.5, is: tap.isRust ? 'rust' : 'not-rust' });
  }
  // Label edges are 3 to 8 px off at 640.
  const inner = metrics.awayFromEdges(truth, Math.round((5 * Math.max(image.height, image.width)) / 640));
  return {
    photo,
    measured: raw.area!,
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
  const wrong = clean.map((s) => s.measured.fraction * 100);
  const worst = [...clean].sort((a, b) => b.measured.fraction - a.measured.fraction).slice(0, 5);
  console.log(
    `negatives ${clean.length}: median ${metrics.quantileOf(wrong, 0.5).toFixed(2)} %, nine in ten up to ${metrics.quantileOf(wrong, 0.9).toFixed(2)} %, pooled ${(metrics.sum(wrong) / clean.length).toFixed(2)} %; worst ${worst.map((s) => `${s.photo.id} ${(s.measured.fraction * 100).toFixed(1)} %`).join(', ')}`,
  );
  const rank = metrics.spearman(
    rusty.map((s) => s.measured.fraction),
    rusty.map((s) => s.truth),
  );
  const byTruth = [...rusty].sort((a, b) => b.truth - a.truth);
  const byPrediction = [...rusty].sort((a, b) => b.measured.fraction - a.measured.fraction);
  const head = new Set(byPrediction.slice(0, Math.round(rusty.length * 0.3)));
  const worstFifth = byTruth.slice(0, Math.round(rusty.length * 0.2));
  const found = worstFifth.filter((s) => head.has(s)).length;
  console.log(`order: Spearman ${rank.toFixed(2)}; ${found} of the worst ${worstFifth.length} stand in the first 30 %`);
}

function printRow(name: string, scored: readonly Scored[], interval: IntervalModel | null): void {
  const count = scored.length;
  const error = metrics.sum(scored.map((s) => Math.abs(s.measured.fraction - s.truth))) / count;
  const right = scored.filter((s) => metrics.isAreaRight(s.measured.fraction, s.truth)).length / count;
  let coverage = '-';
  let width = '-';
  if (interval !== null) {
    const held = heldBy(interval, scored);
    const { low, high } = binomialInterval(held.hits, count);
    coverage = `${(held.hits / count).toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)})`;
    width = held.width.toFixed(1);
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

/** How many truths an interval held, and how wide it was at the median, as a factor. */
function heldBy(
  interval: IntervalModel,
  photos: readonly { readonly measured: MeasuredArea; readonly truth: number }[],
): { readonly hits: number; readonly width: number } {
  const bounds = photos.map(({ measured }) => areaInterval(measured, interval));
  const floor = interval.floorFraction;
  return {
    hits: photos.filter(({ truth }, i) => bounds[i]!.low <= truth && truth <= bounds[i]!.high).length,
    width: metrics.quantileOf(
      bounds.map((b) => (b.high + floor) / (b.low + floor)),
      0.5,
    ),
  };
}

function printTaps(scored: readonly Scored[], intervalAfter: (taps: number) => IntervalModel | null): void {
  const rusty = scored.filter((s) => s.photo.hasRust);
  const count = Math.max(...rusty.map((s) => s.afterTaps.length));
  for (let n = 0; n < count; n++) {
    const at = rusty.map((s) => s.afterTaps[n] ?? s.afterTaps.at(-1)!);
    const gone = rusty.map((s, i) => {
      const error = 1 - s.afterTaps[0]!.iou;
      return error === 0 ? 1 : 1 - (1 - at[i]!.iou) / error;
    });
    const right =
      rusty.filter((s, i) => metrics.isAreaRight(at[i]!.measured.fraction, s.truth, 1.25)).length / rusty.length;
    const interval = intervalAfter(n);
    const held =
      interval === null
        ? null
        : heldBy(
            interval,
            rusty.map(({ truth }, i) => ({ measured: at[i]!.measured, truth })),
          );
    console.log(
      `${n} taps: median IoU ${metrics
        .quantileOf(
          at.map((a) => a.iou),
          0.5,
        )
        .toFixed(
          2,
        )}, error gone at the median ${metrics.quantileOf(gone, 0.5).toFixed(2)}, area within 1.25 on ${right.toFixed(2)}${held === null ? '' : `, covered ${(held.hits / rusty.length).toFixed(2)}, width ${held.width.toFixed(1)}`}`,
    );
  }
}

async function calibrate(photos: readonly LabelledPhoto[], pool: PhotoPool, settings: ImagingSettings): Promise<void> {
  const { sureProbability: sure } = settings.interval;
  const known = photos.filter((photo) => photo.split !== 'test');
  const byColour = await score(known, 'colour', 0, pool, settings);
  await writeCalibration(
    'colour-rule/calibration.json',
    byColour.map((one) => calibrationRow(one, one.measured, sure)),
  );
  if (!existsSync(join(ROOT, 'models/rust-segmenter/model.onnx'))) return;
  const unseen = photos.filter((photo) => photo.split === 'val');
  const byModel = await score(unseen, 'model', CALIBRATED_TAPS, pool, settings);
  const afterTaps = byModel
    .filter(({ photo }) => photo.hasRust)
    .flatMap((one) =>
      Array.from({ length: CALIBRATED_TAPS }, (_, n) => ({
        ...calibrationRow(one, (one.afterTaps[n + 1] ?? one.afterTaps.at(-1)!).measured, sure),
        taps: n + 1,
      })),
    );
  await writeCalibration('rust-segmenter/calibration-taps.json', afterTaps);
  if (existsSync(join(ROOT, 'models/rust-segmenter/calibration.json'))) return;
  await writeCalibration(
    'rust-segmenter/calibration.json',
    byModel.map((one) => calibrationRow(one, one.measured, sure)),
  );
}

function calibrationRow({ photo, truth }: Scored, measured: MeasuredArea, sure: number) {
  const round = (value: number) => Math.round(value * 1e6) / 1e6;
  return {
    id: photo.id,
    scene_group: photo.group,
    true_fraction: round(truth),
    predicted_fraction: round(measured.fraction),
    fraction_at: {
      [round(1 - sure)]: round(measured.possibleFraction),
      [round(sure)]: round(measured.sureFraction),
    },
  };
}

async function writeCalibration(file: string, rows: readonly object[]): Promise<void> {
  const lines = rows.map((row) => `    ${JSON.stringify(row)}`).join(',\n');
  await writeFile(join(ROOT, 'models', file), `{\n  "pictures": [\n${lines}\n  ]\n}\n`);
  console.log(`Wrote models/${file}: ${rows.length} rows`);
}
