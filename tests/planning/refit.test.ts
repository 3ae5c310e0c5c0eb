import { describe, expect, it } from 'vitest';
import type { Component } from '../../shared/index.ts';
import { bolts, type Decided, sheets } from './sheet-fixture.ts';

const NEW: Decided = { action: 'replace', supply: 'new' };

describe('the re-fit order', () => {
  it('is the strip-down turned round, with what is off already in its place', () => {
    const parts = [
      bolts('a', { undoBefore: ['b.own'] }),
      bolts('b', { undoBefore: ['c.own'] }),
      bolts('c', {}, { stage: 'cleaned' }),
    ];
    const { strip, refit } = sheets(parts, { a: NEW, b: NEW, c: NEW });
    expect(strip.steps.map((step) => step.id)).toEqual(['b.own', 'a.own']);
    expect(refit.steps.map((step) => step.id)).toEqual(['a.own', 'b.own', 'c.own']);
  });

  it('nips up at once and tightens at ride height, last, what turns in rubber', () => {
    const arm: Component = { id: 'arm', name: 'Arm', kind: 'pressed-steel-arm', area: 'front', stage: 'off' };
    const { refit } = sheets([arm], { arm: NEW });
    expect(refit.atRideHeight.map((joint) => joint.step)).toEqual(['arm.pivot']);
    expect(refit.steps.find((step) => step.id === 'arm.pivot')?.tighten).toBe('ride-height');
    expect(refit.steps.find((step) => step.id === 'arm.pinch')?.tighten).toBe('now');
    expect(refit.afterwards.map((line) => line.rule)).toContain('release.afterwards.alignment');
    expect(refit.beforeDriving.map((line) => line.rule)).toContain('release.before-driving.ride-height');
  });

  it('says dry or oiled with the torque, and the drag of a lock nut on top (AC 43.13-1B)', () => {
    const torque = (joint: Parameters<typeof bolts>[1]) =>
      sheets([bolts('x', joint)], { x: NEW }).refit.steps[0]!.torque;
    expect(torque({ torqueNm: 90, lubrication: 'dry' })).toBe('90 Nm, threads dry');
    expect(torque({ torqueNm: 90, lubrication: 'oiled', locking: 'nylon' })).toBe(
      '90 Nm, threads oiled, plus the drag of the nut on its thread',
    );
  });

  it('gives a reckoned guide only for a bolt of known class, and never for a nut on a stud', () => {
    const torque = (joint: Parameters<typeof bolts>[1]) =>
      sheets([bolts('x', joint)], { x: NEW }).refit.steps[0]!.torque;
    // M10 8.8 at 75 % of proof, dry: 50 Nm (0.2 x 10 x 0.75 x 33.6 kN).
    expect(torque({ class: '8.8' })).toContain('guide 50 Nm');
    expect(torque({})).toContain("maker's figure only");
    expect(torque({ class: 'nut 8', hole: 'stud' })).toContain("maker's figure only");
  });

  it('warns of the left-hand thread and takes new hardware', () => {
    const { refit } = sheets([bolts('x', { hand: 'left', locking: 'split-pin', count: 2 })], { x: NEW });
    expect(refit.steps[0]!.notes.join(' ')).toContain('tighten anticlockwise');
    expect(refit.steps[0]!.newHardware).toEqual(['2 x Split pin']);
  });

  it('brings back every fluid that ran out', () => {
    const spills = [
      { fluid: 'gearbox-oil', litres: [0.1, 0.3, 0.5] as [number, number, number], refill: 'To the plug, car level' },
    ];
    const { refit } = sheets([bolts('x', { spills }, { stage: 'off' })], { x: NEW });
    expect(refit.afterwards[0]!.text).toBe('Gearbox oil: To the plug, car level');
  });

  it('puts a recorded position back, and never one that is not to be trusted', () => {
    const position = (trust: 'as-found' | 'not-to-be-trusted') => [
      { id: 'p', what: 'Shims', found: 'two left', trust, date: '2026-11-20' },
    ];
    const places = (trust: Parameters<typeof position>[0]) =>
      sheets([bolts('x', {}, { positions: position(trust) })], { x: NEW }).refit.steps[0]!.positions[0];
    expect(places('as-found')).toBe('Shims: two left, as found');
    expect(places('not-to-be-trusted')).toContain('do not copy');
  });
});
