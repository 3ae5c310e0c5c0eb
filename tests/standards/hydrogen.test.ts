import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hydrogenRule } from '../../src/standards/index.ts';

describe('hydrogenRule()', () => {
  // ISO 4042:2018 4.4 against the highest hardness of ISO 898-1: 335, 360, 380, 435 HV; verified.
  it.each([
    ['4.6', 'none'],
    ['8.8', 'none'],
    ['9.8', 'verify process'],
    ['10.9', 'verify process'],
    ['12.9', 'bake'],
  ])('class %s by the fastener standard: %s', (classId, wanted) =>
    expect(hydrogenRule({ classId })?.iso4042).toBe(wanted),
  );

  // ASTM B850 Table 1, hours at 190 to 220 C, verified.
  it.each([
    [1040, 8],
    [1100, 8],
    [1101, 10],
    [1220, 12],
    [1400, 14],
    [1500, 16],
    [1600, 18],
    [1700, 20],
    [1300, 12],
    [1301, 14],
    [1701, 22],
    [1800, 22],
  ])('%i MPa by the plating standard: %i h', (tensileMPa, hours) => {
    expect(hydrogenRule({ tensileMPa })?.b850).toEqual({ hours, tempC: [190, 220] });
  });

  it('steps up a hair above each limit (ASTM B850 Table 1, verified)', () => {
    [1100, 1200, 1300, 1400, 1500, 1600, 1700].forEach((limit, n) => {
      expect(hydrogenRule({ tensileMPa: limit })?.b850?.hours).toBe(8 + 2 * n);
      expect(hydrogenRule({ tensileMPa: limit + 0.1 })?.b850?.hours).toBe(10 + 2 * n);
    });
    expect(hydrogenRule({ tensileMPa: 1801 })).toMatchObject({ b850: null, refuse: true });
  });

  it('asks for no bake under 1000 MPa (ASTM B850, verified)', () => {
    expect(hydrogenRule({ tensileMPa: 999 })?.b850).toBeNull();
    expect(hydrogenRule({ classId: '8.8' })).toMatchObject({ b850: null, isBakeAdvised: false, refuse: false });
  });

  it('refuses to electroplate above 1700 MPa (ASTM B633 scope, verified)', () => {
    expect(hydrogenRule({ tensileMPa: 1750 })).toMatchObject({ refuse: true, isBakeAdvised: false });
    expect(hydrogenRule({ tensileMPa: 1700 })?.refuse).toBe(false);
  });

  it('shows both documents for 10.9 and takes the careful one', () => {
    const rule = hydrogenRule({ classId: '10.9' });
    expect(rule).toMatchObject({ iso4042: 'verify process', b850: { hours: 8 }, isBakeAdvised: true });
    expect(rule?.because).toMatch(/differ/);
    expect(rule?.source).toMatch(/ISO 4042/);
    expect(rule?.source).toMatch(/B850/);
  });

  it('treats SAE 8 as 10.9: 39 HRC is about 382 HV (computed); SAE 5 needs nothing', () => {
    expect(hydrogenRule({ classId: 'SAE 8' })).toMatchObject({ iso4042: 'verify process', b850: { hours: 8 } });
    expect(hydrogenRule({ classId: 'SAE 5' })).toMatchObject({ iso4042: 'none', isBakeAdvised: false });
  });

  it('goes by hardness alone at the limits 360 and 390 HV (ISO 4042:2018 4.4, verified)', () => {
    expect(hydrogenRule({ hardnessHV: 359 })?.iso4042).toBe('none');
    expect(hydrogenRule({ hardnessHV: 360 })?.iso4042).toBe('verify process');
    expect(hydrogenRule({ hardnessHV: 390 })?.iso4042).toBe('verify process');
    expect(hydrogenRule({ hardnessHV: 391 })?.iso4042).toBe('bake');
  });

  it('takes a harder measure over a softer class', () => {
    expect(hydrogenRule({ classId: '8.8', hardnessHV: 400 })?.iso4042).toBe('bake');
  });

  it('is never gentler on harder or stronger steel', () => {
    const rank = { none: 0, 'verify process': 1, bake: 2 };
    const hv = fc.double({ min: 100, max: 700, noNaN: true });
    fc.assert(
      fc.property(hv, hv, (a, b) => {
        const soft = hydrogenRule({ hardnessHV: Math.min(a, b) });
        const hard = hydrogenRule({ hardnessHV: Math.max(a, b) });
        if (soft === null || hard === null) throw new Error('A hardness always gives a rule');
        expect(rank[hard.iso4042]).toBeGreaterThanOrEqual(rank[soft.iso4042]);
        if (soft.refuse) expect(hard.refuse).toBe(true);
        if (soft.isBakeAdvised) expect(hard.isBakeAdvised || hard.refuse).toBe(true);
      }),
    );
  });

  it('is null for an unknown class and refuses an empty question', () => {
    expect(hydrogenRule({ classId: '7.7' })).toBeNull();
    expect(() => hydrogenRule({})).toThrow(RangeError);
    expect(() => hydrogenRule({ hardnessHV: 0 })).toThrow(RangeError);
  });
});
