import { constants } from 'node:fs';
import { access, mkdir, stat, writeFile } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { InputError } from '../../../shared/index.ts';

/**
 * Make a folder and those above it.
 *
 * @param folder Path as the user named it
 * @throws {InputError} When a file stands there, or nothing can be made there
 */
export async function makeFolder(folder: string): Promise<void> {
  try {
    await makeStep(resolve(folder));
  } catch (error) {
    throw refused(folder, 'a folder to write into', error);
  }
}

/** Step by step: Node's own recursive mode never comes back from a place such as /proc, where nothing can be made. */
async function makeStep(folder: string): Promise<void> {
  const info = await stat(folder).catch(() => null);
  if (info?.isDirectory()) return access(folder, constants.W_OK);
  if (info === null) await makeStep(dirname(folder));
  await mkdir(folder).catch(async (error: unknown) => {
    // Another program may have made it meanwhile.
    if (!(await stat(folder).catch(() => null))?.isDirectory()) throw error;
  });
}

/**
 * Make sure, before long work, that a file can be written at its end.
 *
 * @param file Path as the user named it
 * @throws {InputError} When a folder stands there, its own folder is missing, or it may not be written
 */
export async function checkWritable(file: string): Promise<void> {
  try {
    const info = await stat(file).catch(() => null);
    if (info?.isDirectory()) throw Object.assign(new Error('a folder'), { code: 'EISDIR' });
    await access(info === null ? dirname(resolve(file)) : file, constants.W_OK);
  } catch (error) {
    throw refused(file, 'a file that can be written', error);
  }
}

/**
 * Write a text file.
 *
 * @param file Path as the user named it
 * @throws {InputError} When it cannot be written
 */
export async function writeText(file: string, text: string): Promise<void> {
  try {
    await writeFile(file, text);
  } catch (error) {
    throw refused(file, 'a file that can be written', error);
  }
}

function refused(file: string, wanted: string, error: unknown): InputError {
  return new InputError([{ file, path: '', wanted, found: foundInstead(error) }], { cause: error });
}

function foundInstead(error: unknown): string {
  switch ((error as NodeJS.ErrnoException).code) {
    case 'EISDIR':
      return 'a folder';
    case 'EEXIST':
      return 'a file';
    case 'ENOTDIR':
      return 'a path that leads through a file';
    case 'ENOENT':
      return 'no folder to put it in';
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return 'a place that may not be written to';
    case 'ENOSPC':
      return 'a full disk';
    default:
      return (error as NodeJS.ErrnoException).code ?? 'a fault of the disk';
  }
}
