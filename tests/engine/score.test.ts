import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ACTIONS, type Component, type ScoreOut } from '../../shared/index.ts';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, byId, demo, rubric, TODAY } from './real.ts';

const DRAWS = 400;
const run = (components: Component[], rest = {}) =>
  score(rubric, assessmentOf(components, rest), { seed: 7, draws: DRAWS });

const arm = (grades: Record<string, number>, stage: Component['stage'] = 'cleaned'): Component => ({
  id: 'arm',
  name: 'Arm',
  kind: 'pressed-steel-arm',
  stage,
  observations: Object.entries(grades).map(([check, value]) => ({ check, value, date: TODAY })),
});

const gradeChecks = (kindId: string, stage: string) =>
  rubric.kinds
    .find((kind) => kind.id === kindId)!
    .checks.filter((check) => check.answer.type === 'grade' && (stage !== 'fitted' || check.earliestStage === 'fitted'))
    .map((check) => check.id);

const rows = (out: ScoreOut) => out.components.map(({ looks: _, ...rest }) => rest);

describe('score()', () => {
  test('gives the same bytes for the same assessment, rubric and seed', () => {
    const once = JSON.stringify(score(rubric, demo(), { seed: 3 }));
    expect(JSON.stringify(score(rubric, demo(), { seed: 3 }))).toBe(once);
    expect(JSON.stringify(score(rubric, demo(), { seed: 4 }))).not.toBe(once);
  });

  test('does not depend on the order of components', () => {
    const forward = demo();
    const backward = { ...forward, components: [...forward.components].reverse() };
    expect(JSON.stringify(score(rubric, backward, { seed: 1 }).components)).toBe(
      JSON.stringify(score(rubric, forward, { seed: 1 }).components),
    );
  });

  test('leaves every other component as it was when one without answers is added', () => {
    const before = demo();
    const added: Component = { id: 'zz-new', name: 'New', kind: 'brake-pipe', stage: 'fitted' };
    const after = score(rubric, { ...before, components: [added, ...before.components] }, { seed: 1 });
    const rest = { ...after, components: after.components.filter((c) => c.id !== 'zz-new') };
    expect(rows(rest)).toEqual(rows(score(rubric, before, { seed: 1 })));
  });

  test('never lets a worse grade allow more, or make any option cheaper', () => {
    const checks = gradeChecks('pressed-steel-arm', 'cleaned');
    const rank = { no: 0, open: 1, yes: 2 };
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 4 }), { minLength: checks.length, maxLength: checks.length }),
        fc.nat(checks.length - 1),
        fc.constantFrom('serviceable' as const, 'smart' as const),
        (grades, at, wantedFinish) => {
          const answers = Object.fromEntries(checks.map((check, i) => [check, grades[i]!]));
          const worse = { ...answers, [checks[at]!]: grades[at]! + 1 };
          const a = run([arm(answers)], { wantedFinish }).components[0]!;
          const b = run([arm(worse)], { wantedFinish }).components[0]!;
          a.options.forEach((option, i) => {
            const then = b.options[i]!;
            expect(rank[then.allowed]).toBeLessThanOrEqual(rank[option.allowed]);
            if (then.allowed !== 'no') expect(then.expectedCost).toBeGreaterThanOrEqual(option.expectedCost - 0.011);
          });
        },
      ),
      { numRuns: 60 },
    );
  });

  test('never settles reuse on grades given while the part was fitted', () => {
    for (const kind of rubric.kinds.filter((k) => k.zones.some((zone) => zone.loadPath))) {
      const answers = Object.fromEntries(gradeChecks(kind.id, 'fitted').map((check) => [check, 0]));
      const out = run([{ ...arm(answers, 'fitted'), kind: kind.id }]);
      for (const { verdict } of out.components)
        expect([kind.id, verdict.action, verdict.firmness]).not.toEqual([kind.id, 'reuse', 'settled']);
    }
  });

  test('never gives reuse over an open knock-out of a part that guards life', () => {
    const out = score(rubric, demo(), { seed: 1 });
    for (const c of out.components) {
      if (c.safetyCritical && c.verdict.action === 'reuse')
        expect(c.knockOuts.filter((k) => k.state !== 'clear')).toEqual([]);
    }
    expect(out.components.some((c) => c.verdict.firmness === 'open' && c.verdict.ifClear === 'reuse')).toBe(true);
  });

  test('lets no good average outvote a fired knock-out', () => {
    for (const c of score(rubric, demo(), { seed: 1 }).components) {
      for (const fired of c.knockOuts.filter((k) => k.state === 'fired')) {
        const barred = fired.bars === 'reuse' ? ['reuse'] : ['reuse', 'refinish'];
        for (const option of c.options.filter((o) => barred.includes(o.action)))
          if (c.count === 1) expect(option.allowed).toBe('no');
      }
    }
  });

  test('keeps every verdict when all money and the own hour are scaled together', () => {
    const base = demo();
    const scaled = (factor: number) => ({
      ...base,
      rates: { ...base.rates, exchange: factor, own: 15 * factor },
      components: base.components.map((c) => ({
        ...c,
        ...(c.keepOriginal === undefined ? {} : { keepOriginal: c.keepOriginal * factor }),
        ...(c.supplies
          ? {
              supplies: c.supplies.map((s) => ({
                ...s,
                price: s.price.map((p) => p * factor) as [number, number, number],
              })),
            }
          : {}),
      })),
    });
    const actions = (factor: number) =>
      score(rubric, scaled(factor), { seed: 1 })
        .components.map((c) => [c.id, c.verdict.action])
        .sort();
    expect(actions(4)).toEqual(actions(1));
  });

  test('orders the bench replace, refinish, reuse', () => {
    const order = score(rubric, demo(), { seed: 1 }).components.map((c) => ACTIONS.indexOf(c.verdict.action));
    expect(order).toEqual([...order].sort((a, b) => b - a));
  });

  test('widens the index of what was not seen to the whole scale and never scores it as sound', () => {
    const c = run([arm({}, 'fitted')]).components[0]!;
    expect([c.index!.low, c.index!.high]).toEqual([0, 100]);
    expect(c.verdict.firmness).not.toBe('settled');
  });

  test('replaces a good spring for its pair and says that it is a spare', () => {
    const spring = byId(score(rubric, demo(), { seed: 1 }), 'spring-right');
    expect(spring.verdict).toMatchObject({ action: 'replace', spare: true });
    expect(spring.verdict.because[0]!.rule).toBe('method.decided-together');
  });

  test('prices the plating of bolts by the batch when the batch goes, and says what alone would be chosen', () => {
    const bolts = byId(score(rubric, demo(), { seed: 1 }), 'steady-bolts');
    expect(bolts.verdict).toMatchObject({ action: 'refinish', aloneAction: 'replace' });
  });

  test('sums the counts of a split set to the count', () => {
    const bolts = byId(score(rubric, demo(), { seed: 1 }), 'subframe-bolts-left');
    const { reuse, refinish, replace } = bolts.verdict.counts!;
    expect(reuse + refinish + replace).toBe(bolts.count);
    expect(replace).toBe(2);
  });

  test('lists single-use nuts apart and never on the bench', () => {
    const out = score(rubric, demo(), { seed: 1 });
    expect(out.alwaysNew.map((a) => a.id)).toEqual(expect.arrayContaining(['hub-nut-left', 'hub-nut-right']));
    expect(out.components.map((c) => c.id)).not.toContain('hub-nut-left');
  });

  test('names compulsory looks that do not fit in the minutes, and drops none', () => {
    const all = score(rubric, demo(), { seed: 1 });
    const few = score(rubric, demo(), { seed: 1, minutes: 2 });
    const ids = (out: ScoreOut) =>
      [...out.nextLooks, ...out.looksLeft]
        .filter((l) => l.compulsory)
        .map((l) => `${l.component}.${l.check}`)
        .sort();
    expect(ids(few)).toEqual(ids(all));
    expect(few.looksLeft.length).toBeGreaterThan(0);
  });
});
