import { describe, expect, it } from 'vitest';
import { countInside, measureSpots, referencePicture, wholeFrame } from '../../src/imaging/index.ts';
import { imagingSettings } from './settings.ts';

const SHARES = [0.01, 0.03, 0.1, 0.3, 1, 3, 10, 16, 33, 50];
const SPREADS = ['spot', 'general', 'pinpoint'] as const;

describe('referencePicture()', () => {
  for (const spread of SPREADS) {
    it.each(SHARES)(`covers exactly %d %% as ${spread}`, (percent) => {
      const drawn = referencePicture({ percent, spread, seed: 3 });
      // 500 x 500 is 250,000 pixels, so every share in the list is a whole number of them.
      expect(countInside(drawn)).toBe(Math.round(percent * 2500));
    });
  }

  it('draws the same picture from the same seed and another from another', () => {
    const draw = (seed: number) => referencePicture({ percent: 3, spread: 'general', seed }).data;
    expect(draw(1)).toEqual(draw(1));
    expect(draw(1)).not.toEqual(draw(2));
  });

  it.each([0, -1, 50.1, 0.0001, Number.NaN])('refuses %d %%', (percent) => {
    expect(() => referencePicture({ percent, spread: 'spot', seed: 1 })).toThrow(RangeError);
  });
});

describe('measureSpots()', () => {
  const { spread: limits } = imagingSettings();
  // Below 0.3 % a picture of this size holds too few pixels to tell the spreads apart.
  const told = SHARES.filter((percent) => percent >= 0.3);
  for (const spread of SPREADS) {
    for (const percent of told) {
      it(`calls a picture drawn as ${spread}, ${percent} %, ${spread} for every seed`, () => {
        const names = Array.from({ length: 5 }, (_, seed) => {
          const drawn = referencePicture({ percent, spread, seed });
          return measureSpots(drawn, wholeFrame(drawn), limits).spread;
        });
        expect(names).toEqual(Array(5).fill(spread));
      });
    }
  }

  it('calls specks between larger spots hybrid', () => {
    const general = referencePicture({ percent: 3, spread: 'general', seed: 5 });
    const specks = referencePicture({ percent: 3, spread: 'pinpoint', seed: 5 });
    const both = { ...general, data: general.data.map((value, i) => value | specks.data[i]!) };
    expect(measureSpots(both, wholeFrame(both), limits).spread).toBe('hybrid');
  });

  it('counts and sizes patches inside the part only', () => {
    // By hand: part is the left half, 50 pixels; inside it one patch of 4 and one of 1.
    const part = { height: 10, width: 10, data: Uint8Array.from({ length: 100 }, (_, i) => (i % 10 < 5 ? 1 : 0)) };
    const rust = { height: 10, width: 10, data: new Uint8Array(100) };
    for (const i of [0, 1, 10, 11, 53, 58, 59]) rust.data[i] = 1;
    const spots = measureSpots(rust, part, limits);
    expect(spots.count).toBe(2);
    expect(spots.largestPercent).toBe(8);
    expect(spots.sizes).toEqual([0, 0, 0, 2, 0]);
  });

  it('finds nothing on a clean part', () => {
    const clean = { height: 4, width: 4, data: new Uint8Array(16) };
    expect(measureSpots(clean, wholeFrame(clean), limits)).toMatchObject({
      count: 0,
      spread: 'none',
      largestPercent: 0,
    });
  });
});
