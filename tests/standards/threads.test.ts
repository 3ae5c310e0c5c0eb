import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  minorDiameterMm,
  nearestThreads,
  nominalStressAreaMm2,
  parseThread,
  pitchDiameterMm,
  stressAreaLeft,
  stressAreaMm2,
  THREADS,
} from '../../src/standards/index.ts';
import { knownThread } from './known-thread.ts';

const MM = 25.4;
const MM2 = 25.4 * 25.4;

describe('parseThread()', () => {
  it('reads the ways a thread is written', () => {
    expect(knownThread('M10')).toEqual({ designation: 'M10', series: 'M', diameterMm: 10, pitchMm: 1.5, flankDeg: 60 });
    expect(knownThread('M10x1.5')).toEqual(knownThread('M10'));
    expect(knownThread(' m10 × 1,25 ').designation).toBe('M10x1.25');
    expect(knownThread('3/8 UNF')).toEqual(knownThread('3/8-24 UNF'));
    expect(knownThread('3/8-24UNF')).toEqual(knownThread('3/8-24 UNF'));
    expect(knownThread('1/2 BSW').designation).toBe('1/2-12 BSW');
    expect(knownThread('2 BA').designation).toBe('2 BA');
    expect(knownThread('2BA').diameterMm).toBe(4.7);
  });

  it('gives diameter and pitch in mm for inch sizes', () => {
    expect(knownThread('3/8-24 UNF').diameterMm).toBe(9.525);
    expect(knownThread('3/8-24 UNF').pitchMm).toBeCloseTo(25.4 / 24, 12);
    expect(knownThread('1/2 BSW').flankDeg).toBe(55);
  });

  it('gives null for what is no known thread', () => {
    for (const bad of [
      '',
      'M',
      'M10x0.9',
      'M11',
      '3/8-25 UNF',
      '3/8',
      '3/8-16',
      '0/8 UNC',
      '9 BA',
      'UNC',
      'G1/4',
      'M10x',
    ]) {
      expect(parseThread(bad)).toBeNull();
    }
  });

  it('knows the metric sizes and pitches in use (ISO 261, M5 to M20 verified, the rest from memory)', () => {
    const sizes =
      'M3 M4 M5 M5x0.5 M6 M6x0.75 M7 M8 M8x1 M10 M10x1.25 M10x1 M12 M12x1.5 M12x1.25 M12x1 M14 M14x1.5 M14x1.25';
    const large =
      'M16 M16x1.5 M18 M18x2 M18x1.5 M20 M20x2 M20x1.5 M22 M22x2 M22x1.5 M24 M24x2 M24x1.5 M27 M27x2 M27x1.5';
    const wanted = `${sizes} ${large} M30 M30x2 M30x1.5`.split(' ');
    expect(THREADS.filter((each) => each.series === 'M').map((each) => each.designation)).toEqual(wanted);
  });

  it('knows the threads per inch (ASME B1.1, BS 84; 1/4 to 3/4 verified, the rest from memory)', () => {
    const perInch = (series: string): string[] =>
      THREADS.filter((each) => each.series === series).map((each) => each.designation.split(' ')[0] ?? '');
    const list = (text: string): string[] => text.split(' ');
    expect(perInch('UNC')).toEqual(list('10-24 1/4-20 5/16-18 3/8-16 7/16-14 1/2-13 9/16-12 5/8-11 3/4-10 7/8-9 1-8'));
    expect(perInch('UNF')).toEqual(
      list('10-32 1/4-28 5/16-24 3/8-24 7/16-20 1/2-20 9/16-18 5/8-18 3/4-16 7/8-14 1-12'),
    );
    expect(perInch('BSW')).toEqual(list('1/4-20 5/16-18 3/8-16 7/16-14 1/2-12 9/16-12 5/8-11 3/4-10 7/8-9 1-8'));
    expect(perInch('BSF')).toEqual(list('1/4-26 5/16-22 3/8-20 7/16-18 1/2-16 9/16-16 5/8-14 3/4-12 7/8-11 1-10'));
  });

  it('reads back every designation it writes', () => {
    for (const each of THREADS) expect(parseThread(each.designation)).toEqual(each);
  });

  it('never throws, whatever is written', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const found = parseThread(text);
        expect(found === null || THREADS.some((each) => each.designation === found.designation)).toBe(true);
      }),
    );
  });
});

describe('metric profile', () => {
  // ISO 724: d2 = d - 0.649519 P, d3 = d - 1.226869 P. ISO 898-1 Tables 4 to 7: areas; coarse and fine to M16 verified.
  // M18x1.5 and M20x1.5: 216 and 272, where one public chart wrongly prints 232 and 290.
  it.each([
    ['M5', 4.48, 4.019, 14.18, 14.2],
    ['M6', 5.35, 4.773, 20.12, 20.1],
    ['M7', 6.35, 5.773, 28.86, 28.9],
    ['M8', 7.188, 6.466, 36.61, 36.6],
    ['M8x1', 7.35, 6.773, 39.17, 39.2],
    ['M10', 9.026, 8.16, 57.99, 58],
    ['M10x1.25', 9.188, 8.466, 61.2, 61.2],
    ['M10x1', 9.35, 8.773, 64.49, 64.5],
    ['M12', 10.863, 9.853, 84.27, 84.3],
    ['M12x1.5', 11.026, 10.16, 88.13, 88.1],
    ['M12x1.25', 11.188, 10.466, 92.07, 92.1],
    ['M14', 12.701, 11.546, 115.44, 115],
    ['M14x1.5', 13.026, 12.16, 124.55, 125],
    ['M16', 14.701, 13.546, 156.67, 157],
    ['M16x1.5', 15.026, 14.16, 167.25, 167],
    ['M18', 16.376, 14.933, 192.47, 192],
    ['M18x1.5', 17.026, 16.16, 216.23, 216],
    ['M20', 18.376, 16.933, 244.79, 245],
    ['M20x1.5', 19.026, 18.16, 271.5, 272],
    // Printed areas from memory: 303, 353, 384, 459, 561.
    ['M22', 20.376, 18.933, 303.4, 303],
    ['M24', 22.051, 20.319, 352.5, 353],
    ['M24x2', 22.701, 21.546, 384.42, 384],
    ['M27', 25.051, 23.319, 459.41, 459],
    ['M30', 27.727, 25.706, 560.59, 561],
  ])('%s', (name, d2, d3, area, printed) => {
    expect(Math.abs(pitchDiameterMm(knownThread(name)) - d2)).toBeLessThan(0.001);
    expect(Math.abs(minorDiameterMm(knownThread(name)) - d3)).toBeLessThan(0.001);
    expect(Math.abs(stressAreaMm2(knownThread(name)) - area)).toBeLessThan(0.012);
    expect(nominalStressAreaMm2(knownThread(name))).toBeCloseTo(printed, 9);
  });
});

describe('inch profile', () => {
  // ASME B1.1, pitch diameter in inches and stress area in in2 by formula, verified.
  it.each([
    ['1/4-20 UNC', 0.2175, 0.0318],
    ['5/16-18 UNC', 0.2764, 0.0524],
    ['3/8-16 UNC', 0.3344, 0.0775],
    ['1/2-13 UNC', 0.45, 0.1419],
    ['3/4-10 UNC', 0.685, 0.3345],
    ['1/4-28 UNF', 0.2268, 0.0364],
    ['3/8-24 UNF', 0.3479, 0.0878],
    ['1/2-20 UNF', 0.4675, 0.16],
    ['3/4-16 UNF', 0.7094, 0.373],
  ])('%s', (name, d2, area) => {
    expect(Math.abs(pitchDiameterMm(knownThread(name)) / MM - d2)).toBeLessThanOrEqual(5.1e-5);
    expect(Math.abs(stressAreaMm2(knownThread(name)) / MM2 - area)).toBeLessThanOrEqual(5.1e-5);
  });

  it('takes the printed area for 3/4-16 UNF: 0.373 in2 is 240.6 mm2 (ASME B1.1, computed)', () => {
    expect(Math.abs(nominalStressAreaMm2(knownThread('3/4-16 UNF')) - 240.6)).toBeLessThan(0.1);
  });

  it('takes 0.334, not the formula, for 3/4-10 UNC (ASME B1.1, verified)', () => {
    expect(nominalStressAreaMm2(knownThread('3/4-10 UNC')) / MM2).toBeCloseTo(0.334, 9);
  });

  // BS 84: depth 0.640327 p; BSW verified, BSF computed; inches. 1/2 BSF printed minor 0.4200.
  it.each([
    ['1/2 BSW', 0.4466, 0.3933],
    ['3/8 BSW', 0.335, 0.295],
    ['1/2 BSF', 0.46, 0.42],
    ['3/8 BSF', 0.343, 0.311],
  ])('%s', (name, d2, minor) => {
    expect(Math.abs(pitchDiameterMm(knownThread(name)) / MM - d2)).toBeLessThan(1e-4);
    expect(Math.abs(minorDiameterMm(knownThread(name)) / MM - minor)).toBeLessThan(1e-4);
  });

  it('gives 3/8 BSF 0.0840 in2, above its core of 0.0760 (pi/4 (D - 0.960491 p)^2, computed)', () => {
    const area = stressAreaMm2(knownThread('3/8 BSF')) / MM2;
    expect(Math.abs(area - 0.084)).toBeLessThan(5e-5);
    expect(area).toBeGreaterThan(0.076);
  });

  it('gives 2 BA 4.7 mm and 0.81 mm (BS 93: p = 0.9^k, D = 6 p^1.2, verified)', () => {
    expect(knownThread('2 BA').diameterMm).toBeCloseTo(4.7, 2);
    expect(knownThread('2 BA').pitchMm).toBeCloseTo(0.81, 2);
    for (let k = 0; k <= 6; k += 1) {
      expect(Math.abs(knownThread(`${k} BA`).pitchMm - 0.9 ** k)).toBeLessThan(0.005);
      expect(Math.abs(knownThread(`${k} BA`).diameterMm - 6 * 0.9 ** (1.2 * k))).toBeLessThan(0.05);
    }
  });

  it('keeps the order outside, pitch, minor for every thread, and the printed area near the formula', () => {
    for (const each of THREADS) {
      expect(each.diameterMm).toBeGreaterThan(pitchDiameterMm(each));
      expect(pitchDiameterMm(each)).toBeGreaterThan(minorDiameterMm(each));
      expect(Math.abs(nominalStressAreaMm2(each) / stressAreaMm2(each) - 1)).toBeLessThan(0.006);
    }
  });
});

describe('nearestThreads()', () => {
  it('names 5/16-24 UNF and not M8x1 for 7.93 mm with pitch 1.06 (25.4/24 = 1.058, computed)', () => {
    const guess = nearestThreads(7.93, 1.06);
    expect(guess.named?.designation).toBe('5/16-24 UNF');
    expect(guess.candidates.map((each) => each.designation)).not.toContain('M8x1');
  });

  it('refuses to name a thread on the diameter alone', () => {
    for (const each of THREADS) expect(nearestThreads(each.diameterMm, null).named).toBeNull();
    const sizes = nearestThreads(7.93, null).candidates.map((each) => each.designation);
    expect(sizes).toEqual(expect.arrayContaining(['M8', 'M8x1', '5/16-18 UNC', '5/16-24 UNF', '5/16-22 BSF']));
  });

  it('leaves the choice open between 55 and 60 degrees of one pitch', () => {
    const guess = nearestThreads(9.5, 25.4 / 16);
    expect(guess.named).toBeNull();
    expect(guess.candidates.map((each) => each.designation).sort()).toEqual(['3/8-16 BSW', '3/8-16 UNC']);
  });

  it('has every thread among the candidates of its own size, new or rusted by 0.2 mm', () => {
    for (const each of THREADS) {
      for (const worn of [0, 0.2]) {
        const names = nearestThreads(each.diameterMm - worn, each.pitchMm).candidates.map((c) => c.designation);
        expect(names).toContain(each.designation);
      }
    }
  });

  it('finds nothing for a size between all threads', () => {
    expect(nearestThreads(50, 2)).toMatchObject({ named: null, candidates: [] });
  });

  it('refuses a diameter or pitch of nothing', () => {
    expect(() => nearestThreads(0, 1)).toThrow(RangeError);
    expect(() => nearestThreads(8, 0)).toThrow(RangeError);
  });
});

describe('stressAreaLeft()', () => {
  it('is the square of the thinner stress circle: M10 less 0.43 mm a side keeps 81 % (computed: (8.593-0.859)/8.593 = 0.9)', () => {
    expect(stressAreaLeft(knownThread('M10'), 0.42965)).toBeCloseTo(0.81, 4);
  });
  it('ends at 0 and never grows with the loss', () => {
    expect(stressAreaLeft(knownThread('M6'), 0)).toBe(1);
    expect(stressAreaLeft(knownThread('M6'), 3)).toBe(0);
    const loss = fc.double({ min: 0, max: 6, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...THREADS), loss, loss, (each, a, b) => {
        expect(stressAreaLeft(each, Math.max(a, b))).toBeLessThanOrEqual(stressAreaLeft(each, Math.min(a, b)));
      }),
    );
    expect(() => stressAreaLeft(knownThread('M6'), -0.1)).toThrow(RangeError);
  });
});
