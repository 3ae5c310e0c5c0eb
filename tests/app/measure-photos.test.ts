import { describe, expect, it } from 'vitest';
import { Assessment } from '../../shared/assessment.ts';
import { PhotoLine, PhotoMeasurement } from '../../shared/photo.ts';
import { draftAssessment } from '../../src/app/draft-assessment.ts';
import { finishPhoto } from '../../src/app/finish-photo.ts';
import { measurePhotos, type PhotoOutcome } from '../../src/app/measure-photos.ts';
import type { PhotoDeps } from '../../src/app/photo-deps.ts';
import { RAW } from './raw-photo.ts';

const INTERVALS = {
  model: { floorFraction: 0, baseDoubt: 1, bands: [{ fromFraction: 0, low: Math.log(2), high: Math.log(3) }] },
  colour: null,
  corrected: [1.5, 1.2].map((factor) => ({
    floorFraction: 0,
    baseDoubt: 1,
    bands: [{ fromFraction: 0, low: Math.log(factor), high: Math.log(factor) }],
  })),
};
const DUPLICATES = { sameBits: 4, burstSeconds: 10, burstBits: 14 };

function deps(measureFile: PhotoDeps['measureFile'], parallel = 2): PhotoDeps {
  return { measureFile, parallel, intervals: INTERVALS, duplicates: DUPLICATES };
}
async function all(outcomes: AsyncIterable<PhotoOutcome>): Promise<PhotoOutcome[]> {
  const found: PhotoOutcome[] = [];
  for await (const outcome of outcomes) found.push(outcome);
  return found;
}

describe('finishPhoto()', () => {
  it('gives percentage, interval, grades and areas', () => {
    const scale = { lengthPx: 400, lengthMm: 100 };
    const found = finishPhoto('a.jpg', RAW, { intervals: INTERVALS, group: 1, scale });
    expect(PhotoMeasurement.parse(found)).toEqual(found);
    expect(found.rustAreaPercent!.value).toBe(5);
    expect(found.rustAreaPercent!.low).toBeCloseTo(2.5, 4);
    expect(found.rustAreaPercent!.high).toBeCloseTo(15, 4);
    // 5 %: D610 grade 4 (3 to 10 %), between the pictures Ri 3 (1 %) and Ri 4 (8 %), ISO 10289 rating 4 (2.5 to 5 %).
    expect(found.grades).toEqual({ iso4628_3: ['Ri 3', 'Ri 4'], astmD610: '4-S', iso10289: 4 });
    // By hand: half of 1000 x 2000 px at 0.25 mm a pixel is 625 cm2, and 5 % of it 31.25.
    expect(found.areaCm2).toEqual({ part: 625, rust: 31.3 });
    expect(found.ms).toBe(12.3);
  });

  it('has exactly the promised keys without a scale', () => {
    expect(Object.keys(finishPhoto('a.jpg', RAW, { intervals: INTERVALS, group: 1 }))).toEqual([
      'file',
      'fit',
      'assessed',
      'rustAreaPercent',
      'grades',
      'spots',
      'group',
      'method',
      'ms',
    ]);
  });

  it('gives no square centimetres for a whole frame', () => {
    const scale = { lengthPx: 400, lengthMm: 100 };
    const found = finishPhoto('a.jpg', { ...RAW, assessed: 'whole-frame' }, { intervals: INTERVALS, group: 1, scale });
    expect(found.areaCm2).toBeUndefined();
  });

  it('gives no figure for a declined photo', () => {
    const problems = [{ id: 'blurred' as const, what: 'w', advice: 'a' }];
    const found = finishPhoto('a.jpg', { ...RAW, fit: { ok: false, problems } }, { intervals: INTERVALS, group: 1 });
    expect(found).toMatchObject({ rustAreaPercent: null, grades: null, spots: null, fit: { ok: false, problems } });
  });

  it('narrows with each tap that puts the network right, and after more than were tried counts as the last', () => {
    const highAfter = (corrections: number, base: 'model' | 'colour' = 'model') =>
      finishPhoto('a.jpg', { ...RAW, method: 'corrected', base, corrections }, { intervals: INTERVALS, group: 1 })
        .rustAreaPercent!.high;
    // 5 % times 1.5, 1.2 and 1.2; the colour rule's taps were never tried.
    expect(highAfter(1)).toBeCloseTo(7.5, 4);
    expect(highAfter(2)).toBeCloseTo(6, 4);
    expect(highAfter(9)).toBeCloseTo(6, 4);
    expect(highAfter(9, 'colour')).toBe(100);
  });

  it('spans everything possible where no interval was fitted', () => {
    const found = finishPhoto('a.jpg', { ...RAW, base: 'colour' }, { intervals: INTERVALS, group: 1 });
    expect(found.rustAreaPercent).toEqual({ value: 5, low: 0, high: 100 });
  });
});

describe('measurePhotos()', () => {
  const hashes = ['0'.repeat(16), 'f'.repeat(16), '0f'.repeat(8), '3'.repeat(16), 'c'.repeat(16), '5'.repeat(16)];

  it('keeps the order of the tasks whatever finishes first, and measures so many at once', async () => {
    let now = 0;
    let most = 0;
    const tasks = Array.from({ length: 12 }, (_, n) => ({ file: `${n}` }));
    const outcomes = await all(
      measurePhotos(
        tasks,
        deps(async (file) => {
          now++;
          most = Math.max(most, now);
          await new Promise((resolve) => setTimeout(resolve, (17 * Number(file)) % 11));
          now--;
          return { ...RAW, hash: hashes[Number(file) % 6]! };
        }),
      ),
    );
    expect(outcomes.map((o) => o.line.file)).toEqual(tasks.map((task) => task.file));
    expect(most).toBe(4);
    // Photos n and n + 6 show the same: one group.
    expect(outcomes.map((o) => 'group' in o.line && o.line.group)).toEqual([1, 2, 3, 4, 5, 6, 1, 2, 3, 4, 5, 6]);
  });

  it('gives a bad file its own line and measures the rest', async () => {
    const tasks = Array.from({ length: 2000 }, (_, n) => ({ file: `${n}` }));
    const bad = new Set(['3', '1000', '1999']);
    const outcomes = await all(
      measurePhotos(
        tasks,
        deps(async (file) => {
          if (bad.has(file)) throw Object.assign(new Error('Cannot decode: wanted x, found y'), { code: 'damaged' });
          return RAW;
        }),
      ),
    );
    const failures = outcomes.filter((o) => 'error' in o.line);
    expect(failures.map((o) => o.line)).toEqual(
      [...bad].map((file) => ({ file, error: { code: 'damaged', message: 'Cannot decode: wanted x, found y' } })),
    );
    for (const { line } of outcomes) expect(PhotoLine.safeParse(line).success).toBe(true);
    expect(outcomes).toHaveLength(2000);
  });

  it('does not take our own mistake for a bad photo', async () => {
    const broken = deps(async () => {
      throw new TypeError('a bug');
    });
    await expect(all(measurePhotos([{ file: 'a' }], broken))).rejects.toThrow('a bug');
  });
});

describe('draftAssessment()', () => {
  const measurement = (file: string, group: number) => finishPhoto(file, RAW, { intervals: INTERVALS, group });

  it('makes one unlisted part a group, with its photos, in a valid assessment', () => {
    const draft = draftAssessment(
      [
        {
          measurement: measurement('a.jpg', 1),
          takenAtMs: Date.UTC(2026, 10, 20),
          outline: [
            [0, 0],
            [9, 0],
            [0, 9],
          ],
        },
        { measurement: measurement('b.jpg', 2), takenAtMs: null },
        { measurement: measurement('c.jpg', 1), takenAtMs: null },
      ],
      { name: 'Draft', today: '2026-11-25' },
    );
    expect(Assessment.safeParse(draft).error?.issues ?? []).toEqual([]);
    expect(draft!.components.map((c) => c.photos!.map((p) => p.file))).toEqual([['a.jpg', 'c.jpg'], ['b.jpg']]);
    expect(draft!.components[0]!.photos![0]).toMatchObject({
      date: '2026-11-20',
      outline: [
        [0, 0],
        [9, 0],
        [0, 9],
      ],
      rustAreaPercent: { value: 5, method: 'model' },
    });
  });

  it('is null without a photo', () => expect(draftAssessment([], { name: 'x', today: '2026-11-25' })).toBeNull());
});
