import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { loadModel, preprocess, type RustModel } from '../../../src/adapters/photos/model.ts';
import type { RgbImage } from '../../../src/imaging/index.ts';

const FOLDER = 'models/rust-segmenter';
const CARD_INPUT = { scale: 0.00392156862745098, mean: [0.5, 0.5, 0.5], std: [0.5, 0.5, 0.5] };

/** What PyTorch gave for a picture, before the network was written as a file (models/train/reference.py). */
interface Reference {
  readonly height: number;
  readonly width: number;
  readonly mean: readonly number[];
  readonly std: readonly number[];
  readonly logits_height: number;
  readonly logits_width: number;
  readonly rust_logits: readonly number[];
  readonly feature_channel_means: readonly number[];
}

describe.each([1, 2, 3, 4, 5])('reference picture %i', (n) => {
  const reference: Reference = JSON.parse(readFileSync(`${FOLDER}/reference/${n}.json`, 'utf8'));
  let model: RustModel;
  let image: RgbImage;
  beforeAll(async () => {
    model = await loadModel(FOLDER, 1);
    const { data, info } = await sharp(`${FOLDER}/reference/${n}.png`).raw().toBuffer({ resolveWithObject: true });
    expect(info.channels).toBe(3);
    image = { height: info.height, width: info.width, data };
  });

  it('is prepared as in Python, channel by channel', () => {
    expect([image.height, image.width]).toEqual([reference.height, reference.width]);
    const input = preprocess(image, CARD_INPUT);
    const count = image.height * image.width;
    for (let channel = 0; channel < 3; channel++) {
      const values = input.subarray(channel * count, (channel + 1) * count);
      const mean = values.reduce((sum, value) => sum + value, 0) / count;
      const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / count);
      expect(Math.abs(mean - reference.mean[channel]!)).toBeLessThan(1e-6);
      expect(Math.abs(spread - reference.std[channel]!)).toBeLessThan(1e-6);
    }
  });

  it('gets from the file what PyTorch gave', async () => {
    const { logits, features } = await model.run(image);
    expect([logits.height, logits.width]).toEqual([reference.logits_height, reference.logits_width]);
    expect(logits.data).toHaveLength(reference.rust_logits.length);
    for (const [i, value] of logits.data.entries()) {
      expect(Math.abs(value - reference.rust_logits[i]!)).toBeLessThan(1e-3);
    }
    const count = features.height * features.width;
    expect(features.channels).toBe(reference.feature_channel_means.length);
    for (const [channel, wanted] of reference.feature_channel_means.entries()) {
      const values = features.data.subarray(channel * count, (channel + 1) * count);
      expect(Math.abs(values.reduce((sum, value) => sum + value, 0) / count - wanted)).toBeLessThan(1e-3);
    }
  });
});
