import { describe, expect, it } from 'vitest';
import { blistersFromD714, defectSizeGrade, flakingGrade } from '../../src/standards/index.ts';

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
  it('steps up a hair above each area and size', () => {
    [0, 0.1, 0.3, 1, 3].forEach((limit, n) => {
      expect(flakingGrade(limit)).toBe(n);
      expect(flakingGrade(limit + 0.001)).toBe(n + 1);
    });
    [0.2, 0.5, 5].forEach((limit, n) => {
      expect(defectSizeGrade(limit)).toBe(n + 2);
      expect(defectSizeGrade(limit + 0.001)).toBe(n + 3);
    });
  });
  it('turns D714 round: 4 MD is 4(S4), 2 D is 5(S5), 10 is none (map from memory)', () => {
    expect(blistersFromD714(4, 'MD')).toBe('4(S4)');
    expect(blistersFromD714(2, 'D')).toBe('5(S5)');
    expect(blistersFromD714(8, 'F')).toBe('2(S2)');
    expect(blistersFromD714(10, 'F')).toBe('0(S0)');
    expect(blistersFromD714(5, 'F')).toBeNull();
    expect(blistersFromD714(4, 'X')).toBeNull();
  });
});
