import { readFile, stat } from 'node:fs/promises';
import type { Fault } from '../../../shared/index.ts';

/** Largest file that is read, bytes. A larger one is refused unread. */
export const LARGEST_FILE_BYTES = 20 * 1024 * 1024;

/** What was read, or what is wrong with it. */
export type Read<T> = { value: T; faults?: undefined } | { value?: undefined; faults: Fault[] };

/**
 * Reads a text file as UTF-8, without its byte order mark.
 *
 * @param file path as the user named it
 * @returns the text, or one fault: no such file, not a file, larger than `LARGEST_FILE_BYTES`, not UTF-8, empty
 */
export async function readText(file: string): Promise<Read<string>> {
  const fault = (wanted: string, found: string) => ({ faults: [{ file, path: '', wanted, found }] });
  let bytes: Buffer;
  try {
    const { size, ...about } = await stat(file).then((s) => ({
      size: s.size,
      isFile: s.isFile(),
      isFolder: s.isDirectory(),
    }));
    if (!about.isFile) return fault('a file', about.isFolder ? 'a folder' : 'something that is not a plain file');
    if (size > LARGEST_FILE_BYTES) {
      return fault(`a file of at most ${megabytes(LARGEST_FILE_BYTES)} MB`, `${megabytes(size)} MB`);
    }
    bytes = await readFile(file);
  } catch (error) {
    return fault('a file that can be read', reasonOf(error));
  }
  return decode(bytes, file);
}

/**
 * Text of bytes in UTF-8, without a byte order mark; one fault when they are not UTF-8 or nothing but blanks.
 *
 * @param file name for the fault
 */
export function decode(bytes: Uint8Array, file: string): Read<string> {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return { faults: [{ file, path: '', wanted: 'text in UTF-8', found: foundInstead(bytes) }] };
  }
  if (text.trim() === '')
    return { faults: [{ file, path: '', wanted: 'something in the file', found: 'an empty file' }] };
  return { value: text };
}

function foundInstead(bytes: Uint8Array): string {
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) return 'UTF-16';
  return 'bytes that are not UTF-8';
}

function megabytes(bytes: number): string {
  return (bytes / 1024 / 1024).toFixed(bytes % (1024 * 1024) === 0 ? 0 : 1);
}

/** Why the operating system refused, in words. */
export function reasonOf(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT') return 'no such file';
  if (code === 'EACCES' || code === 'EPERM') return 'a file that may not be read';
  if (code === 'ENOTDIR') return 'a path that leads through a file';
  if (code === 'EISDIR') return 'a folder';
  return code ?? 'a fault of the disk';
}
