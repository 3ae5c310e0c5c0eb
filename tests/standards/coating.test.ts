import { describe, expect, it } from 'vitest';
import {
  BLAST_MEDIA_KG_PER_M2,
  BLAST_NOZZLES,
  barSize,
  boltMassKg,
  paintLitres,
  paintWindow,
  parseThread,
  practicalRateM2PerL,
  profileGrade,
  sheetAreaDm2,
  spreadingRateM2PerL,
  springSize,
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

describe('sizes', () => {
  it('gives both faces of 4 kg of 3 mm steel sheet as 33.97 dm2 (200 m / (rho t), computed)', () => {
    expect(Math.abs(sheetAreaDm2(4, 3, 7.85) - 33.97)).toBeLessThan(0.01);
    expect(sheetAreaDm2(4, 3)).toBe(sheetAreaDm2(4, 3, 7.85));
  });
  it('gives a bar 20 mm by 1.2 m 2.96 kg and 7.54 dm2 (computed)', () => {
    const bar = barSize(20, 1200);
    expect(Math.abs(bar.massKg - 2.96)).toBeLessThan(0.01);
    expect(Math.abs(bar.areaDm2 - 7.54)).toBeLessThan(0.01);
  });
  it('gives a spring of 12 mm wire, 130 mm, 6 turns 2.45 m, 2.18 kg, 9.24 dm2 (computed)', () => {
    const spring = springSize(12, 130, 6);
    expect(Math.abs(spring.wireLengthMm / 1000 - 2.45)).toBeLessThan(0.01);
    expect(Math.abs(spring.massKg - 2.18)).toBeLessThan(0.01);
    expect(Math.abs(spring.areaDm2 - 9.24)).toBeLessThan(0.01);
  });
  it('gives a bolt M10 x 40 to ISO 4014 32.8 g (head, 14 mm shank, thread at d2; computed)', () => {
    const m10 = parseThread('M10');
    expect(Math.abs((m10 === null ? 0 : (boltMassKg(m10, 40) ?? 0)) - 0.0328)).toBeLessThan(5e-4);
  });
  it('has no bolt mass for an inch thread', () => {
    const inch = parseThread('3/8 UNF');
    expect(inch === null ? 0 : boltMassKg(inch, 40)).toBeNull();
  });
  it('adds 5.7 g of zinc with 8 um on 10 dm2 (dm2 x um x 7.14e-5, computed)', () => {
    expect(zincMassKg(10, 8)).toBeCloseTo(0.0057, 4);
  });
});

describe('blasting', () => {
  it('cleans 9.3 m2/h with a 1/4 in nozzle at 24.4 kg/m2 (blast equipment chart, verified)', () => {
    const nozzle = BLAST_NOZZLES.find((row) => row.bore === '1/4 in');
    expect(nozzle?.areaM2PerHour).toBeCloseTo(9.3, 1);
    expect(BLAST_MEDIA_KG_PER_M2).toBeCloseTo(24.4, 1);
  });
  it('has rows that agree with themselves: media per hour over area per hour is about 24 kg/m2', () => {
    for (const row of BLAST_NOZZLES) {
      if (row.areaM2PerHour !== null) expect(Math.abs(row.mediaKgPerHour / row.areaM2PerHour - 24.4)).toBeLessThan(0.4);
    }
  });
  // ISO 8503-1: fine from segment 1 up to but not 2, medium 2 up to 3, coarse 3 up to 4; verified from comparator makers.
  it.each([
    [24, 'grit', 'finer than fine'],
    [25, 'grit', 'fine'],
    [59, 'grit', 'fine'],
    [60, 'grit', 'medium'],
    [100, 'grit', 'coarse'],
    [150, 'grit', 'coarser than coarse'],
    [50, 'shot', 'medium'],
    [70, 'shot', 'coarse'],
  ] as const)('%i um of %s is %s', (um, abrasive, grade) => expect(profileGrade(um, abrasive)).toBe(grade));
});
