import { createHash } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { type Fault, InputError, type Rubric } from '../../../shared/index.ts';
import { checkRubric, LIST_PARTS, type RubricFile, type RubricPart } from '../../engine/check-rubric.ts';
import type { CompiledRubric, FileText } from './compiled-rubric.ts';
import { parseDocumentText } from './read-document.ts';
import { readText, reasonOf } from './read-text.ts';

const PARTS = [...Object.keys(LIST_PARTS), 'settings', 'charges', 'prices', 'release'] as RubricPart[];

interface Found {
  file: string;
  part: RubricPart;
  layer: 0 | 1;
}

/**
 * Reads a rubric, and a user's own folder over it, and checks both.
 *
 * @param folder the rubric
 * @param own a folder that adds kinds or replaces entries of the same id
 * @param compiled where `folder` alone is kept checked
 * @returns the rubric with its version, a hash of its content
 * @throws InputError with every fault of every file
 */
export async function readRubric(folder: string, own?: string, compiled?: CompiledRubric): Promise<Rubric> {
  const faults: Fault[] = [];
  const found = [...(await filesOf(folder, 0, faults)), ...(own === undefined ? [] : await filesOf(own, 1, faults))];
  const texts: (Found & FileText)[] = [];
  for (const entry of found) {
    const read = await readText(entry.file);
    if (read.faults) faults.push(...read.faults);
    else texts.push({ ...entry, text: read.value });
  }
  const kept = own === undefined && faults.length === 0 ? await compiled?.find(texts) : null;
  if (kept) return kept;
  const files: RubricFile[] = [];
  for (const { file, part, layer, text } of texts) {
    const read = parseDocumentText(text, file);
    if (read.faults) faults.push(...read.faults);
    else files.push({ file, part, layer, value: read.value });
  }
  if (faults.length > 0) throw new InputError(faults);
  const checked = checkRubric(files);
  if (checked.faults) throw new InputError(checked.faults);
  const rubric = { version: versionOf(checked.rubric), ...checked.rubric };
  if (own === undefined) await compiled?.keep(texts, rubric);
  return rubric;
}

/** First twelve hexadecimal digits of the SHA-256 of the content. */
export function versionOf(content: Omit<Rubric, 'version'>): string {
  return createHash('sha256').update(JSON.stringify(content)).digest('hex').slice(0, 12);
}

async function filesOf(folder: string, layer: 0 | 1, faults: Fault[]): Promise<Found[]> {
  const found: Found[] = [];
  const names = await listed(folder, faults);
  for (const part of PARTS) {
    const file = join(folder, `${part}.yaml`);
    if (names.includes(`${part}.yaml`)) found.push({ file, part, layer });
    else if (layer === 0) faults.push({ file, path: '', wanted: 'this file of the rubric', found: 'no such file' });
  }
  const kinds = join(folder, 'kinds');
  for (const name of names.includes('kinds') ? await listed(kinds, faults) : []) {
    if (name.endsWith('.yaml')) found.push({ file: join(kinds, name), part: 'kind', layer });
  }
  return found;
}

async function listed(folder: string, faults: Fault[]): Promise<string[]> {
  try {
    return (await readdir(folder)).sort();
  } catch (error) {
    faults.push({ file: folder, path: '', wanted: 'a folder that can be read', found: reasonOf(error) });
    return [];
  }
}
