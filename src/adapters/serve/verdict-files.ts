import { randomUUID } from 'node:crypto';
import { readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import type { KeptVerdicts, VerdictFiles } from '../../app/verdict-port.ts';

const ENDING = '.verdicts';
const NEW_LINE = 10;
const unzipped = promisify<Uint8Array, Buffer>(gunzip);

/**
 * Verdicts as files, one for each assessment: a line that says of what they are, then the document.
 *
 * @param folder for what can be made again
 * @param program text that changes whenever the code that judges does
 * @param needRoom throws when so many bytes do not fit
 */
export function verdictFiles(
  folder: string,
  program: () => Promise<string>,
  needRoom: (bytes: number) => void,
): VerdictFiles {
  const pathOf = (id: string) => join(folder, `${id}${ENDING}`);
  let known: Promise<string> | null = null;
  const ours = () => {
    known ??= program();
    return known;
  };
  return {
    async find(id) {
      try {
        const bytes = await readFile(pathOf(id));
        const end = bytes.indexOf(NEW_LINE);
        const { by, etag, ...of } = JSON.parse(bytes.toString('utf8', 0, end)) as Head;
        if (by !== (await ours())) return null;
        const gzipped = new Uint8Array(bytes.subarray(end + 1));
        // A file that a power cut left half written fails its own checksum.
        await unzipped(gzipped);
        return { ...of, packed: { etag, gzipped } };
      } catch {
        return null;
      }
    },
    async keep(id, { packed, ...of }) {
      const part = join(folder, `${randomUUID()}.part`);
      try {
        needRoom(packed.gzipped.length);
        const head: Head = { by: await ours(), etag: packed.etag, ...of };
        await writeFile(part, Buffer.concat([Buffer.from(`${JSON.stringify(head)}\n`), packed.gzipped]), {
          mode: 0o600,
        });
        await rename(part, pathOf(id));
      } catch {
        // Judged again after the next start.
        await rm(part, { force: true }).catch(() => undefined);
      }
    },
    async keepOnly(ids) {
      const files = await readdir(folder).catch(() => []);
      const gone = files.filter((file) => file.endsWith(ENDING) && !ids.has(file.slice(0, -ENDING.length)));
      for (const file of gone) await rm(join(folder, file), { force: true }).catch(() => undefined);
    },
  };
}

interface Head extends Omit<KeptVerdicts, 'packed'> {
  by: string;
  etag: string;
}
