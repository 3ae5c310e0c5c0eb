import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, describe, expect, test } from 'vitest';
import { ScoreOut } from '../../shared/index.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'keepworthy-cli-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function keepworthy(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [join(root, '.build/keepworthy.mjs'), ...args], {
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  return { status, stdout, stderr };
}

function file(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

const demo = readFileSync(join(root, 'demo-data/corner.yaml'), 'utf8');
const blank = () => JSON.parse(keepworthy('new', 'front-corner').stdout);

describe('keepworthy', () => {
  test('demo prints the sorted list within 80 columns', () => {
    const { status, stdout, stderr } = keepworthy('demo');
    expect([status, stderr]).toEqual([0, '']);
    expect(Math.max(...stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    expect(stdout).not.toContain('\u001b');
  });

  test('demo pre-purchase is a look at a whole car: what nobody saw stands apart, and other answers narrow its index', () => {
    const { stdout } = keepworthy('demo', 'pre-purchase', '--minutes', '30');
    expect(stdout).toMatch(/Nothing seen of these \d+ yet: open, not sound/);
    expect(Math.max(...stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    const score = ScoreOut.parse(JSON.parse(keepworthy('demo', 'pre-purchase', '--json', '--minutes', '30').stdout));
    expect(score.components.length + score.alwaysNew.length).toBe(60);
    const unseen = score.components.filter(({ facts }) => facts.every(({ state }) => state === 'unknown'));
    expect(unseen.length).toBeGreaterThan(40);
    // Cheap screws may be settled unseen, as replaced; nothing unseen is settled as sound.
    for (const { verdict } of unseen)
      expect(`${verdict.firmness} ${verdict.action}`).not.toMatch(/^settled re(use|finish)/);
    const widths = unseen.flatMap(({ index }) => (index ? [index.likelyHigh - index.likelyLow] : []));
    // The whole scale is 100; fifteen answers elsewhere say how rusty the car is.
    expect(widths.sort((a, b) => a - b)[Math.floor(widths.length / 2)]).toBeLessThan(75);
    const minutes = score.nextLooks.reduce((sum, look) => sum + look.minutes, 0);
    expect(minutes).toBeLessThanOrEqual(30);
    expect(keepworthy('demo', 'nowhere').status).toBe(2);
  });

  test('score --json prints one document of the contract', () => {
    const { status, stdout } = keepworthy('score', join(root, 'demo-data/corner.yaml'), '--json', '--seed', '5');
    expect(status).toBe(0);
    expect(ScoreOut.parse(JSON.parse(stdout)).components.length).toBeGreaterThan(20);
  });

  test('schema prints what a general JSON Schema checker takes, and the documents of the program fit it', () => {
    const checkers = Object.fromEntries(
      ['assessment', 'score', 'kind'].map((name) => {
        const { status, stdout } = keepworthy('schema', name);
        expect(status).toBe(0);
        return [name, new Ajv2020({ strict: false, allErrors: true }).compile(JSON.parse(stdout))];
      }),
    );
    const isFit = (name: string, document: unknown) => checkers[name]!(document);
    const checklist = blank();
    expect(checklist.$schema).toBe('assessment.schema.json');
    expect(isFit('assessment', checklist)).toBe(true);
    expect(isFit('assessment', { ...checklist, horizonYears: '5' })).toBe(false);
    expect(isFit('assessment', { ...checklist, wheels: 4 })).toBe(false);
    expect(isFit('score', JSON.parse(keepworthy('demo', '--json').stdout))).toBe(true);
    const { kinds } = JSON.parse(keepworthy('rubric', '--json').stdout);
    expect(kinds.length).toBeGreaterThan(7);
    for (const kind of kinds) expect(isFit('kind', kind)).toBe(true);
    expect(isFit('kind', { ...kinds[0], knockOuts: [] })).toBe(false);
    expect(keepworthy('schema', 'wheel').status).toBe(1);
  });

  test('grade --json gives the grades of ISO 4628-3, ASTM D610 Table 1 and ISO 10289 Table 1', () => {
    expect(JSON.parse(keepworthy('grade', '0.3', '--json').stdout)).toEqual({
      percent: 0.3,
      iso4628_3: ['Ri 1', 'Ri 2'],
      astmD610: 7,
      iso10289: 7,
    });
    expect(keepworthy('grade', '101').status).toBe(1);
  });

  test('new gives a checklist that can be scored, and YAML that says how to look', () => {
    const json = file('blank.json', keepworthy('new', 'front-corner').stdout);
    expect(keepworthy('score', json, '--json').status).toBe(0);
    const yaml = keepworthy('new', 'front-corner', '--yaml').stdout;
    expect(yaml).toContain('# ');
    expect(keepworthy('score', file('blank.yaml', yaml), '--json').status).toBe(0);
  });

  test('rubric finds no fault in its own, and lists numbers by source', () => {
    expect(keepworthy('rubric').stdout).toContain('no fault found');
    expect(JSON.parse(keepworthy('rubric', '--sources', '--json').stdout).total).toBeGreaterThan(100);
  });

  test.each([
    ['an unknown command', ['frobnicate'], 2],
    ['a missing argument', ['score'], 2],
    ['a seed that is no number', ['score', 'x', '--seed', 'many'], 2],
    ['a file that is not there', ['score', join(folder, 'nowhere.yaml')], 1],
    ['an unknown assembly', ['new', 'moon-buggy'], 1],
    ['help', ['--help'], 0],
  ])('%s ends with the right code and no stack trace', (_, args, status) => {
    const result = keepworthy(...(args as string[]));
    expect(result.status).toBe(status);
    expect(result.stderr).not.toMatch(/\n\s+at /);
  });

  test.each([
    ['an empty file', 'empty.yaml', '', /empty/],
    ['JSON cut short', 'cut.json', '{"format": "keepworthy-assessment/1", "na', /wanted/],
    ['a custom tag', 'tag.yaml', 'a: !!js/function "x"\n', /tag/i],
    ['a prototype key', 'proto.json', '{"__proto__": {"x": 1}}', /another key/],
    [
      'an alias bomb',
      'bomb.yaml',
      `a: &a [x,x,x,x,x,x,x,x,x,x]\n${'bcdefgh'.replace(/./g, (k, i: number) => `${k}: &${k} [${Array(10).fill(`*${'abcdefg'[i]}`).join(',')}]\n`)}`,
      /repeated/,
    ],
    ['NaN', 'nan.yaml', 'a: .nan\n', /finite/],
  ])('%s is told in words with exit code 1', (_, name, text, words) => {
    const { status, stdout, stderr } = keepworthy('score', file(name, text));
    expect([status, stdout]).toEqual([1, '']);
    expect(stderr).toMatch(words);
    expect(stderr).not.toMatch(/\n\s+at /);
  });

  test('a file of 50 MB is refused unread', () => {
    expect(keepworthy('score', file('big.json', ' '.repeat(50 * 1024 * 1024))).stderr).toMatch(/at most 20 MB/);
  });

  test('every fault of an assessment is told at once, each with its path', () => {
    const bad = blank();
    bad.date = '2999-01-01';
    bad.components[0].kind = 'flux-capacitor';
    bad.components[1].id = bad.components[0].id;
    bad.components[2].observations = [{ check: 'no-such-check', value: 1, date: '2026-01-01' }];
    bad.rates.own = -1;
    const { status, stderr } = keepworthy('score', file('bad.json', JSON.stringify(bad)));
    expect(status).toBe(1);
    for (const path of [
      'date',
      'components.0.kind',
      'components.1.id',
      'components.2.observations.0.check',
      'rates.own',
    ])
      expect(stderr).toContain(`at ${path}: wanted`);
  });

  test('control and bidi characters in names are shown, never sent', () => {
    const tricky = demo.replace(/^name: .*$/m, 'name: "Sly \\e[31m\\u202Ename"');
    const { status, stdout } = keepworthy('score', file('tricky.yaml', tricky));
    expect(status).toBe(0);
    expect(stdout).toContain('\\u{1b}[31m\\u{202e}name');
    expect(stdout).not.toMatch(/[\u001b\u202e]/);
  });

  test('a kind can be added from a folder as data alone', () => {
    const kind = readFileSync(join(root, 'rubric/kinds/anti-roll-bar-link.yaml'), 'utf8');
    expect(keepworthy('rubric', 'anti-roll-bar-link', '--folder', join(folder, 'none')).status).toBe(1);
    const own = mkdtempSync(join(folder, 'own-'));
    spawnSync('mkdir', [join(own, 'kinds')]);
    writeFileSync(join(own, 'kinds', 'anti-roll-bar-link.yaml'), kind.replace(/^name: .*$/m, 'name: Our own link'));
    expect(keepworthy('rubric', 'anti-roll-bar-link', '--folder', own).stdout).toContain('Our own link');
  });
});
