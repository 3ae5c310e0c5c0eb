import { describe, expect, test } from 'vitest';
import { logNormalQuantile } from '../../src/standards/three-point.ts';
import { duration, money, readFigure, setAside } from '../../src/web/format.ts';

describe('readFigure()', () => {
  // Both decimal marks of ISO 80000-1, 7.3.2; groups of three as typed in either habit.
  test.each([
    ['2,5', 2.5],
    ['2.5', 2.5],
    [' 2 ', 2],
    ['1,234.5', 1234.5],
    ['1.234,5', 1234.5],
    ['1 234,5', 1234.5],
    ['£118', 118],
    ['-3', -3],
    ['.5', 0.5],
  ])('%j reads as %d', (typed, value) => {
    expect(readFigure(typed)).toBe(value);
  });

  test.each(['', '1I8', 'two', '1,2,3', '--4', '1e3', 'NaN'])('%j is not a figure', (typed) => {
    expect(readFigure(typed)).toBeNull();
  });
});

describe('setAside()', () => {
  test('is the 80 % point of the three-point figure, as the standards work it out', () => {
    expect(setAside({ usual: 74, high: 130 })).toBeCloseTo(logNormalQuantile(48, 74, 130, 0.8), 5);
  });
  test('a sure figure is set aside as it is', () => {
    expect(setAside({ usual: 5, high: 5 })).toBe(5);
    expect(setAside({ usual: 0, high: 0 })).toBe(0);
  });
});

describe('money() and duration()', () => {
  test('whole pounds, pence only below one', () => {
    expect([money(112.4, 'GBP'), money(0.2, 'GBP'), money(1610, 'EUR')]).toEqual(['£112', '£0.20', '€1,610']);
  });
  test('minutes to ninety, then hours and fives', () => {
    expect([0.4, 7, 89, 92, 120, 178].map(duration)).toEqual(['1 min', '7 min', '89 min', '1 h 30 min', '2 h', '3 h']);
  });
});
