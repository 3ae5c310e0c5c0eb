import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { openPhotos } from '../../../src/adapters/photos/index.ts';
import { finishPhoto } from '../../../src/app/finish-photo.ts';
import { isAreaRight } from '../../../src/dev/photo-metrics.ts';
import { demo } from '../../engine/real.ts';

const FOLDER = 'demo-data/photos';
const named = demo().components.flatMap((component) => component.photos ?? []);
const outlined = named.filter((photo) => photo.outline !== undefined);

interface Compared {
  readonly name: string;
  readonly trueFraction: number;
  readonly measuredFraction: number;
  readonly both: number;
  readonly either: number;
}

describe('the demonstration photos, rendered with exact masks', async () => {
  const photos = await openPhotos({ rubric: 'rubric', models: 'models' }, 1);
  const compared: Compared[] = [];
  afterAll(() => photos.close());

  it('are named by the invented job, a dozen of them outlined', () => {
    expect(outlined.length).toBeGreaterThanOrEqual(12);
    for (const { file } of named) expect(readFileSync(`demo-data/${file}`).length).toBeGreaterThan(10_000);
  });

  it.each(outlined.map((photo) => [photo.id, photo] as const))(
    '%s: what the job says is what is measured',
    async (name, photo) => {
      const raw = await photos.pool.measure(
        { path: `${FOLDER}/${name}.jpg` },
        { request: { outline: photo.outline! }, maskLongSidePx: 1000 },
      );
      const found = finishPhoto(name, raw, { intervals: photos.intervals, group: 1 });
      expect(found.fit).toEqual({ ok: true, problems: [] });
      if (photo.rustAreaPercent !== undefined) {
        // Another processor may differ in the last figures.
        const { method: _, ...written } = photo.rustAreaPercent;
        for (const key of ['value', 'low', 'high'] as const)
          expect(found.rustAreaPercent![key]).toBeCloseTo(written[key], 1);
      }
      const [measured, rust, part] = await Promise.all([
        grey(raw.maskPng!),
        grey(`${FOLDER}/${name}.rust.png`),
        grey(`${FOLDER}/${name}.part.png`),
      ]);
      let [partPx, rustPx, both, either] = [0, 0, 0, 0];
      for (let i = 0; i < part.length; i++) {
        if (part[i] === 0) continue;
        partPx++;
        rustPx += rust[i]!;
        both += rust[i]! & measured[i]!;
        either += rust[i]! | measured[i]!;
      }
      compared.push({ name, trueFraction: rustPx / partPx, measuredFraction: raw.area!.fraction, both, either });
    },
  );

  it('area within a factor 1.8 on three in four, overlap above that wanted of photos, clean parts clean', () => {
    expect(compared).toHaveLength(outlined.length);
    const right = compared.filter((c) => isAreaRight(c.measuredFraction, c.trueFraction));
    expect(right.length / compared.length).toBeGreaterThanOrEqual(0.75);
    const rusty = compared.filter((c) => c.trueFraction > 0);
    const sum = (of: (c: Compared) => number) => rusty.reduce((total, c) => total + of(c), 0);
    expect(sum((c) => c.both) / sum((c) => c.either)).toBeGreaterThan(0.6);
    for (const clean of compared.filter((c) => c.trueFraction === 0))
      expect(clean.measuredFraction).toBeLessThan(0.005);
  });
});

/** 1 where the picture is bright. */
async function grey(input: string | Uint8Array): Promise<Uint8Array> {
  const { data } = await sharp(input).extractChannel(0).raw().toBuffer({ resolveWithObject: true });
  return Uint8Array.from(data, (value) => (value > 127 ? 1 : 0));
}
