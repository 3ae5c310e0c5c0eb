import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { Component, Joint } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { checkRubric, filesOfRubric } from '../../src/engine/check-rubric.ts';
import { rubric, TODAY } from '../engine/real.ts';
import { bolts } from './sheet-fixture.ts';

/** Faults of an assessment of these components, as path, wanted, found. */
function faults(components: unknown[], rest = {}) {
  const raw = {
    format: 'keepworthy-assessment/1',
    id: 'test',
    name: 'Test',
    date: TODAY,
    purpose: 'scope',
    wantedFinish: 'smart',
    horizonYears: 3,
    atmosphere: 'C2',
    ruleBook: 'none',
    units: 'mm',
    currency: 'EUR',
    rates: {},
    areas: [{ id: 'front', name: 'Front' }],
    components,
    ...rest,
  };
  return (checkAssessment(raw, rubric, { today: TODAY }).faults ?? []).map(({ path, wanted, found }) => ({
    path,
    wanted,
    found,
  }));
}
const joint = (rest: object) =>
  faults([
    { ...bolts('x', {}), joints: [{ id: 'own', name: 'X', thread: 'M10', hand: 'right', locking: 'none', ...rest }] },
  ]);

describe('bad joints', () => {
  it('a joint with no size', () => {
    const { thread: _, ...bare } = { id: 'own', name: 'X', thread: 'M10', hand: 'right', locking: 'none' };
    expect(faults([{ ...bolts('x', {}), joints: [bare] }])).toMatchObject([
      { path: 'components.0.joints.0.thread', found: 'nothing' },
    ]);
    expect(joint({ thread: 'M10x9' })).toEqual([
      { path: 'components.0.joints.0.thread', wanted: 'a thread such as M10x1.5 or 3/8-24 UNF', found: '"M10x9"' },
    ]);
  });

  it('a class that does not exist', () => {
    expect(joint({ class: '8.9' })).toEqual([
      { path: 'components.0.joints.0.class', wanted: 'a property class or grade such as 8.8 or S', found: '"8.9"' },
    ]);
  });

  it('an undo-before circle, also across parts', () => {
    const circle = [bolts('a', { undoBefore: ['b.own'] }), bolts('b', { undoBefore: ['a.own'] })];
    expect(faults(circle).map((fault) => fault.path)).toEqual([
      'components.0.joints.0.undoBefore',
      'components.1.joints.0.undoBefore',
    ]);
    expect(faults(circle)[0]!.wanted).toContain('no circle');
    expect(joint({ undoBefore: ['nothing'] })).toMatchObject([
      { path: 'components.0.joints.0.undoBefore.0', found: '"nothing"' },
    ]);
  });

  it('an oil amount that is missing, where it is caught by name or named without litres', () => {
    expect(joint({ catches: ['gearbox oil'] })).toEqual([
      {
        path: 'components.0.joints.0.spills',
        wanted: 'how many litres of gearbox-oil run out, since catches.0 says "gearbox oil"',
        found: 'nothing',
      },
    ]);
    expect(joint({ spills: [{ fluid: 'gearbox-oil', refill: 'To the plug' }] })).toMatchObject([
      { path: 'components.0.joints.0.spills.0.litres', found: 'nothing' },
    ]);
  });

  it('unknown hardware, parting, fluid, and a bolt of a joint that is not there', () => {
    expect(joint({ hardware: ['pin'] })).toMatchObject([{ path: 'components.0.joints.0.hardware.0', found: '"pin"' }]);
    expect(joint({ parting: 'pull' })).toMatchObject([{ path: 'components.0.joints.0.parting', found: '"pull"' }]);
    expect(joint({ spills: [{ fluid: 'soup', litres: [1, 1, 1], refill: 'x' }] })).toMatchObject([
      { path: 'components.0.joints.0.spills.0.fluid' },
    ]);
    expect(faults([bolts('x', {}), { ...bolts('y', {}), fastens: 'x.pivot' }])).toMatchObject([
      { path: 'components.1.fastens', found: '"x.pivot"' },
    ]);
  });

  it('two bolts of one joint', () => {
    const parts = [bolts('x', {}), { ...bolts('y', {}), fastens: 'x.own' }, { ...bolts('z', {}), fastens: 'x.own' }];
    expect(faults(parts)).toMatchObject([
      { path: 'components.2.fastens', wanted: 'a joint that components.1 does not fasten' },
    ]);
  });
});

describe('bad tallies', () => {
  const part = bolts('x', {}, { count: 4, stage: 'off' });
  const sent = (...list: object[]) =>
    faults([part], { sent: list.map((one) => ({ process: 'zinc', component: 'x', date: '2026-11-20', ...one })) });

  it('more back than out, and more out than there are', () => {
    expect(sent({ out: 3, back: 4 })).toEqual([
      { path: 'sent.0.back', wanted: 'at most the 3 that went out', found: '4' },
    ]);
    expect(sent({ out: 3 }, { out: 2 })).toMatchObject([
      { path: 'sent.1.out', wanted: 'at most 4 in all, since there are no more of them', found: '5' },
    ]);
  });

  it('a part sent to a process that refuses it', () => {
    const spring: Component = { id: 'spring', name: 'Spring', kind: 'coil-spring', stage: 'off' };
    const found = faults([spring], { sent: [{ process: 'zinc', component: 'spring', out: 1, date: '2026-11-20' }] });
    expect(found).toMatchObject([{ path: 'sent.0.process', found: '"zinc"' }]);
    expect(found[0]!.wanted).toContain('does not take spring-steel');
    const hard = { ...part, properties: { thread: 'M10', class: '12.9' } };
    expect(faults([hard], { sent: [{ process: 'zinc', component: 'x', out: 1, date: '2026-11-20' }] })[0]!.path).toBe(
      'sent.0.process',
    );
  });

  it('an unknown shop, an unknown part, a day to come', () => {
    expect(sent({ process: 'moon', out: 1 })).toMatchObject([{ path: 'sent.0.process' }]);
    expect(sent({ component: 'y', out: 1 })).toMatchObject([{ path: 'sent.0.component' }]);
    expect(sent({ out: 1, date: '2027-01-01' })).toMatchObject([{ path: 'sent.0.date' }]);
  });
});

describe('a bad release ladder', () => {
  const { version: _, ...content } = rubric;
  const withRung = (
    change: (rungs: (typeof content.release.rungs)[number][]) => (typeof content.release.rungs)[number][],
  ) =>
    (
      checkRubric(
        filesOfRubric({ ...content, release: { ...content.release, rungs: change([...content.release.rungs]) } }, 'x'),
      ).faults ?? []
    ).map(({ path, wanted }) => `${path}: ${wanted}`);

  it('is refused when a gentler rung follows a harsher one', () => {
    expect(withRung((rungs) => [...rungs.slice(1), rungs[0]!]).join()).toContain(
      'a gentler step never follows a harsher one',
    );
  });

  it('is refused when a flame may stand near fuel, or on a hardened bolt that is to be kept', () => {
    const flame = (change: object) =>
      withRung((rungs) => rungs.map((rung) => (rung.id === 'flame' ? { ...rung, ...change } : rung)));
    expect(flame({ barredBy: [] }).join()).toContain('fuel among what bars it');
    expect(flame({ barredForHardened: undefined }).join()).toContain('hardened bolts');
  });

  it('is refused when a joint of a kind has a circle, no such class or no such size', () => {
    const file = fileURLToPath(new URL('../../rubric/kinds/pressed-steel-arm.yaml', import.meta.url));
    const arm = valueRead(parseDocumentText(readFileSync(file, 'utf8'), file)) as { joints: Joint[] };
    const found = (change: Partial<Joint>) => {
      const joints = arm.joints.map((one) => (one.id === 'pinch' ? { ...one, ...change } : one));
      const kind = { file: 'arm.yaml', part: 'kind' as const, layer: 1 as const, value: { ...arm, joints } };
      return (checkRubric([...filesOfRubric(content, 'x'), kind]).faults ?? []).map((fault) => fault.wanted).join();
    };
    expect(found({ undoBefore: ['pivot'] })).toContain('no circle');
    expect(found({ class: '7.7' })).toContain('a property class');
    expect(found({ thread: 'M10x7' })).toContain('a thread such as');
    expect(found({})).toBe('');
  });
});
