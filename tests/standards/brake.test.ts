import { describe, expect, it } from 'vitest';
import {
  BRAKE_FLUIDS,
  blistersFromD714,
  brakePipeVerdict,
  defectSizeGrade,
  discVerdicts,
  flakingGrade,
  isPrepGradeDefined,
  isPrescribedArea,
  PREP_GRADES,
  padFinding,
  repairCertificationNz,
} from '../../src/standards/index.ts';

describe('brakePipeVerdict()', () => {
  it('rejects a 0.75 mm wall with 0.25 mm gone: one third (DVSA manual 1.1.11, verified)', () => {
    const found = brakePipeVerdict(0.75, 0.25);
    expect(found.isRejected).toBe(true);
    expect(found.limitMm).toBeCloseTo(0.25, 9);
    expect(found.lostFraction).toBeCloseTo(1 / 3, 9);
  });
  it('passes a little less, and rejects exactly a third of any wall', () => {
    expect(brakePipeVerdict(0.75, 0.24).isRejected).toBe(false);
    for (const wall of [0.3, 0.6, 0.69, 0.71, 0.9, 1.02])
      expect(brakePipeVerdict(wall, wall / 3).isRejected).toBe(true);
  });
  it('refuses a wall of nothing', () => expect(() => brakePipeVerdict(0, 0)).toThrow(RangeError));
});

describe('padFinding()', () => {
  it('finds 1.4 mm dangerous (DVSA manual 1.1.13, verified)', () => expect(padFinding(1.4, false)).toBe('dangerous'));
  it('finds a pad at its indicator major, and 1.5 mm no worse', () => {
    expect(padFinding(1.5, true)).toBe('major');
    expect(padFinding(1.5, false)).toBeNull();
  });
});

describe('discVerdicts()', () => {
  it('keeps two verdicts apart: under the stamp is no test failure, but is replaced (DVSA manual 1.1.14, verified)', () => {
    expect(discVerdicts({ thicknessMm: 21.5, stampedMinMm: 22 })).toMatchObject({ test: null, workshop: 'replace' });
  });
  it('keeps a disc at its stamp', () => {
    expect(discVerdicts({ thicknessMm: 22, stampedMinMm: 22 })).toMatchObject({ test: null, workshop: 'keep' });
  });
  it('finds obvious wear major and a fracture dangerous', () => {
    expect(discVerdicts({ thicknessMm: 23, stampedMinMm: 22, isObviouslyWorn: true })).toMatchObject({
      test: 'major',
      workshop: 'replace',
    });
    expect(discVerdicts({ thicknessMm: 23, stampedMinMm: 22, isFractured: true }).test).toBe('dangerous');
  });
});

describe('brake fluid', () => {
  // FMVSS 116 least boiling points new and wet, degrees C, verified second hand.
  it.each([
    ['3', 205, 140],
    ['4', 230, 155],
    ['5', 260, 180],
    ['5.1', 260, 180],
  ] as const)('DOT %s boils at %i new and %i wet', (dot, dryC, wetC) => {
    expect(BRAKE_FLUIDS[dot]).toMatchObject({ dryC, wetC });
  });
  it('has one silicone fluid, DOT 5', () => {
    expect(
      Object.entries(BRAKE_FLUIDS)
        .filter(([, fluid]) => fluid.base === 'silicone')
        .map(([dot]) => dot),
    ).toEqual(['5']);
  });
});

describe('roadworthiness', () => {
  it('counts a hole 25 cm from a belt mounting as prescribed, 31 cm as not (DVSA manual App. A, verified)', () => {
    expect(isPrescribedArea(25)).toBe(true);
    expect(isPrescribedArea(30)).toBe(true);
    expect(isPrescribedArea(31)).toBe(false);
  });
  it('refers a pitted arm without a hole in New Zealand (NZTA VIRM 3-3, verified)', () => {
    const arm = 'subframe, steering or suspension';
    expect(repairCertificationNz({ part: arm, damage: 'significant pitting' })).toBe('refer');
    expect(repairCertificationNz({ part: arm, damage: 'surface rust' })).toBeNull();
    expect(repairCertificationNz({ part: 'structure', damage: 'surface rust' })).toBe('refer');
    expect(repairCertificationNz({ part: 'body panel', damage: 'significant pitting' })).toBeNull();
    expect(repairCertificationNz({ part: 'body panel', damage: 'perforation' })).toBe('refer');
  });
});

describe('preparation grades', () => {
  it('pairs the grades with SSPC and NACE numbers (comparison sheet, verified)', () => {
    expect(PREP_GRADES['Sa 2 1/2']).toMatchObject({ equivalents: ['SSPC-SP 10', 'NACE 2'], stainMost: 0.05 });
    expect(PREP_GRADES['Sa 2']).toMatchObject({ equivalents: ['SSPC-SP 6', 'NACE 3'], stainMost: 0.33 });
    expect(PREP_GRADES['Sa 3'].stainMost).toBe(0);
  });
  it('has no light preparation of rust grade A (ISO 8501-1, from memory)', () => {
    expect(isPrepGradeDefined('A', 'Sa 1')).toBe(false);
    expect(isPrepGradeDefined('A', 'Sa 2 1/2')).toBe(true);
    expect(isPrepGradeDefined('C', 'St 2')).toBe(true);
  });
});

describe('coating defects', () => {
  // ISO 4628-1 sizes, from memory.
  it.each([
    [0, 0],
    [0.2, 2],
    [0.3, 3],
    [5, 4],
    [6, 5],
  ])('%f mm across is size %i', (mm, grade) => expect(defectSizeGrade(mm)).toBe(grade));
  // ISO 4628-5:2016 areas, from memory.
  it.each([
    [0, 0],
    [0.1, 1],
    [0.2, 2],
    [1, 3],
    [3, 4],
    [15, 5],
    [40, 5],
  ])('%f %% flaked is grade %i', (percent, grade) => expect(flakingGrade(percent)).toBe(grade));
  it('turns D714 round: 4 MD is 4(S4), 2 D is 5(S5), 10 is none (map from memory)', () => {
    expect(blistersFromD714(4, 'MD')).toBe('4(S4)');
    expect(blistersFromD714(2, 'D')).toBe('5(S5)');
    expect(blistersFromD714(8, 'F')).toBe('2(S2)');
    expect(blistersFromD714(10, 'F')).toBe('0(S0)');
    expect(blistersFromD714(5, 'F')).toBeNull();
    expect(blistersFromD714(4, 'X')).toBeNull();
  });
});
