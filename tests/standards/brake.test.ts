import { describe, expect, it } from 'vitest';
import { BRAKE_FLUIDS, brakePipeVerdict, discVerdicts, padFinding } from '../../src/standards/index.ts';

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
