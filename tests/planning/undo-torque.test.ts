import { describe, expect, it } from 'vitest';
import { spannersOf, torqueOut, torquesOf } from '../../src/planning/undo-torque.ts';
import { rubric } from '../engine/real.ts';
import { jointOf } from './sheet-fixture.ts';

const torques = (thread: string, classId?: string, more = {}) =>
  torquesOf(jointOf({ thread, ...(classId === undefined ? {} : { class: classId }), ...more }).joint, rubric);

describe('torque that breaks', () => {
  // Shear 0.577 Rp and 0.577 Rm on the circle (d2 + d3) / 2, worked by hand: M10 8.8 yields at 46.0, breaks at 76.7 Nm;
  // M8 23.1 and 38.5; M12 80.6 and 134.3. ISO 898-7 (from memory) has 66 and 33 Nm as least values, 86 % of these.
  it.each([
    ['M6', 9.4, 15.7],
    ['M8', 23.1, 38.5],
    ['M10', 46.0, 76.7],
    ['M12', 80.6, 134.3],
  ])('of a seized %s 8.8 is the full plastic torque of its shank', (thread, yieldNm, plasticNm) => {
    const found = torques(thread, '8.8');
    expect(Math.abs(found.twistsNm! - yieldNm)).toBeLessThan(0.1);
    expect(Math.abs(found.breaksNm! - plasticNm)).toBeLessThan(0.1);
  });

  it('takes a bare number beside a metric thread as a nut class, with the bolt class that goes with it (ISO 898-2)', () => {
    expect(torques('M12', '8').breaksNm).toBeCloseTo(134.3, 0);
    expect(torques('M12', 'nut 8').classNote).toContain('8.8');
    expect(torques('M12', '10').boltClass).toBe('10.9');
  });

  it('takes an unmarked bolt as the weakest: 4.6, and SAE 1 for unified threads (SAE J429: no lines)', () => {
    expect(torques('M10').boltClass).toBe('4.6');
    expect(torques('3/8 UNF').boltClass).toBe('SAE 1');
    expect(torques('M10').classNote).toContain('weakest');
  });

  it('works from the tensile strength alone for a British letter', () => {
    // 3/8 BSF: d2 0.3430 in, minor 0.3110 in, mean 8.306 mm. S: 50 tonf/in2 = 772.2 MPa.
    // pi/12 x 8.306^3 x 772.2/sqrt 3 = 150.0 x 445.8 / 1000 = 66.9 Nm.
    expect(torques('3/8 BSF', 'S').breaksNm).toBeCloseTo(66.9, 0);
    expect(torques('3/8 BSF', 'S').twistsNm).toBeNull();
  });

  it('gives no figure for a pipe union: the pipe twists before it', () => {
    expect(torques('M10x1', undefined, { locking: 'flare', torqueNm: 14 }).breaksNm).toBeNull();
  });
});

describe('torque to undo', () => {
  it('starts from T = K D F at 75 % of proof, dry, where no figure is known: M10 8.8 about 50.6 Nm', () => {
    // 0.2 x 10 mm x 0.75 x 33.7 kN = 50.6 Nm; with 58.0 mm2 x 580 MPa it is 50.5.
    expect(Math.abs(torques('M10', '8.8').tightNm! - 50.6)).toBeLessThan(0.7);
  });

  it('prefers a stated figure', () => {
    expect(torques('M10', '8.8', { torqueNm: 44 }).tightNm).toBe(44);
  });

  it('picks the shortest bar on which 300 N are enough, and the push that must not be passed', () => {
    const { joint } = jointOf({ thread: 'M12', class: '8.8', torqueNm: 90 });
    const out = torqueOut(joint, torquesOf(joint, rubric), { low: 0, usual: 0, high: 0 }, rubric);
    // Clean: usually 0.85 x 90 = 76.5 Nm; 76.5 / 300 N = 255 mm, so the 300 mm bar, 255 N.
    expect([out.undo?.usual, out.barMm, out.pushN]).toEqual([77, 300, 257]);
    // 85 % of 134.38 Nm on 300 mm: 380.8 N.
    expect(out.pushMostN).toBe(381);
  });

  it('says so where the joint wants more than its bolt stands', () => {
    const { joint } = jointOf({ thread: 'M8', class: '8.8', torqueNm: 25 });
    const out = torqueOut(joint, torquesOf(joint, rubric), { low: 3, usual: 3, high: 3 }, rubric);
    // 25 x 1.3 = 32.5 Nm wanted; 38.5 x 0.85 = 32.7 Nm, and rust takes 0.3 mm of 6.8: (1 - 0.044)^3 leaves 28.6 Nm.
    expect(out.pushMostN!).toBeLessThan(out.pushN!);
    expect(out.words).toContain('soak, shock');
  });

  it('wants no less on a rustier thread, and leaves no more strength', () => {
    const { joint } = jointOf({ thread: 'M10', class: '8.8' });
    const at = (g: number) => torqueOut(joint, torquesOf(joint, rubric), { low: g, usual: g, high: g }, rubric);
    for (let grade = 1; grade <= 5; grade++) {
      expect(at(grade).undo!.usual).toBeGreaterThan(at(grade - 1).undo!.usual);
    }
  });
});

describe('spanners', () => {
  const of = (thread: string, more = {}) =>
    spannersOf(jointOf({ thread, ...more }).joint).map((s) => `${s.stamp} ${s.use}`);

  it('M10: 16 mm by ISO 272, 17 on old DIN heads, 14 on small ones, and 5/8 AF fits', () => {
    expect(of('M10')).toEqual(['16 mm this', '17 mm also met', '14 mm also met', '5/8 AF near fit']);
  });

  it('3/8 BSF: 5/16 W (0.600 in, BS 1083), 3/8 W on heads before it; 15 mm is tight and is not offered', () => {
    const found = spannersOf(jointOf({ thread: '3/8 BSF' }).joint);
    expect(found[0]).toMatchObject({ stamp: '5/16 W', widthMm: 15.24 });
    expect(found.map((s) => s.stamp)).toContain('3/8 W');
    expect(found.map((s) => s.stamp)).not.toContain('15 mm');
  });

  it('5/16 UNF: 1/2 AF; 13 mm is 0.30 mm loose and rounds it, so it is not offered (BS 1768)', () => {
    expect(of('5/16 UNF')[0]).toBe('1/2 AF this');
    expect(of('5/16 UNF')).not.toContain('13 mm near fit');
  });

  it('a stated head goes before the table: an M10x1 union has 11 mm', () => {
    expect(of('M10x1', { headMm: 11 })).toEqual(['11 mm this']);
  });
});
