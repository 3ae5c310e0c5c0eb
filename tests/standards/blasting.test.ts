import { describe, expect, it } from 'vitest';
import { BLAST_MEDIA_KG_PER_M2, BLAST_NOZZLES, profileGrade } from '../../src/standards/index.ts';

describe('blasting', () => {
  it('cleans 9.3 m2/h with a 1/4 in nozzle at 24.4 kg/m2 (blast equipment chart, verified)', () => {
    const nozzle = BLAST_NOZZLES.find((row) => row.bore === '1/4 in');
    expect(nozzle?.areaM2PerHour).toBeCloseTo(9.3, 1);
    expect(BLAST_MEDIA_KG_PER_M2).toBeCloseTo(24.4, 1);
  });
  it('has the air and media of the chart, in cfm and lb/h (verified)', () => {
    expect(BLAST_NOZZLES.map((row) => row.airCfm)).toEqual([20, 45, 81, 137, 196]);
    expect(BLAST_NOZZLES.map((row) => Math.round(row.mediaKgPerHour / 0.45359237))).toEqual([123, 264, 494, 812, 1152]);
    expect(BLAST_NOZZLES.map((row) => row.areaM2PerHour)).toEqual([null, null, 9.3, 14.9, 21.4]);
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
    [25, 'shot', 'fine'],
    [24.9, 'shot', 'finer than fine'],
    [40, 'shot', 'medium'],
    [39.9, 'shot', 'fine'],
    [69.9, 'shot', 'medium'],
    [100, 'shot', 'coarser than coarse'],
    [99.9, 'grit', 'medium'],
    [149.9, 'grit', 'coarse'],
  ] as const)('%i um of %s is %s', (um, abrasive, grade) => expect(profileGrade(um, abrasive)).toBe(grade));
});
