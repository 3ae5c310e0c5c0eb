import { describe, expect, it } from 'vitest';
import {
  COAT_WITHIN_HOURS,
  PAINT_LOSS,
  paintLitres,
  paintWindow,
  practicalRateM2PerL,
  spreadingRateM2PerL,
  wetFilmUm,
  zincMassKg,
} from '../../src/standards/index.ts';

describe('paint', () => {
  // Paint makers' notes: volume solids in % x 10 / DFT; verified.
  it('covers 10.0 m2/l at 60 % and 60 um, 5.2 at 65 % and 125 um', () => {
    expect(spreadingRateM2PerL(0.6, 60)).toBeCloseTo(10, 9);
    expect(spreadingRateM2PerL(0.65, 125)).toBeCloseTo(5.2, 9);
  });
  it('covers 5.0 m2/l with a spray gun losing half (verified)', () => {
    expect(practicalRateM2PerL(0.6, 60, 0.5)).toBeCloseTo(5, 9);
  });
  it('lays 100 um wet for 60 um dry at 60 % (DFT x 100 / VS, verified)', () =>
    expect(wetFilmUm(60, 0.6)).toBeCloseTo(100, 9));
  it('needs a fifth of a litre for a square metre at 5 m2/l', () => {
    expect(paintLitres({ areaDm2: 100, dftUm: 60, volumeSolids: 0.6, lossFraction: 0.5 })).toBeCloseTo(0.2, 9);
    expect(paintLitres({ areaDm2: 0, dftUm: 60, volumeSolids: 0.6, lossFraction: 0.5 })).toBe(0);
  });
  it('refuses per cent for a fraction, and a loss of everything', () => {
    expect(() => spreadingRateM2PerL(60, 60)).toThrow(RangeError);
    expect(() => practicalRateM2PerL(0.6, 60, 1)).toThrow(RangeError);
  });
});

describe('tables of practice', () => {
  it('lose 10 to 15 % by brush, 30 airless, 50 by gun (paint makers, verified)', () => {
    expect(PAINT_LOSS).toEqual({ brush: [0.1, 0.15], airless: [0.3, 0.3], 'spray gun': [0.5, 0.5] });
  });
  it('coat within 4, 8 or 24 h of blasting (practitioners disagree)', () => {
    expect(COAT_WITHIN_HOURS).toEqual({ damp: 4, usual: 8, dry: 24 });
  });
});

describe('paintWindow()', () => {
  // IMO coating guidance 3.3 and ISO 8502-4 practice, verified.
  it('is shut at 86 % humidity', () => {
    const found = paintWindow(0.86, 15, 10);
    expect(found.isOpen).toBe(false);
    expect(found.reasons).toHaveLength(1);
    expect(found.reasons[0]).toMatch(/85 %/);
  });
  it('is shut with steel at 15 and dew point at 12.5: only 2.5 K', () => {
    expect(paintWindow(0.7, 15, 12.5)).toMatchObject({ isOpen: false, aboveDewK: 2.5 });
  });
  it('is open at 85 % and 3 K, the limits themselves', () => {
    expect(paintWindow(0.85, 15, 12)).toEqual({ isOpen: true, aboveDewK: 3, reasons: [] });
  });
});

describe('zincMassKg()', () => {
  it('adds 5.7 g of zinc with 8 um on 10 dm2 (dm2 x um x 7.14e-5, computed)', () => {
    expect(zincMassKg(10, 8)).toBeCloseTo(0.0057, 4);
  });
});
