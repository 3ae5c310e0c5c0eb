import { describe, expect, it } from 'vitest';
import { powderCure } from '../../src/standards/index.ts';

describe('powderCure()', () => {
  it('allows 6061-T6 at 200 C for 20 min and counts the time (16 h at 199 C, verified)', () => {
    const found = powderCure('6061-T6', 200, 20);
    expect(found.isAllowed).toBe(true);
    expect(found.because).toMatch(/adds up/);
  });
  // University project on reheating 6xxx extrusions, hours before the alloy falls under its minimum, verified second hand.
  it.each([
    ['6061-T6', 199, 16],
    ['6061-T6', 218, 4],
    ['6061-T6', 177, 64],
    ['6xxx-T6', 177, 8],
    ['6xxx-T6', 199, 2],
    ['6xxx-T6', 218, 0.5],
  ] as const)('%s at %i C stands %f h', (alloy, celsius, hours) => {
    expect((powderCure(alloy, celsius, 1).budgetMinutes ?? 0) / 60).toBeCloseTo(hours, 9);
  });
  it('adds time already spent: a fourth cure of 40 min is too many for a stronger alloy at 199 C', () => {
    expect(powderCure('6xxx-T6', 199, 40, 80).isAllowed).toBe(true);
    expect(powderCure('6xxx-T6', 199, 40, 120).isAllowed).toBe(false);
  });
  it('forbids 7075-T6 at 200 C, aged at about 120 (from memory), and a cast wheel aged near 155 (second hand)', () => {
    expect(powderCure('7075-T6', 200, 20).isAllowed).toBe(false);
    expect(powderCure('A356-T6', 200, 20).isAllowed).toBe(false);
    expect(powderCure('A356-T6', 120, 20).isAllowed).toBe(true);
    expect(powderCure('A356-T6', 155, 20).isAllowed).toBe(false);
    expect(powderCure('7075-T6', 119, 20).isAllowed).toBe(true);
    expect(powderCure('7075-T6', 120, 20).isAllowed).toBe(false);
  });
  it('has no time past its table and never more time at more heat', () => {
    expect(powderCure('6061-T6', 230, 1)).toMatchObject({ isAllowed: false, budgetMinutes: 0 });
    let before = Number.POSITIVE_INFINITY;
    for (let celsius = 150; celsius <= 240; celsius += 1) {
      const budget = powderCure('6xxx-T6', celsius, 1).budgetMinutes ?? 0;
      expect(budget).toBeLessThanOrEqual(before * (1 + 1e-12));
      before = budget;
    }
  });
  it('refuses a cure of no time', () => expect(() => powderCure('6061-T6', 200, 0)).toThrow(RangeError));
});
