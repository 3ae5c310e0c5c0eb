import { describe, expect, it } from 'vitest';
import type { Batch, Component } from '../../shared/index.ts';
import { plan } from '../../src/planning/index.ts';
import { demo, rubric } from '../engine/real.ts';
import { bolts, sheets } from './sheet-fixture.ts';

const range = (usual: number) => ({ low: usual, usual, high: usual });
const DATE = '2026-11-20';

/** A batch of parts that go to one process for one operation each. */
function batch(
  process: string,
  goers: readonly { component: Component; operation: string; pieces?: number; group?: number }[],
): Batch {
  const parts = goers.map(({ component, operation, pieces, group }) => ({
    component: component.id,
    group: group ?? 0,
    name: component.name,
    pieces: pieces ?? component.count ?? 1,
    massKg: range(0.03 * (pieces ?? component.count ?? 1)),
    areaDm2: range(0.3 * (pieces ?? component.count ?? 1)),
    operation,
    chance: 1,
    adds: 0,
    alone: 0,
  }));
  const nothing = range(0);
  return {
    id: process,
    process,
    name: process,
    colour: null,
    metal: 'iron and steel',
    parts,
    pieces: parts.reduce((sum, part) => sum + part.pieces, 0),
    massKg: 1,
    areaDm2: 1,
    minimum: nothing,
    work: nothing,
    setUp: nothing,
    bill: nothing,
    handlingHours: nothing,
    leadDays: range(8),
    paysMinimum: true,
    slack: 0,
    goesAnyway: false,
    oneMore: { text: '', adds: 0, alone: 0 },
    couldJoin: [],
    refuses: 'springs',
    because: { rule: 'charges.zinc', source: null, basis: 'common-practice' },
  };
}

const set = (id: string, thread: string, classId: string, rest: Partial<Component> = {}): Component => {
  const { joints: _, ...plain } = bolts(id, {}, rest);
  return { ...plain, stage: 'cleaned', properties: { thread, class: classId } };
};

const ticketOf = (component: Component, operation: string, process = 'zinc', rest = {}) =>
  sheets(
    [component],
    { [component.id]: { action: 'refinish', route: 'zinc-8' } },
    { batches: [batch(process, [{ component, operation }])], rest },
  ).tickets[0]!;

describe('thread fit after plating', () => {
  it('8 um does not fit M8 6g, which has room for 7 (ISO 4042: a quarter of the deviation of 28 um)', () => {
    const said = ticketOf(set('x', 'M8', '8.8'), 'zinc-plate-8').lines[0]!.threadFit!;
    expect(said.text).toContain('room for 7 um only');
    expect(said.text).toContain('does not fit');
    expect(said.source).toContain('ISO 4042');
  });

  it('8 um just fits M10, which has room for 8 (32 / 4)', () => {
    expect(ticketOf(set('x', 'M10', '8.8'), 'zinc-plate-8').lines[0]!.threadFit!.text).toContain('8 um fits');
  });

  it('a nut has no room of its own: position H leaves none', () => {
    expect(ticketOf(set('x', 'M10', 'nut 8'), 'zinc-plate-5').lines[0]!.threadFit!.text).toContain(
      'no room of its own',
    );
  });
});

describe('hydrogen', () => {
  const bake = (classId: string, thread = 'M12') =>
    ticketOf(set('x', thread, classId), 'zinc-plate-5').lines[0]!.hydrogen!.text;

  it('8.8: no bake, 335 HV at most is under 360 (ISO 4042:2018 4.4)', () => {
    expect(bake('8.8')).toMatch(/^No bake/);
  });

  it('10.9: the documents differ, so bake 8 h at 190 to 220 degC (ASTM B850, 1040 MPa)', () => {
    expect(bake('10.9')).toContain('BAKE 8 h at 190 to 220 degC');
  });

  it('12.9: bake 12 h (ISO 4042: over 390 HV; ASTM B850, 1220 MPa)', () => {
    expect(bake('12.9')).toContain('BAKE 12 h at 190 to 220 degC');
  });

  it('above 1700 MPa: do not plate at all (ASTM B633)', () => {
    // 560 HV x 3.2 MPa = 1792 MPa.
    const hard: Component = { ...set('x', 'M12', '12.9'), properties: { thread: 'M12', hardnessHV: 560 } };
    expect(ticketOf(hard, 'zinc-plate-5').lines[0]!.hydrogen!.text).toMatch(/^DO NOT PLATE/);
  });

  it('is not spoken of where nothing charges hydrogen', () => {
    expect(ticketOf(set('x', 'M12', '12.9'), 'zinc-flake-thin', 'zinc-flake').lines[0]!.hydrogen).toBeNull();
  });
});

describe('a ticket', () => {
  it('states the bake of zinc flake against the tempering of the bolt (ISO 898-1)', () => {
    const { instructions } = ticketOf(set('x', 'M12', '12.9'), 'zinc-flake-thin', 'zinc-flake');
    expect(instructions[0]!.text).toContain('No hotter than 200 degC');
    expect(instructions[0]!.text).toContain('class 12.9 is lost above 380 degC');
  });

  it('names zinc by its class: 8 um is Fe/Zn 8 for moderate service (ASTM B633)', () => {
    expect(ticketOf(set('x', 'M10', '8.8'), 'zinc-plate-8').finish).toContain('Fe/Zn 8, for moderate service');
  });

  it('says what must come off first: what sits in it', () => {
    const arm: Component = { id: 'arm', name: 'Arm', kind: 'pressed-steel-arm', area: 'front', stage: 'off' };
    const bush: Component = { id: 'bush', name: 'Rear bush', kind: 'bonded-rubber-bush', stage: 'off', sitsIn: 'arm' };
    const of = (inside: Component) =>
      sheets([arm, inside], {}, { batches: [batch('powder', [{ component: arm, operation: 'powder-coat' }])] })
        .tickets[0]!;
    expect(of(bush).lines[0]!.firstOff[0]).toContain('Rear bush');
    expect(of({ ...bush, takenOut: true }).lines[0]!.firstOff.join()).not.toContain('Rear bush');
  });

  it('splits a batch by film, so that one slip asks for one thing', () => {
    const a = set('a', 'M8', '8.8');
    const b = set('b', 'M12', '8.8');
    const { tickets } = sheets(
      [a, b],
      {},
      {
        batches: [
          batch('zinc', [
            { component: a, operation: 'zinc-plate-5' },
            { component: b, operation: 'zinc-plate-8' },
          ]),
        ],
      },
    );
    expect(tickets.map((ticket) => [ticket.thicknessUm, ticket.total.pieces])).toEqual([
      [5, 1],
      [8, 1],
    ]);
  });

  it('tallies out and back and names who is missing', () => {
    const four = set('x', 'M10', '8.8', { count: 4 });
    const sent = [{ process: 'zinc', component: 'x', out: 4, back: 3, date: DATE }];
    const ticket = ticketOf(four, 'zinc-plate-8', 'zinc', { sent });
    expect(ticket.tally).toMatchObject({ out: 4, back: 3, missing: [{ component: 'x', count: 1 }] });
    expect(ticket.tally.words).toContain('Missing: 1 x Bolts x');
  });

  it('calls nothing missing while it is away', () => {
    const sent = [{ process: 'zinc', component: 'x', out: 4, date: DATE }];
    const { tally } = ticketOf(set('x', 'M10', '8.8', { count: 4 }), 'zinc-plate-8', 'zinc', { sent });
    expect(tally).toMatchObject({ out: 4, back: 0, missing: [] });
  });
});

describe("the tickets of the demonstration's plan", () => {
  it('count the very pieces of its batches', () => {
    const made = plan(rubric, demo(), { seed: 1 });
    for (const of of made.batches) {
      const own = made.tickets!.filter((ticket) => ticket.id === of.id || ticket.id.startsWith(`${of.id}.`));
      expect(own.reduce((sum, ticket) => sum + ticket.total.pieces, 0)).toBe(of.pieces);
      expect(own.flatMap((ticket) => ticket.lines).reduce((sum, line) => sum + line.count, 0)).toBe(of.pieces);
    }
    expect(made.tickets!.length).toBeGreaterThan(0);
  });
});
