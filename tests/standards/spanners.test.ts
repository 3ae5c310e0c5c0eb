import { describe, expect, it } from 'vitest';
import { type HeadSystem, readSpannerStamp, spannerFit, spannerFor } from '../../src/standards/index.ts';
import { knownThread } from './known-thread.ts';

function spanner(designation: string, system?: HeadSystem): ReturnType<typeof spannerFor> {
  return spannerFor(knownThread(designation), system);
}

describe('spannerFor()', () => {
  // ISO 272 and old DIN 933, verified.
  it.each<[string, HeadSystem | undefined, number]>([
    ['M8', undefined, 13],
    ['M10', undefined, 16],
    ['M10', 'din-old', 17],
    ['M12', 'iso', 18],
    ['M12', 'din-old', 19],
    ['M14', undefined, 21],
    ['M14', 'din-old', 22],
    ['M16', 'din-old', 24],
    ['M22', 'din-old', 32],
    ['M5', undefined, 8],
    ['M6', undefined, 10],
    ['M12', undefined, 18],
    ['M16', undefined, 24],
    ['M18', undefined, 27],
    ['M20', undefined, 30],
    ['M22', undefined, 34],
    ['M24', undefined, 36],
  ])('%s %s takes %i mm', (name, system, width) => expect(spanner(name, system)?.widthMm).toBe(width));

  it('knows the small metric series (from memory)', () => {
    expect(spanner('M12', 'small')?.widthMm).toBe(17);
    expect(spanner('M16', 'small')).toBeNull();
  });

  // BS 1768 heads, BS 1083 heads, verified.
  it.each([
    ['5/16 UNF', '1/2 AF', 12.7],
    ['3/8 UNC', '9/16 AF', 14.29],
    ['3/4 UNC', '1-1/8 AF', 28.58],
    ['3/8 BSF', '5/16 W', 15.24],
    ['7/16 BSW', '3/8 W', 18.03],
    ['1/4 BSW', '3/16 W', 11.3],
    ['1/4 UNF', '7/16 AF', 11.11],
    ['7/16 UNF', '5/8 AF', 15.88],
    ['1/2 UNC', '3/4 AF', 19.05],
    ['9/16 UNF', '13/16 AF', 20.64],
    ['5/8 UNC', '15/16 AF', 23.81],
    ['5/16 BSF', '1/4 W', 13.34],
    ['1/2 BSF', '7/16 W', 20.83],
    ['9/16 BSF', '1/2 W', 23.37],
    ['5/8 BSW', '9/16 W', 25.65],
    ['3/4 BSW', '11/16 W', 30.48],
    ['7/8 BSW', '3/4 W', 33.02],
  ])('%s takes a spanner stamped %s, %f mm', (name, stamp, width) => {
    expect(spanner(name)?.stamp).toBe(stamp);
    expect(Math.abs((spanner(name)?.widthMm ?? 0) - width)).toBeLessThan(0.01);
  });

  it('takes the next larger hexagon on heads from before BS 1083 (verified)', () => {
    expect(spanner('1/4 BSW', 'whitworth-large')?.stamp).toBe('1/4 W');
    expect(spanner('1/4 BSW', 'whitworth-large')?.widthMm).toBeCloseTo(13.33, 1);
  });

  // BS 93, 1.75 D, verified.
  it.each([
    ['0 BA', 10.5],
    ['1 BA', 9.28],
    ['2 BA', 8.22],
    ['3 BA', 7.17],
    ['4 BA', 6.3],
    ['5 BA', 5.6],
    ['6 BA', 4.9],
  ])('%s takes %f mm', (name, width) => expect(spanner(name)?.widthMm).toBe(width));
});

describe('readSpannerStamp()', () => {
  it('reads 3/8 W as 0.710 in, 18.03 mm, for a 7/16 BS 1083 head (verified)', () => {
    const found = readSpannerStamp('3/8 W');
    expect(found?.widthMm).toBeCloseTo(18.03, 2);
    expect((found?.widthMm ?? 0) / 25.4).toBeCloseTo(0.71, 3);
    expect(found?.boltBs1083).toBe('7/16');
    expect(found?.boltWhitworthLarge).toBe('3/8');
  });
  it('reads BS as the bolt of BS 1083, AF and mm as a width', () => {
    expect(readSpannerStamp('7/16 BS')?.widthMm).toBeCloseTo(18.03, 2);
    expect(readSpannerStamp('1-1/8 AF')?.widthMm).toBeCloseTo(28.575, 6);
    expect(readSpannerStamp('13 mm')?.widthMm).toBe(13);
    expect(readSpannerStamp('2 BA')?.widthMm).toBe(8.22);
  });
  it('gives null for what is no stamp', () => {
    for (const bad of ['', '3/8', 'W', '5/7 W', '1/0 AF', '0 mm']) expect(readSpannerStamp(bad)).toBeNull();
  });
});

describe('spannerFit()', () => {
  it('finds 13 mm loose by 0.3 mm on a 5/16 UNF head (13 - 12.70, computed)', () => {
    const head = spanner('5/16 UNF')?.widthMm ?? 0;
    expect(spannerFit(13, head)).toMatchObject({ verdict: 'loose', gapMm: 0.3 });
    expect(spannerFit(12.7, head).verdict).toBe('fits');
  });

  // Gaps computed from BS 1768 and BS 1083 widths; the bound of 0.2 mm is common practice.
  it.each([
    [16, '7/16 UNC', 'fits'],
    [24, '5/8 UNC', 'fits'],
    [19, '1/2 UNC', 'fits'],
    [11, '1/4 UNC', 'fits'],
    [18, '7/16 BSF', 'fits'],
    [21, '1/2 BSF', 'fits'],
    [14, '5/16 BSF', 'loose'],
    [13, '5/16 BSF', 'tight'],
    [15, '3/8 BSF', 'tight'],
    [14, '3/8 UNF', 'tight'],
  ])('%i mm on %s: %s', (width, name, verdict) => {
    expect(spannerFit(width, spanner(name)?.widthMm ?? 0).verdict).toBe(verdict);
  });

  it('draws the line at 0.2 mm either way (common practice)', () => {
    expect(spannerFit(13.2, 13).verdict).toBe('fits');
    expect(spannerFit(13.201, 13).verdict).toBe('loose');
    expect(spannerFit(12.8, 13).verdict).toBe('fits');
    expect(spannerFit(12.799, 13).verdict).toBe('tight');
    expect(spannerFit(13.51, 13).words).not.toBe(spannerFit(13.49, 13).words);
  });

  it('refuses a width of nothing', () => expect(() => spannerFit(0, 13)).toThrow(RangeError));
});
