import { extname } from 'node:path';
import { type Fault, InputError } from '../../../shared/index.ts';
import { parseJson } from './parse-json.ts';
import { parseYaml } from './parse-yaml.ts';
import { type Read, readText } from './read-text.ts';

// Keys that would reach an object's prototype if a program copied them carelessly.
const REFUSED_KEYS = new Set(['__proto__', 'constructor', 'prototype']);

/**
 * Reads one JSON or YAML file as plain data: by the ending of its name, else JSON when it begins with `{` or `[`.
 *
 * @param file path as the user named it
 * @returns plain data without prototype keys and without numbers that are not finite, or every fault found
 */
export async function readDocument(file: string): Promise<Read<unknown>> {
  const text = await readText(file);
  return text.faults ? text : parseDocumentText(text.value, file);
}

/** As `readDocument`, for text already in hand. */
export function parseDocumentText(text: string, file: string): Read<unknown> {
  const ending = extname(file).toLowerCase();
  const isJson = ending === '.json' || (ending !== '.yaml' && ending !== '.yml' && /^\s*[{[]/.test(text));
  const parsed = isJson ? parseJson(text, file) : parseYaml(text, file);
  if (parsed.faults) return parsed;
  const faults = refuse(parsed.value, file);
  return faults.length > 0 ? { faults } : parsed;
}

/** The value read. @throws InputError with every fault when there is none */
export function valueRead<T>(read: Read<T>): T {
  if (read.faults) throw new InputError(read.faults);
  return read.value as T;
}

function refuse(root: unknown, file: string): Fault[] {
  const faults: Fault[] = [];
  // A value repeated by aliases is one object: seen once is enough.
  const seen = new Set<object>();
  const around = new Set<object>();
  const walk = (value: unknown, path: string): void => {
    if (typeof value === 'number' && !Number.isFinite(value)) {
      faults.push({ file, path, wanted: 'a finite number', found: String(value) });
    }
    if (value === null || typeof value !== 'object') return;
    if (around.has(value))
      faults.push({ file, path, wanted: 'a value that ends', found: 'an alias to what it stands in' });
    if (seen.has(value)) return;
    seen.add(value);
    around.add(value);
    for (const [key, entry] of Object.entries(value)) {
      const here = path === '' ? key : `${path}.${key}`;
      if (REFUSED_KEYS.has(key)) faults.push({ file, path: here, wanted: 'another key', found: key });
      else walk(entry, here);
    }
    around.delete(value);
  };
  walk(root, '');
  return faults;
}
