import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { stringify } from 'yaml';
import { LONGEST_YAML, MOST_ALIASES, parseYaml } from '../../../src/adapters/files/parse-yaml.ts';
import { parseDocumentText } from '../../../src/adapters/files/read-document.ts';

const read = (text: string) => parseYaml(text, 'a.yaml');
const wanted = (text: string) => (read(text).faults ?? []).map((fault) => fault.wanted);

describe('parseYaml()', () => {
  test('reads back what a YAML library writes', () => {
    const leaf = fc.oneof(fc.string(), fc.integer(), fc.boolean(), fc.constant(null));
    const key = fc.string({ minLength: 1 }).filter((text) => text !== '__proto__');
    const mapping = fc.dictionary(key, fc.oneof(leaf, fc.array(leaf), fc.dictionary(key, leaf)), { minKeys: 1 });
    fc.assert(
      fc.property(mapping, (value) => {
        expect(read(stringify(value)).value).toEqual({ ...value });
      }),
    );
  });

  test('takes dates, yes and no as text (YAML 1.2 core schema)', () => {
    expect(read('date: 2026-11-25\nanswer: no\nsize: 0x10').value).toEqual({
      date: '2026-11-25',
      answer: 'no',
      size: 16,
    });
  });

  test.each([
    ['a key twice', 'a: 1\na: 2', 'each key once'],
    ['a tag of its own', 'a: !run x', 'no tags'],
    ['a tag of another program', 'a: !!js/function "f"', 'no tags'],
    ['an alias of nothing', 'a: *b', 'an anchor of that name'],
    ['a second document', 'a: 1\n---\nb: 2', 'one document'],
    ['only a comment', '# nothing', 'something in the file'],
    ['a tab as indent', 'a:\n\tb: 1', 'YAML 1.2'],
    ['a key that is a list', '? [1, 2]\n: 3', 'keys that are text'],
    ['nesting without end', '['.repeat(5000), 'at most 100 lists and mappings inside each other'],
  ])('refuses %s', (_, text, reason) => {
    expect(wanted(text)).toContain(reason);
  });

  test('refuses an alias bomb without unfolding it', () => {
    const line = (name: string, of: string) => `${name}: &${name} [${Array(10).fill(`*${of}`).join(', ')}]`;
    const names = [...'abcdefghij'];
    const bomb = ['z: &z [lol]', ...names.map((name, i) => line(name, names[i - 1] ?? 'z'))].join('\n');
    expect(wanted(bomb)).toEqual([`an anchored value repeated at most ${MOST_ALIASES} times`]);
  });

  test('refuses more text than can be read in seconds, and says what else to do', () => {
    expect(wanted('a'.repeat(LONGEST_YAML + 1))[0]).toContain('or JSON instead');
  });
});

describe('parseDocumentText()', () => {
  test.each([
    ['a.json', '{"a": 1}'],
    ['a.yaml', 'a: 1'],
    ['no ending', ' {"a": 1}'],
    ['no ending', 'a: 1'],
  ])('reads %s', (name, text) => {
    expect(parseDocumentText(text, name).value).toEqual({ a: 1 });
  });

  test.each([
    ['a.yaml', 'a: { __proto__: { b: 1 } }', 'a.__proto__'],
    ['a.json', '{"a": [{"constructor": 1}]}', 'a.0.constructor'],
    ['a.yaml', 'a: [1, .nan]', 'a.1'],
    ['a.yaml', 'a: .inf', 'a'],
    ['a.json', '{"a": 1e999}', 'a'],
  ])('refuses in %s the value %s at %s', (name, text, path) => {
    expect(parseDocumentText(text, name).faults?.map((fault) => fault.path)).toEqual([path]);
  });

  test('an alias to what it stands in ends', () => {
    expect(parseDocumentText('a: &a { b: *a }', 'a.yaml').faults?.length).toBe(1);
  });
});
