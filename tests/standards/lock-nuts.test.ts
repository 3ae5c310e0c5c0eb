import { describe, expect, it } from 'vitest';
import {
  lockNutVerdict,
  NM_PER_INLB,
  prevailingTorqueIso2320,
  prevailingTorqueReusedNm,
} from '../../src/standards/index.ts';
import { knownThread } from './known-thread.ts';

describe('lock nuts', () => {
  it('discards a 1/2-20 nut at 9 in-lb: least 10 in-lb, 1.13 Nm (AC 43.13-1B Table 7-2, verified)', () => {
    const found = lockNutVerdict(knownThread('1/2-20 UNF'), 9 * NM_PER_INLB);
    expect(found.verdict).toBe('discard');
    expect(found.leastNm).toBeCloseTo(1.13, 2);
    expect(lockNutVerdict(knownThread('1/2-20 UNF'), 10 * NM_PER_INLB).verdict).toBe('use again');
  });
  // FAA AC 43.13-1B Table 7-2, in-lb, verified.
  it.each([
    ['7/16 UNF', 8],
    ['7/16 UNC', 8],
    ['1/2 UNF', 10],
    ['1/2 UNC', 10],
    ['3/4 UNF', 27],
    ['9/16 UNF', 13],
    ['9/16 UNC', 14],
    ['5/8 UNF', 18],
    ['5/8 UNC', 20],
    ['3/4 UNC', 27],
  ])('%s keeps at least %i in-lb', (name, inlb) => {
    expect((prevailingTorqueReusedNm(knownThread(name)) ?? 0) / NM_PER_INLB).toBeCloseTo(inlb, 9);
  });
  it('falls back on the finger rule under 7/16 (AC 43.13-1B, verified)', () => {
    expect(lockNutVerdict(knownThread('3/8 UNF'), 1).verdict).toBe('turn by fingers');
  });
  // ISO 2320 class 04 and 05, Nm, verified from reprints.
  it.each([
    ['M5', '04', 1.6, 0.29, 0.2],
    ['M6', '04', 3, 0.45, 0.3],
    ['M7', '04', 4.5, 0.65, 0.45],
    ['M8', '04', 6, 0.85, 0.6],
    ['M10', '04', 10.5, 1.5, 1],
    ['M10x1.25', '04', 10.5, 1.5, 1],
    ['M12', '04', 15.5, 2.3, 1.6],
    ['M14', '04', 24, 3.3, 2.3],
    ['M16', '04', 32, 4.5, 3],
    ['M18', '04', 42, 6, 4.2],
    ['M20', '04', 54, 7.5, 5.3],
    ['M24', '04', 80, 11.5, 8],
    ['M3', '05', 0.6, 0.15, 0.1],
    ['M4', '05', 1.2, 0.22, 0.15],
    ['M5', '05', 2.1, 0.35, 0.24],
    ['M6', '05', 4, 0.55, 0.4],
  ] as const)('%s class %s', (name, nutClass, firstOnMaxNm, firstOffMinNm, fifthOffMinNm) => {
    expect(prevailingTorqueIso2320(knownThread(name), nutClass)).toEqual({
      firstOnMaxNm,
      firstOffMinNm,
      fifthOffMinNm,
    });
  });
  it('holds a used metric nut to its fifth removal (own judgement): M10 at 1.0 Nm', () => {
    expect(lockNutVerdict(knownThread('M10'), 1).verdict).toBe('use again');
    expect(lockNutVerdict(knownThread('M10'), 0.99)).toMatchObject({ verdict: 'discard', leastNm: 1 });
  });
  it('has no row for M22, for M8 in class 05, or for an inch nut', () => {
    expect(prevailingTorqueIso2320(knownThread('M22'))).toBeNull();
    expect(prevailingTorqueIso2320(knownThread('M8'), '05')).toBeNull();
    expect(prevailingTorqueIso2320(knownThread('3/8 UNF'))).toBeNull();
  });
});
