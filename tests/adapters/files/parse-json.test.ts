import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { DEEPEST, parseJson } from '../../../src/adapters/files/parse-json.ts';

const told = (text: string) =>
  (parseJson(text, 'a.json').faults ?? []).map(({ path, wanted, found }) => ({ path, wanted, found }));

describe('parseJson()', () => {
  test('reads what JSON.parse reads, and writes it back the same', () => {
    fc.assert(
      fc.property(fc.json(), (text) => {
        expect(JSON.stringify(parseJson(text, 'a.json').value)).toBe(JSON.stringify(JSON.parse(text)));
      }),
    );
  });

  test('refuses whatever JSON.parse refuses', () => {
    const broken = fc
      .tuple(fc.json(), fc.nat(), fc.constantFrom('', '}', ']', ',', '"', "'", 'NaN', '01', '\t"', '\\'))
      .map(
        ([text, at, piece]) => text.slice(0, at % (text.length + 1)) + piece + text.slice((at + 1) % (text.length + 1)),
      );
    fc.assert(
      fc.property(broken, (text) => {
        let isJson = true;
        try {
          JSON.parse(text);
        } catch {
          isJson = false;
        }
        // Keys given twice are the one thing that this reader refuses and JSON.parse takes.
        const faults = told(text).filter((fault) => fault.wanted !== 'each key once');
        expect(faults.length === 0).toBe(isJson);
      }),
    );
  });

  it('says where a key stands a second time, every one of them', () => {
    expect(told('{"a": 1,\n "a": 2, "b": {"c": 1, "c": 2}}').map((fault) => [fault.path, fault.found])).toEqual([
      ['a', 'the key a second time (line 2, column 2)'],
      ['b.c', 'the key a second time (line 2, column 24)'],
    ]);
  });

  it('says that a file is cut short, and where', () => {
    expect(told('{"name": "arm"')).toEqual([
      { path: '', wanted: 'a comma or }', found: 'the end of the file (line 1, column 15): it is cut short' },
    ]);
  });

  it('refuses nesting that would take the stack', () => {
    expect(told('['.repeat(100_000))[0]?.wanted).toBe(`at most ${DEEPEST} lists and mappings inside each other`);
  });

  it('keeps a prototype key as a key of its own', () => {
    const { value } = parseJson('{"__proto__": {"polluted": true}}', 'a.json');
    expect(Object.keys(value as object)).toEqual(['__proto__']);
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });
});
