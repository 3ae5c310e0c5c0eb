import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import * as ort from 'onnxruntime-node';
import { parse } from 'yaml';
import { z } from 'zod';
import { cutWindow, type FeatureMap, type Plane, type RgbImage } from '../../imaging/index.ts';
import { SIDE_STEP } from './decode.ts';
import { PhotoError } from './photo-error.ts';

/** Pixels of the input for one of the output, each way. */
const OUTPUT_STRIDE = 4;

/** What the card of a model says about its input and outputs; the rest of the card is for people. */
const ModelCard = z.looseObject({
  input: z.looseObject({
    name: z.string(),
    layout: z.literal('NCHW'),
    colour: z.literal('RGB'),
    /** channel = (byte * scale - mean) / std */
    scale: z.number().positive(),
    mean: z.array(z.number()).length(3),
    std: z.array(z.number().positive()).length(3),
    multipleOf: z.literal(SIDE_STEP),
  }),
  outputs: z.looseObject({
    rust: z.looseObject({ name: z.string(), stride: z.literal(OUTPUT_STRIDE) }),
    features: z.looseObject({ name: z.string(), stride: z.literal(OUTPUT_STRIDE) }),
  }),
  threshold: z.number().gt(0).lt(1),
});

/** A loaded network. */
export interface RustModel {
  /** Run one picture whose sides are multiples of 32. */
  run(image: RgbImage): Promise<{ logits: Plane; features: FeatureMap }>;
}

/**
 * Load a network from its folder (`card.yaml`, `model.onnx`).
 *
 * @param threads Threads inside one run
 * @throws {PhotoError} `no-model` when the folder has none
 */
export async function loadModel(folder: string, threads: number): Promise<RustModel> {
  const file = join(folder, 'model.onnx');
  if (!existsSync(file)) {
    throw new PhotoError('no-model', `Cannot measure with the model: wanted ${file}, found none; use --method colour`);
  }
  const card = ModelCard.parse(parse(await readFile(join(folder, 'card.yaml'), 'utf8')));
  const session = await ort.InferenceSession.create(file, {
    intraOpNumThreads: threads,
    interOpNumThreads: 1,
    enableMemPattern: false,
    graphOptimizationLevel: 'all',
  });
  const offset = Math.log(card.threshold / (1 - card.threshold));
  const rustName = card.outputs.rust.name;
  const featuresName = card.outputs.features.name;
  return {
    async run(image) {
      const input = new ort.Tensor('float32', preprocess(image, card.input), [1, 3, image.height, image.width]);
      const outputs = await session.run({ [card.input.name]: input }, [rustName, featuresName]);
      const logits = outputs[rustName]!;
      const features = outputs[featuresName]!;
      const [height, width] = logits.dims.slice(-2) as [number, number];
      const data = Float32Array.from(logits.data as Float32Array, (value) => value - offset);
      return {
        logits: { height, width, data },
        features: { channels: features.dims[1]!, height, width, data: features.data as Float32Array },
      };
    },
  };
}

/**
 * Bytes to the network's input: one plane a channel, scaled as the card says.
 *
 * @returns Float32Array (channel, height, width)
 */
export function preprocess(
  image: RgbImage,
  { scale, mean, std }: { readonly scale: number; readonly mean: readonly number[]; readonly std: readonly number[] },
): Float32Array {
  const count = image.height * image.width;
  const out = new Float32Array(3 * count);
  for (let channel = 0; channel < 3; channel++) {
    const table = Float32Array.from({ length: 256 }, (_, i) => (i * scale - mean[channel]!) / std[channel]!);
    for (let i = 0, from = channel; i < count; i++, from += 3) out[channel * count + i] = table[image.data[from]!]!;
  }
  return out;
}

/**
 * Run a network over a picture, by overlapping tiles along its longer side when that is longer than one frame.
 *
 * @param tileSide Longest side that goes through at once, a multiple of 32
 */
export async function runByTiles(
  model: RustModel,
  image: RgbImage,
  tileSide: number,
): Promise<{ logits: Plane; features?: FeatureMap }> {
  const isWide = image.width >= image.height;
  const long = isWide ? image.width : image.height;
  if (long <= tileSide) return model.run(image);
  const overlap = 64;
  const count = Math.ceil((long - overlap) / (tileSide - overlap));
  const step = Math.ceil((long - tileSide) / (count - 1) / 32) * 32;
  const starts = Array.from({ length: count }, (_, i) => Math.min(i * step, long - tileSide));
  const height = image.height / OUTPUT_STRIDE;
  const width = image.width / OUTPUT_STRIDE;
  const data = new Float32Array(height * width);
  for (const [n, start] of starts.entries()) {
    const tile = isWide
      ? { top: 0, left: start, height: image.height, width: tileSide }
      : { top: start, left: 0, height: tileSide, width: image.width };
    const { logits } = await model.run(cutWindow(image, tile));
    // Each tile keeps what lies nearer to its own middle.
    const from = n === 0 ? 0 : (start + (starts[n - 1]! + tileSide)) / 2 / OUTPUT_STRIDE;
    const to = n === count - 1 ? long / OUTPUT_STRIDE : (starts[n + 1]! + (start + tileSide)) / 2 / OUTPUT_STRIDE;
    for (let along = Math.floor(from); along < Math.floor(to); along++) {
      const inTile = along - start / OUTPUT_STRIDE;
      if (isWide) {
        for (let row = 0; row < height; row++) data[row * width + along] = logits.data[row * logits.width + inTile]!;
      } else {
        data.set(logits.data.subarray(inTile * width, (inTile + 1) * width), along * width);
      }
    }
  }
  return { logits: { height, width, data } };
}
