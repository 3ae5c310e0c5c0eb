import { resolve } from 'node:path';
import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import {
  type Corner,
  closerWindow,
  cutWindow,
  differenceHash,
  layWindow,
  measurePhoto,
  requestFault,
  type Sized,
} from '../../imaging/index.ts';
import { cleanPhoto } from './clean-photo.ts';
import { type DecodedPhoto, decodePhoto, enlarge, readHead } from './decode.ts';
import { decodeHeic } from './heic.ts';
import { maskPng, writeMask } from './mask-file.ts';
import type { Job, RawMeasurement, WorkerSettings } from './messages.ts';
import { loadModel, type RustModel, runByTiles } from './model.ts';
import { PhotoError } from './photo-error.ts';
import { openPhoto } from './read-photo.ts';

/** Thrown when a photo must first go through the HEIC process. */
export class NeedsHeic extends Error {}

/** Does jobs one after another; the network is loaded when first wanted. */
export function jobRunner(worker: WorkerSettings): (job: Job) => Promise<unknown> {
  let model: Promise<RustModel> | undefined;
  const givenModel = () => {
    model ??= loadModel(resolve(worker.modelFolder), worker.threads);
    return model;
  };
  return async (job) => {
    const { settings } = worker;
    if (job.kind === 'clean') {
      if (!worker.isHeicOnly) {
        const photo = await openPhoto(job.source, settings.intake);
        if (photo.format === 'heic') throw new NeedsHeic();
      }
      return cleanPhoto(job.source, settings);
    }
    if (job.kind === 'decode-heic') {
      const photo = await openPhoto(job.source, settings.intake);
      return decodeHeic(photo, await readHead(photo, settings.intake), settings);
    }
    return measure(job, worker, givenModel);
  };
}

async function measure(
  job: Extract<Job, { kind: 'measure' }>,
  worker: WorkerSettings,
  givenModel: () => Promise<RustModel>,
): Promise<RawMeasurement> {
  const { settings } = worker;
  const start = performance.now();
  const spent = 'decoded' in job.source ? job.source.spentMs : 0;
  const decoded = 'decoded' in job.source ? job.source.decoded : await decodeSource(job.source, worker);
  const { image, original } = decoded;
  const { outline, hints: taps, method = 'model' } = job.request;
  const fault = requestFault({ outline, taps }, original);
  if (fault !== null) throw new PhotoError(fault.code, `Cannot use the ${fault.code}: ${fault.message}`);
  const seen = method === 'model' ? await lookAt(await givenModel(), decoded, outline, settings.analysis) : null;
  const look = { image, original, logits: seen?.logits ?? null, features: seen?.features, outline, taps };
  const { rust, part: _part, ...finding } = measurePhoto(look, settings);
  if (finding.area === null) {
    throw new PhotoError(
      'outline',
      'Cannot use the outline: wanted one that holds a pixel at the analysis size, found none',
    );
  }
  if (job.maskFile !== undefined) await writeMask(rust, original, job.maskFile);
  return {
    ...finding,
    base: method,
    height: original.height,
    width: original.width,
    hash: differenceHash(image),
    takenAtMs: decoded.takenAt?.ms ?? null,
    isFirstOfMany: decoded.isFirstOfMany,
    ms: spent + performance.now() - start,
    maskPng: job.maskLongSidePx === undefined ? undefined : await maskPng(rust, within(original, job.maskLongSidePx)),
    map: job.wantsMap
      ? { image, logits: look.logits, ...(look.features === undefined ? {} : { features: look.features }) }
      : undefined,
  };
}

/** The network's map of a photo; where the part is outlined, of a closer look at it. */
async function lookAt(
  model: RustModel,
  { image, original }: DecodedPhoto,
  outline: readonly Corner[] | undefined,
  limits: ImagingSettings['analysis'],
) {
  const { longSidePx, closerMargin: margin, closerTo: enlargeTo } = limits;
  // A panorama is looked at by tiles, each large enough.
  const isTiled = Math.max(image.height, image.width) > longSidePx;
  const window =
    outline === undefined || isTiled ? null : closerWindow(outline, original, image, { margin, enlargeTo });
  if (window === null) return runByTiles(model, image, longSidePx);
  const closer = await enlarge(cutWindow(image, window), limits);
  return layWindow(await runByTiles(model, closer, longSidePx), window, image);
}

async function decodeSource(
  source: Parameters<typeof openPhoto>[0],
  { settings }: WorkerSettings,
): Promise<DecodedPhoto> {
  const photo = await openPhoto(source, settings.intake);
  const head = await readHead(photo, settings.intake);
  if (head.isHevc) throw new NeedsHeic();
  return decodePhoto(photo, head, settings);
}

function within(size: Sized, longSidePx: number): Sized {
  const scale = Math.min(1, longSidePx / Math.max(size.height, size.width));
  return { height: Math.max(1, Math.round(size.height * scale)), width: Math.max(1, Math.round(size.width * scale)) };
}
