import { existsSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { analysisSize } from '../../../src/adapters/photos/decode.ts';
import { loadModel, preprocess, type RustModel, runByTiles } from '../../../src/adapters/photos/model.ts';
import type { RgbImage } from '../../../src/imaging/index.ts';
import { imagingSettings } from '../../imaging/settings.ts';
import { noise, picture, rustyPanel } from '../../make-image.ts';

const FOLDER = 'models/rust-segmenter';

describe('preprocess()', () => {
  it('agrees with a Python reference to six places', () => {
    const file = new URL('./files/preprocess.json', import.meta.url);
    const { height, width, data, input } = JSON.parse(readFileSync(file, 'utf8'));
    const ours = preprocess(
      { height, width, data: Uint8Array.from(data) },
      { scale: 0.00392156862745098, mean: [0.5, 0.5, 0.5], std: [0.5, 0.5, 0.5] },
    );
    expect(ours).toHaveLength(input.length);
    for (const [i, value] of ours.entries()) expect(Math.abs(value - input[i])).toBeLessThan(5e-7);
  });
});

describe('analysisSize()', () => {
  const { analysis } = imagingSettings();
  it.each([
    [3000, 4000, 384, 512],
    [4000, 3000, 512, 384],
    [480, 480, 512, 512],
    // Panorama: short side 384, the longer in proportion (921.6, nearest multiple of 32).
    [5000, 12_000, 384, 928],
    // The longest side that is looked at: 12 tiles' worth.
    [500, 60_000, 32, 4608],
  ])('%d x %d is looked at as %d x %d', (height, width, toHeight, toWidth) => {
    expect(analysisSize({ height, width }, analysis)).toEqual({ height: toHeight, width: toWidth });
  });
});

describe.runIf(existsSync(`${FOLDER}/model.onnx`))('the network', () => {
  let model: RustModel;
  beforeAll(async () => {
    model = await loadModel(FOLDER, 2);
  });

  it('gives log-odds and features at a quarter of the size, the same every time', async () => {
    const image = rustyPanel(384, 512, 100);
    const first = await model.run(image);
    expect([first.logits.height, first.logits.width]).toEqual([96, 128]);
    expect([first.features.channels, first.features.height, first.features.width]).toEqual([32, 96, 128]);
    expect((await model.run(image)).logits.data).toEqual(first.logits.data);
  });

  it('tiles a long picture so that every column is filled and each tile keeps its middle', async () => {
    const wide = picture(64, 1280, (row, col) => {
      const n = noise(row, col, 25);
      return col % 400 < 60 ? [120 + n, 62 + n, 30 + n] : [118 + n, 122 + n, 126 + n];
    });
    const starts: number[] = [];
    // Stands where the network does and answers with each pixel's own brightness, so that the seams can be checked.
    const echo: RustModel = {
      async run(image: RgbImage) {
        starts.push(image.width);
        const size = { height: image.height / 4, width: image.width / 4 };
        const data = Float32Array.from({ length: size.height * size.width }, (_, i) => {
          const row = Math.floor(i / size.width) * 4;
          return image.data[(row * image.width + (i % size.width) * 4) * 3]!;
        });
        return { logits: { ...size, data }, features: { channels: 0, ...size, data: new Float32Array(0) } };
      },
    };
    const whole = await echo.run(wide);
    starts.length = 0;
    const tiled = await runByTiles(echo, wide, 512);
    expect(starts).toEqual([512, 512, 512]);
    expect(tiled.logits).toEqual(whole.logits);
    const turned = picture(1280, 64, (row, col) => {
      const at = (col * 1280 + row) * 3;
      return [wide.data[at]!, wide.data[at + 1]!, wide.data[at + 2]!];
    });
    expect((await runByTiles(echo, turned, 512)).logits).toEqual((await echo.run(turned)).logits);
  });

  it('says which file is missing and what to do', async () => {
    await expect(loadModel('models/none', 1)).rejects.toMatchObject({ code: 'no-model', message: /--method colour/ });
  });
});
