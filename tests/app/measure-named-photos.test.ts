import { describe, expect, it } from 'vitest';
import type { Component, PhotoRecord } from '../../shared/index.ts';
import { measureNamedPhotos } from '../../src/app/measure-named-photos.ts';
import type { PhotoDeps, RawPhoto } from '../../src/app/photo-deps.ts';
import { assessmentOf } from '../engine/real.ts';
import { RAW } from './raw-photo.ts';

const FIFTH: RawPhoto = { ...RAW, area: { fraction: 0.2, sureFraction: 0.2, possibleFraction: 0.2 } };
const OUTLINE: [number, number][] = [
  [10, 10],
  [300, 10],
  [300, 300],
];

function photo(id: string, rest: Partial<PhotoRecord> = {}): PhotoRecord {
  return { id, file: `${id}.jpg`, check: 'face-rust', stage: 'fitted', date: '2026-11-25', outline: OUTLINE, ...rest };
}

const arm = (photos: PhotoRecord[]): Component => ({
  id: 'arm',
  name: 'Arm',
  kind: 'pressed-steel-arm',
  stage: 'fitted',
  photos,
});

function run(photos: PhotoRecord[], measureFile: PhotoDeps['measureFile'] = async () => FIFTH) {
  const seen: string[] = [];
  const notes: string[] = [];
  const steps: string[] = [];
  const assessment = assessmentOf([arm(photos)]);
  const before = structuredClone(assessment);
  const result = measureNamedPhotos(assessment, 'job/car.yaml', {
    pathOf: (file) => `job/${file}`,
    openPhotos: async () => {
      steps.push('open');
      return {
        measureFile: (file, options) => {
          seen.push(file);
          return measureFile(file, options);
        },
        parallel: 2,
        intervals: {
          model: { floorFraction: 0, baseDoubt: 1, bands: [{ fromFraction: 0, low: Math.LN2, high: Math.LN2 }] },
          colour: null,
          corrected: [],
        },
        duplicates: { sameBits: 4, burstSeconds: 10, burstBits: 14 },
        close: async () => {
          steps.push('close');
        },
      };
    },
    progress: (done, total) => steps.push(`${done}/${total}`),
    note: (line) => notes.push(line),
  });
  return { result, seen, notes, steps, assessment, before };
}

describe('measureNamedPhotos()', () => {
  it('fills in what an outlined photo of a check shows, and leaves the argument alone', async () => {
    const { result, seen, steps, assessment, before } = run([photo('a'), photo('b')]);
    // A fifth, and a factor 2 either way.
    const found = { value: 20, low: 10, high: 40, method: 'model' };
    expect((await result).components[0]!.photos!.map((p) => p.rustAreaPercent)).toEqual([found, found]);
    expect(seen).toEqual(['job/a.jpg', 'job/b.jpg']);
    expect(steps).toEqual(['open', '1/2', '2/2', 'close']);
    expect(assessment).toEqual(before);
  });

  it('leaves alone what would change nothing, and starts nothing for it', async () => {
    const done = { value: 3, low: 1, high: 9, method: 'corrected' as const };
    const { result, steps, assessment } = run([
      photo('whole', { outline: undefined }),
      photo('unasked', { check: undefined }),
      photo('known', { rustAreaPercent: done }),
      photo('struck', { struck: { reason: 'Other arm', by: 'Wilmot', date: '2026-11-25' } }),
    ]);
    expect(await result).toBe(assessment);
    expect(steps).toEqual([]);
  });

  it('notes a photo that is not fit and gives it no figure', async () => {
    const problems = [{ id: 'blurred' as const, what: 'Blurred', advice: 'Hold still' }];
    const { result, notes } = run([photo('a')], async () => ({ ...FIFTH, fit: { ok: false, problems } }));
    expect((await result).components[0]!.photos![0]!.rustAreaPercent).toBeUndefined();
    expect(notes).toEqual(['a.jpg of arm does not count, not fit to measure: Blurred. Hold still.']);
  });

  it('names every photo that cannot be measured, with its place, and still ends the processes', async () => {
    const { result, steps } = run([photo('a'), photo('b'), photo('c')], async (file) => {
      if (file === 'job/b.jpg') return FIFTH;
      const code = file === 'job/a.jpg' ? 'not-found' : 'outline';
      throw Object.assign(new Error('Cannot: wanted this, found that'), { code });
    });
    await expect(result).rejects.toMatchObject({
      faults: [
        { file: 'job/car.yaml', path: 'components.0.photos.0.file', found: 'a.jpg: Cannot: wanted this, found that' },
        { file: 'job/car.yaml', path: 'components.0.photos.2.outline' },
      ],
    });
    expect(steps.at(-1)).toBe('close');
  });
});
