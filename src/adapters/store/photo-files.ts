import { createHash, randomUUID } from 'node:crypto';
import { existsSync, mkdirSync } from 'node:fs';
import { open, readFile, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { writeFault } from '../../../shared/store-error.ts';
import type { PhotoFiles } from '../../app/store-port.ts';
import { syncPath } from './embedded.ts';

const ADDRESS = /^[0-9a-f]{64}\.[a-z0-9]{1,5}$/;

/**
 * Photos as files named by the SHA-256 of their content, in 256 folders. A file appears whole or not at all: it is written
 * under another name, synced, renamed, and its folder synced.
 *
 * @param needRoom throws when so many bytes do not fit
 */
export function photoFiles(folder: string, needRoom: (bytes: number) => void): PhotoFiles {
  const pathOf = (address: string) => (ADDRESS.test(address) ? join(folder, address.slice(0, 2), address) : null);
  return {
    async put(bytes, ending) {
      const address = `${createHash('sha256').update(bytes).digest('hex')}.${ending}`;
      const path = pathOf(address);
      if (!path) throw new RangeError(`Cannot keep a file with the ending ${JSON.stringify(ending)}`);
      if (existsSync(path)) return address;
      needRoom(bytes.length);
      const shelf = join(folder, address.slice(0, 2));
      const draft = join(folder, `${randomUUID()}.part`);
      try {
        if (!existsSync(shelf)) {
          mkdirSync(shelf, { recursive: true, mode: 0o700 });
          syncPath(folder);
        }
        const handle = await open(draft, 'wx', 0o600);
        try {
          await handle.writeFile(bytes);
          await handle.sync();
        } finally {
          await handle.close();
        }
        await rename(draft, path);
        syncPath(shelf);
      } catch (error) {
        await rm(draft, { force: true });
        throw writeFault(error, folder);
      }
      return address;
    },
    async get(address) {
      const path = pathOf(address);
      if (!path) return undefined;
      try {
        return await readFile(path);
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
        throw error;
      }
    },
    async remove(address) {
      const path = pathOf(address);
      if (path) await rm(path, { force: true });
    },
  };
}
