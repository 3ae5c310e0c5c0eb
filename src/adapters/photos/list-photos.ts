import { readdir, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';

const ENDINGS = new Set(['.jpg', '.jpeg', '.jpe', '.png', '.webp', '.avif', '.tif', '.tiff', '.heic', '.heif']);

/**
 * The files that a user means by some paths: files as named, folders with every picture below them in order of name, but
 * for the masks that an earlier run wrote.
 *
 * A path that does not exist is kept, so that its own line says so.
 */
export async function listPhotos(paths: readonly string[]): Promise<string[]> {
  const found: string[] = [];
  for (const path of paths) {
    const info = await stat(path).catch(() => null);
    if (info?.isDirectory()) found.push(...(await listFolder(path)));
    else found.push(path);
  }
  return [...new Set(found)];
}

async function listFolder(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true });
  entries.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
  const found: string[] = [];
  for (const entry of entries) {
    if (entry.name.startsWith('.')) continue;
    const path = join(folder, entry.name);
    if (entry.isDirectory()) found.push(...(await listFolder(path)));
    else if (ENDINGS.has(extname(entry.name).toLowerCase()) && !entry.name.endsWith('.mask.png')) found.push(path);
  }
  return found;
}
