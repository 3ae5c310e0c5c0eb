import { describe, expect, it } from 'vitest';
import {
  boltAfterHeat,
  GLOW_C,
  GLOW_FROM_C,
  heatLimitC,
  TEMPER_COLOURS_C,
  temperColour,
} from '../../src/standards/index.ts';

describe('temperColour()', () => {
  it('gives a lower bound 30 K under the charts (gauge-plate and tool-steel charts, verified)', () => {
    expect(temperColour('blue')).toEqual({ lowC: 270, nominalC: [300, 302], highC: 332 });
    expect(temperColour('straw')?.lowC).toBe(190);
  });
  // Gauge-plate chart 210 to 330 and tool-steel chart 199 to 302, the two beside each other; verified.
  it.each<[string, number, number]>([
    ['faint straw', 199, 210],
    ['straw', 220, 229],
    ['dark straw', 240, 241],
    ['brown', 249, 250],
    ['red brown', 260, 260],
    ['purple', 270, 271],
    ['violet', 280, 282],
    ['dark blue', 290, 290],
    ['light blue', 310, 310],
    ['grey blue', 320, 320],
    ['grey green', 330, 330],
  ])('%s is %i to %i C on the charts', (colour, low, high) => {
    expect(temperColour(colour)?.nominalC).toEqual([low, high]);
  });
  it('runs from straw to grey without a step back', () => {
    const highs = Object.values(TEMPER_COLOURS_C).map(([, high]) => high);
    expect(highs).toEqual([...highs].sort((a, b) => a - b));
  });
  it('is null for a colour not listed', () => {
    expect(temperColour('pink')).toBeNull();
    expect(temperColour('toString')).toBeNull();
  });
});

describe('glow', () => {
  it('starts at 538 C and rises (glow chart, verified)', () => {
    expect(GLOW_FROM_C).toBe(538);
    expect(Math.min(...Object.values(GLOW_C))).toBe(538);
    expect(Object.values(GLOW_C)).toEqual([538, 593, 649, 704, 760, 816, 871, 927, 982, 1093]);
  });
});

describe('heatLimitC()', () => {
  it('destroys a nylon insert at 200 C: its limit is 120 (ISO 2320 scope, verified)', () => {
    expect(heatLimitC('nylon insert nut')).toBe(120);
    expect(200 > (heatLimitC('nylon insert nut') ?? 999)).toBe(true);
  });
  it('forbids a powder cure at 200 C with the rubber bush in: about 90 (common practice)', () => {
    expect(heatLimitC('rubber bush')).toBe(90);
  });
  it('takes the lower tempering temperature for a class (ISO 898-1, verified)', () => {
    expect(heatLimitC('8.8')).toBe(425);
    expect(heatLimitC('10.9')).toBe(340);
    expect(heatLimitC('12.9')).toBe(380);
  });
  // AC 43.13-1B and ISO 2320, verified; passivate and body solder from memory; rubber, joints, glue and springs common practice.
  it.each([
    ['all-metal lock nut', 150],
    ['bolt in service', 150],
    ['cadmium plate', 232],
    ['passivated zinc plate', 120],
    ['rubber boot', 90],
    ['ball joint', 110],
    ['seam sealer', 180],
    ['structural adhesive', 180],
    ['body solder', 180],
    ['spring', 200],
    ['torsion bar', 200],
    ['anti-roll bar', 200],
  ])('%s stands %i C', (what, celsius) => expect(heatLimitC(what)).toBe(celsius));
  it('is null where none is known', () => {
    expect(heatLimitC('4.6')).toBeNull();
    expect(heatLimitC('glove')).toBeNull();
  });
});

describe('boltAfterHeat()', () => {
  it('rejects any quenched and tempered bolt that glowed (glow chart, verified)', () => {
    for (const id of ['8.8', '9.8', '10.9', '12.9', 'SAE 5', 'SAE 8', 'BS T']) {
      expect(boltAfterHeat(id, { isGlowSeen: true })?.verdict).toBe('reject');
      expect(boltAfterHeat(id, { isGreyScale: true })?.verdict).toBe('reject');
    }
  });
  it('goes by a measured temperature first (ISO 898-1 Table 2, verified)', () => {
    expect(boltAfterHeat('8.8', { temperatureC: 450 })?.verdict).toBe('reject');
    expect(boltAfterHeat('8.8', { temperatureC: 400 })?.verdict).toBe('keep');
    expect(boltAfterHeat('12.9', { temperatureC: 400 })?.verdict).toBe('reject');
    expect(boltAfterHeat('10.9', { temperatureC: 400 })?.verdict).toBe('reject');
    expect(boltAfterHeat('10.9', { temperatureC: 400, old: false })?.verdict).toBe('keep');
  });
  it('notes straw to purple', () => {
    expect(boltAfterHeat('12.9', { colour: 'straw' })?.verdict).toBe('note');
    expect(boltAfterHeat('10.9', { colour: 'purple', isSafetyJoint: true })?.verdict).toBe('note');
  });
  it('on blue keeps 8.8, rejects 12.9, and bars 10.9 from safety joints (own judgement)', () => {
    expect(boltAfterHeat('8.8', { colour: 'blue', isSafetyJoint: true })?.verdict).toBe('keep');
    expect(boltAfterHeat('12.9', { colour: 'blue' })?.verdict).toBe('reject');
    expect(boltAfterHeat('10.9', { colour: 'blue', isSafetyJoint: true })?.verdict).toBe('reject');
    expect(boltAfterHeat('10.9', { colour: 'blue' })?.verdict).toBe('open');
    expect(boltAfterHeat('4.6', { colour: 'blue' })?.verdict).toBe('note');
  });
  it('does not know an unknown class, or a bolt on which nothing was seen', () => {
    expect(boltAfterHeat('7.7', { isGlowSeen: true })).toBeNull();
    expect(boltAfterHeat('8.8', {})).toBeNull();
  });
});
