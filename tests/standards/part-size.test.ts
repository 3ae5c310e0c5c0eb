import { describe, expect, it } from 'vitest';
import { barSize, boltMassKg, parseThread, sheetAreaDm2, springSize } from '../../src/standards/index.ts';

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
});
