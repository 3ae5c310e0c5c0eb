import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Component, ShoppingOut } from '../../shared/index.ts';
import { consumablesOf, packsFor } from '../../src/planning/consumables.ts';
import { plan } from '../../src/planning/index.ts';
import { demo, rubric } from '../engine/real.ts';
import { bolts, type Decided, input, sheets } from './sheet-fixture.ts';

const NEW: Decided = { action: 'replace', supply: 'new' };
const lines = (shopping: ShoppingOut) => shopping.groups.flatMap((group) => group.lines);
const arm = (id: string, stage: Component['stage'] = 'fitted'): Component => ({
  id,
  name: id,
  kind: 'pressed-steel-arm',
  area: 'front',
  stage,
});

describe('the shopping list', () => {
  it('has every replaced fastener once and only once, however it is split and whatever joint it belongs to', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 1, max: 5 })), {
          minLength: 1,
          maxLength: 4,
        }),
        (sets) => {
          const parts = sets.map(([a, b], i) => bolts(`x${i}`, {}, { count: a + b, stage: i % 2 ? 'off' : 'fitted' }));
          const decided = Object.fromEntries(
            sets.map(([a, b], i) => [
              `x${i}`,
              [
                { ...NEW, pieces: a },
                { ...NEW, pieces: b },
              ],
            ]),
          );
          const { shopping } = sheets(parts, decided);
          sets.forEach(([a, b], i) => {
            const own = lines(shopping).filter(
              (line) => line.for.some((f) => f.component === `x${i}`) && line.sort === 'fastener',
            );
            expect(own).toHaveLength(1);
            expect(own[0]!.amount).toBe(a + b);
          });
        },
      ),
      { numRuns: 30 },
    );
  });

  it('does not buy a bolt again as hardware of its joint', () => {
    const parts = [
      bolts('x', { locking: 'adhesive', hardware: ['adhesive-bolt'] }),
      bolts('y', { locking: 'adhesive', hardware: ['adhesive-bolt'] }),
    ];
    const { shopping } = sheets(parts, { x: NEW, y: { action: 'refinish', route: 'clean-and-oil' } });
    const bought = lines(shopping).filter(
      (line) => line.for.some((f) => f.component === 'x') && line.sort !== 'consumable',
    );
    expect(bought.map((line) => line.sort)).toEqual(['fastener']);
    // The other set is kept, but its adhesive is used up, so it is bought by its joint.
    expect(lines(shopping).find((line) => line.for.some((f) => f.component === 'y'))?.sort).toBe('hardware');
  });

  it('puts like hardware of several joints on one line, with thread, class and finish', () => {
    const { shopping } = sheets([arm('a'), arm('b', 'off')], { a: NEW, b: NEW });
    const nuts = lines(shopping).filter((line) => line.what === 'All-metal lock nut' && line.thread === 'M12x1.5');
    // One pivot nut each side, the one still to be undone and the one that is undone already; a 10.9 bolt takes a nut of class 10.
    expect(nuts.map((line) => [line.amount, line.class])).toEqual([[2, '10']]);
  });

  it('gives the split pin of an M12 castle nut as 3.2 mm (ISO 1234, from memory)', () => {
    const { shopping } = sheets([bolts('x', { thread: 'M12', locking: 'split-pin' })], { x: NEW });
    expect(lines(shopping).find((line) => line.what === 'Split pin')?.note).toContain('3.2 mm');
  });

  it('keeps the old one until the new one fits, with how often it does not', () => {
    const { shopping } = sheets([bolts('x', {})], { x: NEW });
    const line = lines(shopping).find((l) => l.sort === 'fastener')!;
    expect(line.keepOld).toContain('until the new one fits');
    // threaded-fastener, supply new: one in 33.
    expect(line.keepOld).toContain('One in 33');
    expect(line.supply).toBe('new');
  });

  it('puts what nobody sells on a list of its own, with ways out', () => {
    const { shopping } = sheets([bolts('x', {}, { supplies: [] })], { x: { action: 'replace', supply: null } });
    expect(shopping.unobtainable.map((part) => part.component)).toEqual(['x']);
    expect(shopping.unobtainable[0]!.waysOut.length).toBeGreaterThan(2);
    expect(lines(shopping).some((line) => line.sort === 'fastener')).toBe(false);
  });

  it('groups by seller, and by the seller that a supply names', () => {
    const supplies = [
      {
        id: 'new',
        type: 'new' as const,
        price: [5, 6, 8] as [number, number, number],
        leadDays: [9, 12, 20] as [number, number, number],
        misfit: 0,
        supplier: 'Brode Fasteners',
        from: 'own-judgement',
      },
    ];
    const { shopping } = sheets([bolts('x', {}, { supplies }), bolts('y', {})], { x: NEW, y: NEW });
    const own = shopping.groups.find((group) => group.name === 'Brode Fasteners')!;
    expect(own.lines).toHaveLength(1);
    // 12 days are over the 10 from which a part is ordered before the car is touched.
    expect(own.lines[0]!.isLongLead).toBe(true);
    expect(shopping.groups.some((group) => group.supplier === 'maker-parts')).toBe(true);
  });

  it('waits with what hangs on a look, and does not buy what comes with something else', () => {
    const clear = { action: 'reuse' as const, option: 'reuse', route: null, supply: null };
    const { shopping } = sheets([bolts('x', {}), bolts('y', {})], {
      x: { ...NEW, ifClear: clear },
      y: { ...NEW, comesWith: 'x' },
    });
    expect(lines(shopping).find((line) => line.for[0]?.component === 'x')?.note).toContain('do not order before it');
    expect(lines(shopping).some((line) => line.for[0]?.component === 'y')).toBe(false);
    expect(shopping.notes.join(' ')).toContain('comes with');
  });
});

describe('what an earlier hand left', () => {
  const missing = [{ found: 'missing' as const, count: 2, date: '2026-11-20' }];

  it('is bought where the set itself is kept, and not twice where it is replaced', () => {
    const set = bolts('x', { thread: 'M8', class: '8.8' }, { count: 6, foundLeft: missing, stage: 'off' });
    const kept = sheets([set], { x: { action: 'refinish', route: 'clean-and-oil' } });
    expect(lines(kept.shopping).find((line) => line.id === 'found.x.own')).toMatchObject({
      amount: 2,
      thread: 'M8',
      class: '8.8',
    });
    expect(kept.strip.earlier).toMatchObject([{ component: 'x', left: { found: 'missing', count: 2 } }]);
    const gone = sheets([set], { x: NEW });
    expect(lines(gone.shopping).filter((line) => line.sort === 'fastener')).toHaveLength(1);
  });
});

describe("the shopping list of the demonstration's plan", () => {
  const made = plan(rubric, demo(), { seed: 1 });

  it('has every replaced part once, with all its pieces', () => {
    const pieces = new Map<string, number>();
    for (const part of made.parts)
      if (part.action === 'replace' && part.comesWith === null && part.supply !== null)
        pieces.set(part.component, (pieces.get(part.component) ?? 0) + part.pieces);
    expect(pieces.size).toBeGreaterThan(5);
    for (const [id, count] of pieces) {
      const own = lines(made.shopping!).filter(
        (line) => line.supply !== null && line.for.some((f) => f.component === id),
      );
      expect(
        own.reduce((sum, line) => sum + line.amount, 0),
        id,
      ).toBe(count);
    }
  });

  it('has every line of it once', () => {
    const ids = lines(made.shopping!).map((line) => line.id);
    expect(new Set(ids).size).toBe(ids.length);
  });
});

describe('consumables', () => {
  const worked = (id: string, areaDm2: number, pieces = 1) => {
    const operation = rubric.operations.find((entry) => entry.id === id)!;
    return consumablesOf(
      { undone: [], refitted: [], worked: [{ operation, pieces, areaDm2 }], charges: new Set(), spilling: [] },
      input([bolts('x', {})]),
    );
  };
  const amount = (list: ReturnType<typeof worked>, id: string) =>
    list.find((line) => line.consumable.id === id)?.amount;

  it('60 % solids at 60 um with half lost: 5 m2 a litre, so a square metre takes 0.2 l (paint makers)', () => {
    expect(amount(worked('epoxy-prime', 100), 'epoxy-primer')).toBeCloseTo(0.2, 9);
  });

  it('abrasive: 24.4 kg a square metre (5 lb a square foot), ten rounds in the cabinet', () => {
    expect(amount(worked('cabinet-blast', 100), 'abrasive')).toBeCloseTo(2.44, 0);
  });

  it('rises with the area, and with nothing to do there is none', () => {
    expect(amount(worked('epoxy-prime', 50), 'epoxy-primer')!).toBeLessThan(
      amount(worked('epoxy-prime', 51), 'epoxy-primer')!,
    );
    expect(worked('gauge-fit', 100)).toEqual([]);
  });

  it('puts back what runs out and half as much again of brake fluid', () => {
    const spill = { fluid: 'brake-fluid', litres: [0.2, 0.4, 0.8] as [number, number, number], refill: 'Topped up' };
    const { shopping } = sheets([bolts('x', { spills: [spill] })], { x: NEW });
    // 0.4 l x 1.5 = 0.6 l, sold by the half and the whole litre.
    expect(lines(shopping).find((line) => line.id === 'consumable.brake-fluid')).toMatchObject({
      amount: 1,
      unit: 'l',
    });
  });

  it('buys no petrol for what is kept in a can and put back', () => {
    const spill = { fluid: 'fuel', litres: [1, 2, 4] as [number, number, number], refill: 'Back in' };
    const { shopping, strip } = sheets([bolts('x', { spills: [spill] })], { x: NEW });
    expect(lines(shopping).some((line) => line.id === 'consumable.fuel')).toBe(false);
    expect(strip.beforeItMoves[0]).toContain('Back in');
  });

  it('buys in packs that hold the amount', () => {
    expect(packsFor(0.31, [0.5, 1])).toBe(0.5);
    expect(packsFor(1.31, [0.5, 1])).toBe(1.5);
    expect(packsFor(2, [0.5, 1])).toBe(2);
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 50, noNaN: true }), (need) => {
        const bought = packsFor(need, [0.5, 1, 2.5]);
        expect(bought).toBeGreaterThanOrEqual(need - 1e-6);
        expect(bought - need).toBeLessThanOrEqual(2.5);
      }),
    );
  });
});
