import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Joint, Locking, Near, ThreadHole } from '../../shared/index.ts';
import { rubric } from '../engine/real.ts';
import { bolts, type Decided, sheets } from './sheet-fixture.ts';

const GONE: Decided = { action: 'replace', supply: 'new' };
const KEPT: Decided = { action: 'refinish', route: 'clean-and-oil' };
const HOT = ['local', 'flame'];

function ladder(joint: Partial<Joint>, decided: Decided = GONE) {
  return sheets([bolts('x', joint)], { x: decided }).strip.steps[0]!.ladder;
}
const rung = (steps: ReturnType<typeof ladder>, id: string) => steps.find((r) => r.id === id);

const anyJoint = fc.record({
  thread: fc.constantFrom('M6', 'M8', 'M10', 'M12x1.5', 'M20x1.5', '3/8 UNF', '1/2 BSW', '2 BA'),
  class: fc.constantFrom('4.6', '8.8', '10.9', '12.9'),
  locking: fc.constantFrom(...Locking.options),
  hole: fc.constantFrom(...ThreadHole.options),
  near: fc.uniqueArray(fc.constantFrom(...Near.options)),
});

describe('the release ladder', () => {
  it('never puts a gentler step after a harsher one', () => {
    fc.assert(
      fc.property(anyJoint, fc.boolean(), (joint, isKept) => {
        const harshness = ladder(joint, isKept ? KEPT : GONE).map((r) => r.harshness);
        expect(harshness).toEqual([...harshness].sort((a, b) => a - b));
      }),
      { numRuns: 60 },
    );
  });

  it('never allows a flame beside rubber, fluid, a spring, light alloy, plastic or fuel', () => {
    const guarded = ['rubber', 'fluid', 'spring', 'light-alloy', 'plastic', 'fuel'] as const;
    fc.assert(
      fc.property(anyJoint, fc.constantFrom(...guarded), (joint, near) => {
        for (const step of ladder({ ...joint, near: [...new Set([...joint.near, near])] }))
          if (step.id === 'flame') expect(step.barred.length, near).toBeGreaterThan(0);
      }),
      { numRuns: 60 },
    );
  });

  it('bars every rung by what its rule names, for each kind of neighbour', () => {
    for (const rule of rubric.release.rungs)
      for (const near of rule.barredBy.flatMap((bar) => bar.near)) {
        const joint = {
          thread: rule.toMm === undefined ? 'M12' : 'M8',
          class: '8.8',
          near: [near],
          locking: rule.onlyLocking?.[0] ?? ('none' as const),
          hole: rule.onlyHole?.[0] ?? ('nut' as const),
        };
        const found = rung(ladder(joint), rule.id);
        expect(found?.barred.length, `${rule.id} near ${near}`).toBeGreaterThan(0);
        expect(found?.reached, `${rule.id} near ${near}`).toBe(0);
      }
  });

  it('allows a flame on a bolt that is condemned, with nothing near it', () => {
    expect(rung(ladder({ class: '10.9', near: [] }), 'flame')?.barred).toEqual([]);
  });

  it('bars a flame on a hardened bolt that is to be kept, and on one whose class nobody knows', () => {
    // ISO 898-1: 8.8 and up are quenched and tempered, lost above 425 degC; a glow begins at about 540 degC.
    for (const classId of ['8.8', '10.9', '12.9'])
      expect(rung(ladder({ class: classId, near: [] }, KEPT), 'flame')?.barred[0]?.text).toContain(
        'quenched and tempered',
      );
    expect(rung(ladder({ near: [] }, KEPT), 'flame')?.barred).toHaveLength(1);
    expect(rung(ladder({ class: '4.6', near: [] }, KEPT), 'flame')?.barred).toEqual([]);
  });

  it('allows no heat where nobody has said what lies beside the joint', () => {
    const { joints: _, ...plain } = bolts('x', {});
    const { strip } = sheets([{ ...plain, properties: { thread: 'M10', class: '4.6' } }], { x: GONE });
    for (const step of strip.steps[0]!.ladder)
      if (HOT.includes(step.heat)) expect(step.barred.length).toBeGreaterThan(0);
  });

  it('counts what sits in a part as beside its joints', () => {
    const arm = {
      id: 'arm',
      name: 'Arm',
      kind: 'pressed-steel-arm',
      area: 'front',
      stage: 'fitted' as const,
      joints: [
        {
          id: 'pivot',
          name: 'Pivot',
          thread: 'M12',
          class: '8.8',
          hand: 'right' as const,
          locking: 'none' as const,
          near: [],
        },
      ],
    };
    const bush = {
      id: 'bush',
      name: 'Bush',
      kind: 'bonded-rubber-bush',
      stage: 'fitted' as const,
      sitsIn: 'arm',
      joints: [],
    };
    const flame = (parts: Parameters<typeof sheets>[0]) =>
      sheets(parts, { arm: { action: 'replace', supply: 'new' } }).strip.steps.find((s) => s.id === 'arm.pivot')!
        .ladder;
    expect(rung(flame([arm, bush]), 'induction')?.barred[0]?.text).toContain('Bush');
    expect(rung(flame([arm]), 'induction')?.barred).toEqual([]);
  });

  it('bars a flame while something that burns is still fitted in the corner, and allows it once that is off', () => {
    const pipe = { id: 'pipe', name: 'Pipe', kind: 'brake-pipe', area: 'front', stage: 'fitted' as const };
    const bolt = bolts('x', { class: '4.6', near: [] });
    const flame = (decided: Parameters<typeof sheets>[1]) =>
      rung(sheets([pipe, bolt], decided).strip.steps.find((s) => s.id === 'x.own')!.ladder, 'flame');
    expect(flame({ x: GONE })?.barred[0]?.text).toContain('Pipe');
    expect(flame({ x: GONE, pipe: { action: 'replace', supply: 'made' } })?.barred).toEqual([]);
  });

  it('bars cutting a pipe that is to be kept, and allows it on scrap', () => {
    const pipe = { id: 'pipe', name: 'Pipe', kind: 'brake-pipe', area: 'front', stage: 'fitted' as const };
    const cut = (decided: Decided) =>
      rung(sheets([pipe], { pipe: decided }).strip.steps.find((s) => s.id === 'pipe.union-hose')!.ladder, 'cut-pipe');
    expect(cut({ action: 'refinish', route: 'pipe-clean-wax' })?.barred).toHaveLength(1);
    expect(cut({ action: 'replace', supply: 'made' })?.barred).toEqual([]);
  });

  it('reaches no rung more often than one before it, the barred ones apart', () => {
    fc.assert(
      fc.property(anyJoint, (joint) => {
        const reached = ladder(joint)
          .filter((r) => r.barred.length === 0 && r.id !== 'soak')
          .map((r) => r.reached);
        expect(reached).toEqual([...reached].sort((a, b) => b - a));
      }),
      { numRuns: 40 },
    );
  });
});

describe('the chance that a joint has seized', () => {
  const seized = (joint: Partial<Joint>, rest = {}) =>
    sheets([bolts('x', joint)], { x: GONE }, { rest }).strip.steps[0]!.seized.chance.usual;

  it('rises with what the trade counts against a joint: age, salt air, steel in light alloy, a caged nut, length', () => {
    const base = seized({ hole: 'nut' });
    expect(seized({ hole: 'nut' }, { ageYears: 30 })).toBeGreaterThan(base);
    expect(seized({ hole: 'nut' }, { atmosphere: 'C5' })).toBeGreaterThan(base);
    expect(seized({ hole: 'captive' })).toBeGreaterThan(base);
    expect(seized({ hole: 'nut', into: 'light-alloy' })).toBeGreaterThan(base);
    expect(seized({ hole: 'nut', lengthMm: 90 })).toBeGreaterThan(base);
    expect(seized({ hole: 'nut', thread: 'M6' })).toBeGreaterThan(base);
  });

  it('never falls with a worse grade on the thread', () => {
    let before = 0;
    for (let grade = 0; grade <= 5; grade++) {
      const seen = { check: 'thread-state', value: grade, stage: 'off' as const, date: '2026-11-20' };
      const { strip } = sheets([bolts('x', {}, { observations: [seen] })], { x: GONE });
      const { usual, low, high } = strip.steps[0]!.seized.chance;
      expect(usual).toBeGreaterThanOrEqual(before);
      expect(low <= usual && usual <= high).toBe(true);
      before = usual;
    }
  });

  it('names the cause that weighs most first', () => {
    const seen = { check: 'thread-state', value: 5, stage: 'off' as const, date: '2026-11-20' };
    const { strip } = sheets([bolts('x', {}, { observations: [seen] })], { x: GONE });
    expect(strip.steps[0]!.seized.reasons[0]?.text).toContain('rust grade 5');
  });
});
