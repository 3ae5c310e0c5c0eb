import { describe, expect, it } from 'vitest';
import type { Component } from '../../shared/index.ts';
import { stripSheet } from '../../src/reports/index.ts';
import { bolts, type Decided, sheets } from './sheet-fixture.ts';

const NEW: Decided = { action: 'replace', supply: 'new' };
const DATE = '2026-11-20';

const fitted = (id: string, kind: string, rest: Partial<Component> = {}): Component => ({
  id,
  name: id,
  kind,
  area: 'front',
  stage: 'fitted',
  ...rest,
});

const ids = (parts: Component[], decided: Parameters<typeof sheets>[1]) =>
  sheets(parts, decided).strip.steps.map((step) => `${step.id}${step.does === 'slacken' ? ' slacken' : ''}`);

describe('the order of the strip-down', () => {
  it('undoes no joint before those that must be undone before it, across parts too', () => {
    const a = bolts('a', { undoBefore: ['b.own'] });
    const b = bolts('b', { undoBefore: ['c.own'] });
    const c = bolts('c', {});
    expect(ids([a, b, c], { a: NEW, b: NEW, c: NEW })).toEqual(['c.own', 'b.own', 'a.own']);
  });

  it('undoes what stays on the car where it is in the way, and says of what', () => {
    const { steps } = sheets([bolts('a', { undoBefore: ['b.own'] }), bolts('b', {})], { a: NEW }).strip;
    expect(steps.map((step) => step.id)).toEqual(['b.own', 'a.own']);
    expect(steps[0]!.why).toContain('in the way of');
  });

  it('slackens the hub nut while the car stands on its wheels, before anything is undone', () => {
    const parts = [fitted('arm', 'pressed-steel-arm'), fitted('nut', 'hub-nut', { properties: { locking: 'staked' } })];
    const { steps } = sheets(parts, { arm: NEW, nut: NEW }).strip;
    expect(steps[0]).toMatchObject({ id: 'nut.shaft-end', does: 'slacken', where: 'on-wheels' });
    expect(steps.slice(1).every((step) => step.where === 'on-stands')).toBe(true);
    expect(steps.filter((step) => step.id === 'nut.shaft-end')).toHaveLength(2);
  });

  it('names a joint once where two parts both have it', () => {
    const parts = [fitted('arm', 'pressed-steel-arm'), fitted('ball', 'ball-joint')];
    const found = ids(parts, { arm: NEW, ball: NEW });
    expect(found.filter((id) => /pinch/.test(id))).toEqual(['arm.pinch']);
    expect(new Set(found).size).toBe(found.length);
  });

  it('takes the bolt of a joint and the joint as one, with the thread and class that are stamped on it', () => {
    const bolt: Component = {
      ...fitted('bolt', 'threaded-fastener'),
      fastens: 'arm.pivot',
      properties: { thread: 'M14x1.5', class: '12.9' },
    };
    const { steps } = sheets([fitted('arm', 'pressed-steel-arm'), bolt], { arm: NEW, bolt: NEW }).strip;
    const own = steps.filter((step) => step.id.startsWith('bolt') || step.id === 'arm.pivot');
    expect(own.map((step) => [step.id, step.joint.thread, step.joint.class])).toEqual([
      ['arm.pivot', 'M14x1.5', '12.9'],
    ]);
  });

  it('lists what stays on, and what is off already, with no step for either', () => {
    const { strip } = sheets([bolts('a', {}), bolts('b', {}, { stage: 'cleaned' })], {});
    expect(strip.steps).toEqual([]);
    expect(strip.staysOn.map((part) => part.component)).toEqual(['a']);
    expect(strip.alreadyOff.map((part) => part.component)).toEqual(['b']);
    expect(strip.ready).toEqual([]);
  });
});

describe('a step of the strip-down', () => {
  const step = (joint: Parameters<typeof bolts>[1], rest: Partial<Component> = {}) =>
    sheets([bolts('x', joint, rest)], { x: NEW }).strip.steps[0]!;

  it('tells the hand of the thread in words, the left one loudly', () => {
    expect(step({ hand: 'left' }).joint.hand).toBe('LEFT-HAND thread: undo clockwise, as you look at the head or nut');
    expect(step({}).joint.hand).toContain('undo anticlockwise');
  });

  it('says what hangs, what runs out, how much, and how it goes back before the car moves', () => {
    const found = step({
      catches: ['caliper: by wire, not by its hose', 'gearbox oil'],
      spills: [{ fluid: 'gearbox-oil', litres: [0.1, 0.3, 0.5], refill: 'To the plug' }],
    });
    expect(found.hang).toEqual(['caliper: by wire, not by its hose']);
    expect(found.spills).toMatchObject([{ fluid: 'gearbox-oil', litres: { low: 0.1, usual: 0.3, high: 0.5 } }]);
    const { strip } = sheets(
      [bolts('x', { spills: [{ fluid: 'gearbox-oil', litres: [0.1, 0.3, 0.5], refill: 'To the plug' }] })],
      { x: NEW },
    );
    expect(strip.beforeItMoves).toEqual(['Gearbox oil, 0.1 l to 0.5 l a joint, runs out at: Bolts x. To the plug']);
  });

  it('scraps the hardware of its lock: a split pin, one a nut', () => {
    const found = step({ locking: 'split-pin', count: 2 });
    expect(found.scrapped).toMatchObject([{ what: 'Split pin', count: 2 }]);
    expect(found.lockFirst[0]).toContain('Never shear it off');
  });

  it('prices what an earlier hand left sheared, by what it is sheared in', () => {
    const left = [{ found: 'sheared' as const, count: 2, date: DATE }];
    const found = step({ hole: 'captive' }, { count: 4, foundLeft: left });
    // release.yaml: a stub in a caged nut takes 1 to 6 h, usually 2.5, and 20 EUR; two of them twice that.
    expect(found.earlier).toMatchObject([
      { found: 'sheared', count: 2, hours: { low: 2, usual: 5, high: 12 }, money: { usual: 40 } },
    ]);
    expect(step({ hole: 'nut' }, { count: 4, foundLeft: left }).earlier[0]!.hours.usual).toBeLessThan(5);
  });

  it('keeps minutes in order and lets more bolts take longer', () => {
    const one = step({}).minutes;
    const four = step({ count: 4 }).minutes;
    expect(one.low <= one.usual && one.usual <= one.high).toBe(true);
    expect(four.usual).toBeGreaterThan(one.usual * 3);
    expect(four.high).toBeLessThan(one.high * 4);
  });

  it('soaks what may have seized, and has the penetrant on the list', () => {
    const { strip } = sheets([bolts('x', { thread: 'M8' })], { x: NEW }, { rest: { ageYears: 40, atmosphere: 'C4' } });
    expect(strip.soak.map((joint) => joint.step)).toEqual(['x.own']);
    expect(strip.ready.some((item) => item.id === 'penetrant' && item.amount !== null)).toBe(true);
    expect(strip.ready.find((item) => item.id === 'six-point-sockets')?.note).toContain('13 mm');
  });

  it('sends a position that is not to be trusted to the alignment', () => {
    const positions = [
      {
        id: 'shims',
        what: 'Shims',
        found: 'three left',
        trust: 'not-to-be-trusted' as const,
        because: 'hides a knock',
        date: DATE,
      },
    ];
    const { strip, refit } = sheets([bolts('x', {}, { positions })], { x: NEW });
    expect(strip.alignment).toMatchObject([{ component: 'x', what: 'Shims', because: 'hides a knock' }]);
    expect(strip.steps[0]!.positions).toMatchObject([{ trust: 'not-to-be-trusted' }]);
    expect(refit.alignment[0]).toContain('NOT put back');
  });
});

describe('the printed strip-down sheet', () => {
  it('stays within 80 columns and numbers every step', () => {
    const { strip } = sheets([fitted('arm', 'pressed-steel-arm'), fitted('pipe', 'brake-pipe')], {
      arm: NEW,
      pipe: { action: 'replace', supply: 'made' },
    });
    const plan = { strip, assessment: { name: 'Test', currency: 'EUR' }, rubricVersion: 'x' };
    const lines = stripSheet(plan as unknown as Parameters<typeof stripSheet>[0], (text) => text);
    expect(lines.filter((line) => [...line].length > 80)).toEqual([]);
    for (const step of strip.steps)
      expect(lines.some((line) => line.trimStart().startsWith(`${step.n} [ ]`))).toBe(true);
  });
});
