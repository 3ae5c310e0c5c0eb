import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeEach, describe, expect, test } from 'vitest';
import type { InputError } from '../../../shared/index.ts';
import { compiledRubric } from '../../../src/adapters/files/compiled-rubric.ts';
import { readRubric } from '../../../src/adapters/files/read-rubric.ts';
import { decode, LARGEST_FILE_BYTES, readText } from '../../../src/adapters/files/read-text.ts';

const ours = fileURLToPath(new URL('../../../rubric', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'keepworthy-files-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const copy = join(folder, 'rubric');
beforeEach(() => {
  rmSync(copy, { recursive: true, force: true });
  cpSync(ours, copy, { recursive: true });
});

const faultsOf = (promise: Promise<unknown>) =>
  promise.then(
    () => [],
    (error) => (error as InputError).faults,
  );

describe('readRubric()', () => {
  test('takes a kept rubric only while every file is as it was', async () => {
    const kept = compiledRubric(join(folder, 'kept.json'), 'program 1');
    const first = await readRubric(copy, undefined, kept);
    const before = statSync(join(folder, 'kept.json')).ino;
    expect(await readRubric(copy, undefined, kept)).toEqual(first);
    // Keeping again would have put a new file in its place.
    expect(statSync(join(folder, 'kept.json')).ino).toBe(before);

    const settings = join(copy, 'settings.yaml');
    const { atime, mtime } = statSync(settings);
    writeFileSync(settings, readFileSync(settings, 'utf8').replace('tie: { value: 0.02', 'tie: { value: 0.03'));
    utimesSync(settings, atime, mtime);
    const changed = await readRubric(copy, undefined, kept);
    expect([changed.settings.tie.value, changed.version === first.version]).toEqual([0.03, false]);
  });

  test('reads again when the program changed, and when what was kept is damaged', async () => {
    const path = join(folder, 'kept-too.json');
    const first = await readRubric(copy, undefined, compiledRubric(path, 'program 1'));
    const settings = { ...first.settings, name: 'not from the files' };
    const text = readFileSync(path, 'utf8');
    writeFileSync(path, JSON.stringify({ ...JSON.parse(text), rubric: { ...first, settings } }));
    expect((await readRubric(copy, undefined, compiledRubric(path, 'program 2'))).settings.name).toBe(
      first.settings.name,
    );
    writeFileSync(path, text.slice(0, 500));
    expect(await readRubric(copy, undefined, compiledRubric(path, 'program 2'))).toEqual(first);
  });

  test('does not need to keep anything', async () => {
    const nowhere = compiledRubric(join(folder, 'no', 'such', 'folder.json'), 'program 1');
    expect((await readRubric(copy, undefined, nowhere)).kinds.length).toBeGreaterThan(7);
  });

  test('tells the faults of every file at once', async () => {
    writeFileSync(join(copy, 'kinds', 'hub-nut.yaml'), 'id: [');
    writeFileSync(join(copy, 'prices.yaml'), '');
    rmSync(join(copy, 'cautions.yaml'));
    const faults = await faultsOf(readRubric(copy));
    expect(new Set(faults.map((fault: { file: string }) => fault.file))).toEqual(
      new Set(['kinds/hub-nut.yaml', 'prices.yaml', 'cautions.yaml'].map((name) => join(copy, name))),
    );
  });

  test('says that a folder of one owner is not there', async () => {
    expect((await faultsOf(readRubric(ours, join(folder, 'mine'))))[0]).toMatchObject({ found: 'no such file' });
  });

  test('lays an own folder over ours', async () => {
    const mine = join(folder, 'own');
    mkdirSync(mine, { recursive: true });
    writeFileSync(
      join(mine, 'cautions.yaml'),
      '- { id: brakes, text: "Two people look at every brake", from: own-judgement }\n',
    );
    const [plain, laid] = [await readRubric(ours), await readRubric(ours, mine)];
    expect(laid.cautions.find((caution) => caution.id === 'brakes')?.text).toBe('Two people look at every brake');
    expect(laid.cautions.length).toBe(plain.cautions.length);
  });
});

describe('readText()', () => {
  test.each([
    ['nothing there', () => join(folder, 'none'), 'no such file'],
    ['a folder', () => folder, 'a folder'],
    ['a path through a file', () => join(copy, 'prices.yaml', 'x'), 'a path that leads through a file'],
  ])('says of %s what it found', async (_, path, found) => {
    expect((await readText(path())).faults?.[0]?.found).toBe(found);
  });

  test('refuses a file that is too large without reading it', async () => {
    const path = join(folder, 'large.json');
    writeFileSync(path, '');
    const { truncateSync } = await import('node:fs');
    truncateSync(path, LARGEST_FILE_BYTES + 1);
    expect((await readText(path)).faults?.[0]?.wanted).toContain('20 MB');
  });

  test.each<[string, number[], string]>([
    ['UTF-16', [0xff, 0xfe, 0x61, 0], 'UTF-16'],
    ['Latin letters', [0x61, 0xe9, 0x62], 'bytes that are not UTF-8'],
    ['blanks', [0x20, 0x0a], 'an empty file'],
  ])('refuses %s', (_, bytes, found) => {
    expect(decode(Uint8Array.from(bytes), 'a').faults?.[0]?.found).toBe(found);
  });

  test('leaves a byte order mark out', () => {
    expect(decode(Uint8Array.from([0xef, 0xbb, 0xbf, 0x61]), 'a').value).toBe('a');
  });
});
