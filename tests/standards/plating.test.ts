import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  allowance2AUm,
  hotDipThicknessUm,
  platingFits,
  platingMaxUm,
  THREADS,
  WHITE_RUST_HOURS,
  zincServiceClass,
} from '../../src/standards/index.ts';
import { knownThread } from './known-thread.ts';

describe('platingMaxUm()', () => {
  // ISO 4042 rule (a quarter of the deviation) verified; deviations of ISO 965-1 from memory save 24 um at pitch 0.8.
  it.each([
    ['M5', 6],
    ['M6', 6.5],
    ['M8', 7],
    ['M10', 8],
    ['M12', 8.5],
    ['M14', 9.5],
    ['M16', 9.5],
    ['M20', 10.5],
  ])('%s in position g has room for %f um', (name, um) => expect(platingMaxUm(knownThread(name), 'g')).toBe(um));

  // ISO 4042: deviation needed for a coat, verified: 12, 20, 32, 40, 48, 60, 80, 100 um for 3 to 25 um: four times the coat.
  it('needs four times the coat', () => expect(platingMaxUm(knownThread('M10'), 'g')).toBe(32 / 4));

  it('has no room in position h', () => {
    expect(platingMaxUm(knownThread('M10'), 'h')).toBe(0);
    expect(platingMaxUm(knownThread('1/4 UNC'), 'h')).toBe(0);
  });

  it('allows less on long bolts, and knows nothing past 15 diameters (ISO 4042)', () => {
    expect(platingMaxUm(knownThread('M10'), 'g', 50)).toBe(8);
    expect(platingMaxUm(knownThread('M10'), 'g', 80)).toBeCloseTo(6.4, 9);
    expect(platingMaxUm(knownThread('M10'), 'g', 120)).toBeCloseTo(16 / 3, 9);
    expect(platingMaxUm(knownThread('M10'), 'g', 100)).toBeCloseTo(6.4, 9);
    expect(platingMaxUm(knownThread('M10'), 'g', 101)).toBeCloseTo(16 / 3, 9);
    expect(platingMaxUm(knownThread('M10'), 'g', 150)).toBeCloseTo(16 / 3, 9);
    expect(platingMaxUm(knownThread('M10'), 'g', 151)).toBeNull();
  });

  // ASME B1.1 class 2A allowance in inches, from memory; a quarter of it in um, computed.
  it.each([
    ['1/4 UNC', 0.0011, 7],
    ['3/8 UNC', 0.0013, 8.3],
    ['1/2 UNC', 0.0015, 9.5],
    ['1/4 UNF', 0.001, 6.3],
    ['3/4 UNF', 0.0015, 9.5],
  ])('%s class 2A has an allowance of %f in, room for %f um', (name, inches, um) => {
    expect((allowance2AUm(knownThread(name)) ?? 0) / 25_400).toBeCloseTo(inches, 6);
    expect(Math.abs((platingMaxUm(knownThread(name), 'g') ?? 0) - um)).toBeLessThan(0.06);
  });

  it('is null where no figure was found', () => {
    expect(platingMaxUm(knownThread('3/8 BSF'), 'g')).toBeNull();
    expect(allowance2AUm(knownThread('M8'))).toBeNull();
  });
});

describe('platingFits()', () => {
  it('finds that 8 um does not fit M8 6g and just fits M10 6g (ISO 4042, rule verified, deviation from memory)', () => {
    expect(platingFits(knownThread('M8'), 8)).toMatchObject({ fits: false, maxUm: 7 });
    expect(platingFits(knownThread('M10'), 8)).toMatchObject({ fits: true, maxUm: 8 });
  });
  it('finds that 8 um does not fit 1/4-20 (class 2A, from memory)', () => {
    expect(platingFits(knownThread('1/4-20 UNC'), 8).fits).toBe(false);
  });
  it('says so when nothing is known', () => {
    expect(platingFits(knownThread('2 BA'), 5)).toMatchObject({ fits: null, maxUm: null });
  });
  it('never fits a thicker coat where a thinner one does not', () => {
    const um = fc.double({ min: 0, max: 30, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...THREADS), um, um, (each, a, b) => {
        if (platingFits(each, Math.max(a, b)).fits === true) expect(platingFits(each, Math.min(a, b)).fits).toBe(true);
      }),
    );
  });
  it('refuses a negative coat', () => expect(() => platingFits(knownThread('M8'), -1)).toThrow(RangeError));
});

describe('zinc tables', () => {
  it('names the service class a thickness meets (ASTM B633 SC1 to SC4, verified)', () => {
    expect(zincServiceClass(4.9)).toBeNull();
    expect(zincServiceClass(5)?.service).toBe('mild');
    expect(zincServiceClass(8)).toMatchObject({ designation: 'Fe/Zn 8', service: 'moderate' });
    expect(zincServiceClass(24)?.service).toBe('severe');
    expect(zincServiceClass(25)?.service).toBe('very severe');
  });
  it('gives hours to white rust (plater’s table to ASTM B633, verified)', () => {
    expect(WHITE_RUST_HOURS).toEqual({ II: 96, III: 12, V: 72, VI: 120 });
  });
  // ISO 1461:2009 tables, verified.
  it.each([
    [8, false, 70, 85],
    [6.1, false, 70, 85],
    [6, false, 55, 70],
    [3.1, false, 55, 70],
    [1.49, false, 35, 45],
    [5.9, true, 60, 70],
    [3, false, 45, 55],
    [1.5, false, 45, 55],
    [1.2, false, 35, 45],
    [6, true, 70, 80],
    [5, true, 60, 70],
  ])('%f mm, casting %s: %i local, %i mean', (mm, isCasting, localUm, meanUm) => {
    expect(hotDipThicknessUm(mm, isCasting)).toEqual({ localUm, meanUm });
  });
});
