import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Check, Component, Kind, Supply } from '../../shared/index.ts';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, byId, rubric, TODAY } from './real.ts';

// Every completion of what is missing is tried, so a part is answered but for one or two checks.

/** Everything that can be answered to a check: each value that the draws can take. */
function valuesOf({ answer }: Check): (number | string)[] {
  if (answer.type === 'grade') return [0, 1, 2, 3, 4, 5];
  return answer.type === 'choice' ? answer.options.map((option) => option.id) : [...answer.points];
}

const KINDS = ['unlisted-pressed-steel', 'anti-roll-bar-link', 'brake-pipe', 'coil-spring', 'light-alloy-plate'];
const kindOf = (id: string): Kind => rubric.kinds.find((kind) => kind.id === id)!;
const SIZES: Record<string, Component['properties']> = {
  'unlisted-pressed-steel': { thicknessMm: 3, carries: 'nothing', closed: 'no' },
  'anti-roll-bar-link': { diameterMm: 10 },
  'coil-spring': { diameterMm: 12.5 },
  'light-alloy-plate': { alloy: '6082', temper: 'T6', thicknessMm: 10 },
};

interface Case {
  kind: string;
  answers: Map<string, number | string>;
  /** Checks without an answer. */
  missing: string[];
  wantedFinish: 'serviceable' | 'smart' | 'show';
}

/** A part of a kind, stripped to metal so that every answer is final, good in most places, with one or two checks open. */
const aCase: fc.Arbitrary<Case> = fc
  .constantFrom(...KINDS)
  .chain((kind) => {
    const { length } = kindOf(kind).checks;
    return fc.record({
      kind: fc.constant(kind),
      worse: fc.tuple(fc.nat(length - 1), fc.nat(11)),
      good: fc.array(fc.nat(1), { minLength: length, maxLength: length }),
      open: fc.uniqueArray(fc.nat(length - 1), { minLength: 1, maxLength: 2 }),
      wantedFinish: fc.constantFrom('serviceable' as const, 'smart' as const, 'show' as const),
    });
  })
  .map(({ kind, worse: [at, how], good, open, wantedFinish }) => ({
    kind,
    wantedFinish,
    missing: open.map((i) => kindOf(kind).checks[i]!.id),
    answers: new Map(
      kindOf(kind).checks.flatMap((check, i) => {
        if (open.includes(i)) return [];
        const values = valuesOf(check);
        return [[check.id, values[(i === at ? how : good[i]!) % values.length]!] as const];
      }),
    ),
  }));

/** Sets of answers to what is missing, every one. */
function completionsOf({ kind, answers, missing }: Case): Map<string, number | string>[] {
  const open = kindOf(kind).checks.filter((check) => missing.includes(check.id));
  return open.reduce(
    (all, check) => all.flatMap((one) => valuesOf(check).map((value) => new Map(one).set(check.id, value))),
    [answers],
  );
}

function verdictOf(c: Case, answers: Case['answers'], rest: { draws: number; supplies?: Supply[] }) {
  const properties = SIZES[c.kind];
  const part: Component = {
    id: 'part',
    name: 'Part',
    kind: c.kind,
    stage: 'bare',
    ...(properties ? { properties } : {}),
    ...(rest.supplies ? { supplies: rest.supplies } : {}),
    observations: [...answers].map(([check, value]) => ({ check, value, date: TODAY })),
  };
  const assessment = assessmentOf([part], { wantedFinish: c.wantedFinish });
  return byId(score(rubric, assessment, { seed: 11, draws: rest.draws }), 'part').verdict;
}

describe('settled', () => {
  test('means that every completion of the missing answers gives the same action', () => {
    let settled = 0;
    fc.assert(
      fc.property(aCase, (c) => {
        const verdict = verdictOf(c, c.answers, { draws: 60 });
        if (verdict.firmness !== 'settled') return;
        settled++;
        const actions = completionsOf(c).map((answers) => verdictOf(c, answers, { draws: 20 }).action);
        expect(new Set(actions)).toEqual(new Set([verdict.action]));
      }),
      { numRuns: 60, seed: 20261125 },
    );
    expect(settled).toBeGreaterThan(5);
  });

  test('means that no price of a supply flips it, at either end of its own range', () => {
    let settled = 0;
    fc.assert(
      fc.property(aCase, (c) => {
        const verdict = verdictOf(c, c.answers, { draws: 60 });
        if (verdict.firmness !== 'settled') return;
        settled++;
        const known = kindOf(c.kind).supplies;
        for (const [i, moved] of known.entries()) {
          for (const end of [moved.price[0], moved.price[2]]) {
            const supplies = known.map(
              (supply, j): Supply => (i === j ? { ...supply, price: [end, end, end] } : supply),
            );
            expect(verdictOf(c, c.answers, { draws: 60, supplies }).action).toBe(verdict.action);
          }
        }
      }),
      { numRuns: 60, seed: 20261125 },
    );
    expect(settled).toBeGreaterThan(5);
  });
});

describe('odds', () => {
  test('are above zero for every action that is best under some completion, and a hedge is marked', () => {
    let several = 0;
    fc.assert(
      fc.property(aCase, (c) => {
        const { odds, hedge, action, because } = verdictOf(c, c.answers, { draws: 20_000 });
        expect(odds.reuse + odds.refinish + odds.replace).toBeCloseTo(1, 9);
        const isHeld = because.some((reason) => reason.text.startsWith('Not known yet'));
        const isUnlikely = odds[action] < Math.max(odds.reuse, odds.refinish, odds.replace);
        if (!isHeld) expect(hedge).toBe(isUnlikely);
        if (hedge) expect(isUnlikely).toBe(true);
        const best = new Set(completionsOf(c).map((answers) => verdictOf(c, answers, { draws: 20 }).action));
        if (best.size > 1) several++;
        for (const each of best) expect([each, odds[each] > 0]).toEqual([each, true]);
      }),
      { numRuns: 40, seed: 20261125 },
    );
    expect(several).toBeGreaterThan(5);
  });
});
