import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  barLeft,
  plateLeft,
  type SectionShape,
  sectionLeft,
  sectionModulusMm3,
  springRatios,
} from '../../src/standards/index.ts';

const TUBE: SectionShape = { kind: 'tube', outerMm: 40, wallMm: 3 };
const BOX: SectionShape = { kind: 'box', heightMm: 60, widthMm: 40, wallMm: 3 };

describe('sectionModulusMm3()', () => {
  // I = pi/64 (D^4 - d^4), I = (B H^3 - b h^3)/12, Z = 2 I / height; worked by hand.
  it('gives the tube 40 x 3 3003.3 mm3 and the box 60 x 40 x 3 9128.4 mm3', () => {
    expect(sectionModulusMm3(TUBE)).toBeCloseTo(3003.3, 1);
    expect(sectionModulusMm3(BOX)).toBeCloseTo(9128.4, 1);
    expect(sectionModulusMm3(TUBE, { mm: 1, side: 'inside' })).toBeCloseTo(2160.8, 1);
    expect(sectionModulusMm3(TUBE, { mm: 1, side: 'outside' })).toBeCloseTo(1934.6, 1);
    expect(sectionModulusMm3(BOX, { mm: 1, side: 'inside' })).toBeCloseTo(6438.4, 1);
    expect(sectionModulusMm3(BOX, { mm: 1, side: 'outside' })).toBeCloseTo(5920.9, 1);
  });
  it('gives a solid bar pi d^3 / 32', () => {
    expect(sectionModulusMm3({ kind: 'bar', diameterMm: 24 })).toBeCloseTo((Math.PI * 24 ** 3) / 32, 9);
  });
});

describe('sectionLeft()', () => {
  // The same formulas, computed; a bar from 24 to 23 mm has lost 0.5 mm all round.
  it.each<[string, SectionShape, number, 'inside' | 'outside', number]>([
    ['tube 40 x 3, 1 mm inside', TUBE, 1, 'inside', 0.7195],
    ['tube 40 x 3, 1 mm outside', TUBE, 1, 'outside', 0.6441],
    ['box 60 x 40 x 3, 1 mm inside', BOX, 1, 'inside', 0.7053],
    ['box 60 x 40 x 3, 1 mm outside', BOX, 1, 'outside', 0.6486],
    ['plate 4 to 3 mm', { kind: 'plate', thicknessMm: 4 }, 1, 'outside', 0.5625],
    ['bar 24 to 23 mm', { kind: 'bar', diameterMm: 24 }, 0.5, 'outside', 0.8801],
    ['wire 12 to 11.5 mm', { kind: 'wire', diameterMm: 12 }, 0.25, 'outside', 0.8801],
    [
      'brake pipe 4.75 x 0.71, a third of the wall',
      { kind: 'pipe', outerMm: 4.75, wallMm: 0.71 },
      0.71 / 3,
      'outside',
      0.609,
    ],
  ])('%s', (_name, shape, mm, side, left) => {
    expect(Math.abs(sectionLeft(shape, { mm, side }) - left)).toBeLessThan(5e-4);
  });

  const size = fc.double({ min: 1, max: 100, noNaN: true });
  const share = fc.double({ min: 0.01, max: 0.49, noNaN: true });
  const shapes: fc.Arbitrary<SectionShape> = fc.oneof(
    fc.tuple(size, share).map(([outerMm, s]): SectionShape => ({ kind: 'tube', outerMm, wallMm: outerMm * s })),
    fc.tuple(size, share).map(([outerMm, s]): SectionShape => ({ kind: 'pipe', outerMm, wallMm: outerMm * s })),
    fc.tuple(size, size, share).map(
      ([heightMm, widthMm, s]): SectionShape => ({
        kind: 'box',
        heightMm,
        widthMm,
        wallMm: Math.min(heightMm, widthMm) * s,
      }),
    ),
    size.map((thicknessMm): SectionShape => ({ kind: 'plate', thicknessMm })),
    size.map((diameterMm): SectionShape => ({ kind: 'bar', diameterMm })),
    size.map((diameterMm): SectionShape => ({ kind: 'wire', diameterMm })),
  );
  const loss = fc.double({ min: 0, max: 20, noNaN: true });
  const side = fc.constantFrom<'inside' | 'outside'>('inside', 'outside');

  it('never leaves more for more loss, and stays between 0 and 1', () => {
    fc.assert(
      fc.property(shapes, loss, loss, side, (shape, a, b, on) => {
        const less = sectionLeft(shape, { mm: Math.min(a, b), side: on });
        const more = sectionLeft(shape, { mm: Math.max(a, b), side: on });
        expect(more).toBeLessThanOrEqual(less + 1e-12);
        expect(more).toBeGreaterThanOrEqual(0);
        expect(less).toBeLessThanOrEqual(1 + 1e-12);
        expect(sectionLeft(shape, { mm: 0, side: on })).toBe(1);
      }),
      { numRuns: 500 },
    );
  });

  it('leaves less for a loss outside a tube or box than inside', () => {
    fc.assert(
      fc.property(shapes, fc.double({ min: 0.01, max: 0.95, noNaN: true }), (shape, part) => {
        if (shape.kind !== 'tube' && shape.kind !== 'box') return;
        const mm = shape.wallMm * part;
        const outside = sectionLeft(shape, { mm, side: 'outside' });
        expect(outside).toBeLessThan(sectionLeft(shape, { mm, side: 'inside' }) + 1e-12);
      }),
      { numRuns: 500 },
    );
  });

  it('leaves nothing once the wall is gone', () => {
    for (const on of ['inside', 'outside'] as const) {
      expect(sectionLeft(TUBE, { mm: 3, side: on })).toBe(0);
      expect(sectionLeft(BOX, { mm: 5, side: on })).toBe(0);
      expect(sectionLeft({ kind: 'plate', thicknessMm: 2 }, { mm: 2, side: on })).toBe(0);
      expect(sectionLeft({ kind: 'bar', diameterMm: 10 }, { mm: 5, side: on })).toBe(0);
    }
  });

  it('refuses negatives and walls that do not fit', () => {
    expect(() => sectionLeft(TUBE, { mm: -1, side: 'inside' })).toThrow(RangeError);
    expect(() => sectionLeft({ kind: 'tube', outerMm: 40, wallMm: 21 }, { mm: 1, side: 'inside' })).toThrow(RangeError);
    expect(() => sectionLeft({ kind: 'box', heightMm: 60, widthMm: 4, wallMm: 3 }, { mm: 1, side: 'inside' })).toThrow(
      RangeError,
    );
    expect(() => sectionLeft({ kind: 'bar', diameterMm: 0 }, { mm: 1, side: 'inside' })).toThrow(RangeError);
    expect(() => sectionLeft({ kind: 'plate', thicknessMm: -2 }, { mm: 1, side: 'inside' })).toThrow(RangeError);
  });
});

describe('plateLeft(), barLeft(), springRatios()', () => {
  it('gives a plate 4 to 3 mm 56.3 % in bending, 42.2 % in stiffness, 75 % in tension (computed)', () => {
    const left = plateLeft(4, 3);
    expect(left.bending).toBeCloseTo(0.5625, 6);
    expect(left.stiffness).toBeCloseTo(0.4219, 4);
    expect(left.tension).toBe(0.75);
  });
  it('gives a bar 24 to 23 mm 88.0 % in strength, 84.3 % in stiffness (computed)', () => {
    expect(barLeft(24, 23).strength).toBeCloseTo(0.8801, 4);
    expect(barLeft(24, 23).stiffness).toBeCloseTo(0.8435, 4);
  });
  it('raises the stress of a coil 12 to 11.5 mm by 13.6 % and drops its rate by 15.7 % (d^-3, d^4, computed)', () => {
    const ratios = springRatios(12, 11.5);
    expect(Math.abs(ratios.stress - 1.1362)).toBeLessThan(5e-4);
    expect(Math.abs(ratios.rate - 0.8435)).toBeLessThan(5e-4);
  });
  it('refuses more left than there was, and a wire of nothing', () => {
    expect(() => plateLeft(3, 4)).toThrow(RangeError);
    expect(() => barLeft(3, 4)).toThrow(RangeError);
    expect(() => springRatios(12, 0)).toThrow(RangeError);
  });
});
