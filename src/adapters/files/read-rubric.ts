import { createHash } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { type Fault, InputError, type Rubric } from '../../../shared/index.ts';
import { checkRubric, LIST_PARTS, type RubricFile, type RubricPart } from '../../engine/check-rubric.ts';
import { readDocument } from './read-document.ts';
import { reasonOf } from './read-text.ts';

const PARTS = [...Object.keys(LIST_PARTS), 'settings', 'charges', 'prices'] as RubricPart[];

/**
 * Reads a rubric, and a user's own folder over it, and checks both.
 *
 * @param folder the rubric
 * @param own a folder that adds kinds or replaces entries of the same id
 * @returns the rubric with its version, a hash of its content
 * @throws InputError with every fault of every file
 */
export async function readRubric(folder: string, own?: string): Promise<Rubric> {
  const faults: Fault[] = [];
  const files = [...(await filesOf(folder, 0, faults)), ...(own === undefined ? [] : await filesOf(own, 1, faults))];
  if (faults.length > 0) throw new InputError(faults);
  const checked = checkRubric(files);
  if (checked.faults) throw new InputError(checked.faults);
  return { version: versionOf(checked.rubric), ...checked.rubric };
}

/** First twelve hexadecimal digits of the SHA-256 of the content. */
export function versionOf(content: Omit<Rubric, 'version'>): string {
  return createHash('sha256').update(JSON.stringify(content)).digest('hex').slice(0, 12);
}

async function filesOf(folder: string, layer: 0 | 1, faults: Fault[]): Promise<RubricFile[]> {
  const files: RubricFile[] = [];
  const add = async (file: string, part: RubricPart) => {
    const read = await readDocument(file);
    if (read.faults) faults.push(...read.faults);
    else files.push({ file, part, layer, value: read.value });
  };
  const names = await listed(folder, faults);
  for (const part of PARTS) {
    if (names.includes(`${part}.yaml`)) await add(join(folder, `${part}.yaml`), part);
    else if (layer === 0)
      faults.push({
        file: join(folder, `${part}.yaml`),
        path: '',
        wanted: 'this file of the rubric',
        found: 'no such file',
      });
  }
  const kinds = join(folder, 'kinds');
  if (names.includes('kinds')) {
    for (const name of await listed(kinds, faults)) if (name.endsWith('.yaml')) await add(join(kinds, name), 'kind');
  }
  return files;
}

async function listed(folder: string, faults: Fault[]): Promise<string[]> {
  try {
    return (await readdir(folder)).sort();
  } catch (error) {
    faults.push({ file: folder, path: '', wanted: 'a folder that can be read', found: reasonOf(error) });
    return [];
  }
}
