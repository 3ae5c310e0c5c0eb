import { type Fault, showFound } from '../../../shared/index.ts';
import type { Read } from './read-text.ts';

/** Deepest nesting of lists and mappings; an honest file has about ten. */
export const DEEPEST = 100;

// A number as RFC 8259 writes it.
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const BLANKS = /[ \t\n\r]*/y;

class Cut extends Error {}

/**
 * Reads JSON (RFC 8259) and says what `JSON.parse` would not: the line and column of a mistake, and keys given twice.
 *
 * @param file name for the fault
 * @returns the value, or the first mistake of grammar; keys given twice are all reported
 */
export function parseJson(text: string, file: string): Read<unknown> {
  const faults: Fault[] = [];
  let at = 0;

  const stop = (wanted: string): never => {
    const ended = at >= text.length;
    const found = ended
      ? `the end of the file (${place(text, at)}): it is cut short`
      : `${showFound(text[at])} (${place(text, at)})`;
    faults.push({ file, path: '', wanted, found });
    throw new Cut();
  };
  const skip = () => {
    BLANKS.lastIndex = at;
    BLANKS.test(text);
    at = BLANKS.lastIndex;
  };
  const take = (pattern: RegExp): string | null => {
    pattern.lastIndex = at;
    const match = pattern.exec(text);
    if (match === null) return null;
    at = pattern.lastIndex;
    return match[0];
  };
  const string = (what: string): string => {
    if (text[at] !== '"') stop(what);
    const start = at++;
    while (at < text.length && text[at]! >= ' ' && text[at] !== '"') at += text[at] === '\\' ? 2 : 1;
    if (text[at] !== '"') stop('a string closed by a quotation mark on its own line');
    at++;
    const raw = text.slice(start, at);
    if (!raw.includes('\\')) return raw.slice(1, -1);
    try {
      return JSON.parse(raw) as string;
    } catch {
      at = start;
      return stop('a string with escapes that JSON knows');
    }
  };

  const value = (path: string, depth: number): unknown => {
    if (depth > DEEPEST) stop(`at most ${DEEPEST} lists and mappings inside each other`);
    skip();
    const first = text[at];
    if (first === '{') return mapping(path, depth);
    if (first === '[') return list(path, depth);
    if (first === '"') return string('a string');
    for (const [word, meaning] of [
      ['true', true],
      ['false', false],
      ['null', null],
    ] as const) {
      if (text.startsWith(word, at)) {
        at += word.length;
        return meaning;
      }
    }
    const number = take(NUMBER);
    return number === null
      ? stop('a value (a number, a string in quotation marks, true, false, null, { or [)')
      : Number(number);
  };

  const list = (path: string, depth: number): unknown[] => {
    const items: unknown[] = [];
    at++;
    skip();
    if (text[at] === ']') at++;
    else {
      for (;;) {
        items.push(value(join(path, String(items.length)), depth + 1));
        skip();
        if (text[at] === ']') break;
        if (text[at] !== ',') stop('a comma or ]');
        at++;
      }
      at++;
    }
    return items;
  };

  const mapping = (path: string, depth: number): object => {
    const entries: Record<string, unknown> = Object.create(null);
    at++;
    skip();
    if (text[at] === '}') at++;
    else {
      for (;;) {
        skip();
        const start = at;
        const key = string('a key in quotation marks');
        if (key in entries) {
          faults.push({
            file,
            path: join(path, key),
            wanted: 'each key once',
            found: `the key a second time (${place(text, start)})`,
          });
        }
        skip();
        if (text[at] !== ':') stop('a colon after the key');
        at++;
        entries[key] = value(join(path, key), depth + 1);
        skip();
        if (text[at] === '}') break;
        if (text[at] !== ',') stop('a comma or }');
        at++;
      }
      at++;
    }
    // Own properties, `__proto__` too: what it may mean is for the next step to refuse.
    const plain = {};
    for (const [key, entry] of Object.entries(entries)) {
      Object.defineProperty(plain, key, { value: entry, enumerable: true, writable: true, configurable: true });
    }
    return plain;
  };

  try {
    const whole = value('', 0);
    skip();
    if (at < text.length) stop('nothing after the end of the document');
    return faults.length > 0 ? { faults } : { value: whole };
  } catch (error) {
    if (error instanceof Cut) return { faults };
    throw error;
  }
}

function join(path: string, key: string): string {
  return path === '' ? key : `${path}.${key}`;
}

function place(text: string, at: number): string {
  const before = text.slice(0, at);
  const line = before.split('\n').length;
  return `line ${line}, column ${at - before.lastIndexOf('\n')}`;
}
