import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { StoreError, writeFault } from '../../../shared/store-error.ts';
import { syncPath } from './embedded.ts';
import { lockFolder } from './lock.ts';

/** Layout of the data folder. A folder that says a higher number is left alone. */
export const DATA_FORMAT = 1;

/** Room left on the disk below which nothing more is written, bytes: the database itself must never run out in mid-write. */
export const SPARE_BYTES = 48 * 1024 * 1024;

export interface DataFolder {
  path: string;
  database: string;
  photos: string;
  /** Made from what is kept, and can be made again: thumbnails. */
  cache: string;
  certificate: string;
  /** @throws {StoreError} `disk-full` when less than `SPARE_BYTES` and `bytes` are left */
  needRoom(bytes?: number): void;
  close(): void;
}

/** Where data lies unless said otherwise: `$XDG_DATA_HOME/keepworthy`, by default `~/.local/share/keepworthy`. */
export function defaultDataFolder(env: Record<string, string | undefined>): string {
  // The XDG Base Directory Specification: a path that is not absolute is to be ignored.
  const home = env.XDG_DATA_HOME;
  return join(home?.startsWith('/') ? home : join(homedir(), '.local', 'share'), 'keepworthy');
}

/**
 * Opens a data folder, making what is missing, and becomes its one owner.
 *
 * @param options `shared`: the database is elsewhere, so that several processes may use the folder's files at once
 * @throws {StoreError} `in-use`, `newer`, `read-only`, `disk-full`, `damaged`
 */
export async function openDataFolder(where: string, options: { shared?: boolean } = {}): Promise<DataFolder> {
  const path = resolve(where);
  const folder = {
    path,
    database: join(path, 'database'),
    photos: join(path, 'photos'),
    cache: join(path, 'cache'),
    certificate: join(path, 'certificate'),
  };
  try {
    mkdirSync(path, { recursive: true, mode: 0o700 });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST' || (error as NodeJS.ErrnoException).code === 'ENOTDIR') {
      throw new StoreError('damaged', `Cannot use ${path} as the data folder: wanted a folder, found a file`);
    }
    throw writeFault(error, path);
  }
  refuseNewer(path);
  const release = options.shared ? () => {} : await lockFolder(path);
  try {
    for (const part of [folder.database, folder.photos, folder.cache])
      mkdirSync(part, { recursive: true, mode: 0o700 });
    markFormat(path);
  } catch (error) {
    release();
    throw writeFault(error, path);
  }
  return {
    ...folder,
    needRoom(bytes = 0) {
      const { bavail, bsize } = statfsSync(path);
      if (bavail * bsize < SPARE_BYTES + bytes) {
        throw new StoreError(
          'disk-full',
          `Cannot write to ${path}: wanted ${megabytes(SPARE_BYTES + bytes)} MB free, found ${megabytes(bavail * bsize)} MB. Nothing was changed`,
        );
      }
    },
    close: release,
  };
}

function refuseNewer(path: string): void {
  const mark = join(path, 'keepworthy.json');
  if (!existsSync(mark)) return;
  let format: unknown;
  try {
    format = (JSON.parse(readFileSync(mark, 'utf8')) as { format?: unknown }).format;
  } catch (error) {
    throw new StoreError('damaged', `Cannot read ${mark}: wanted JSON with a format number`, { cause: error });
  }
  if (typeof format !== 'number') throw new StoreError('damaged', `Cannot read ${mark}: wanted a format number`);
  if (format > DATA_FORMAT) throw newer(path, `format ${format}, this one knows ${DATA_FORMAT}`);
}

/** The refusal of data that a newer version wrote. */
export function newer(what: string, found: string): StoreError {
  return new StoreError(
    'newer',
    `Cannot open ${what}: a newer version of Keepworthy wrote it (${found}). Nothing was changed. Use that version, or another folder with --data`,
  );
}

function markFormat(path: string): void {
  const mark = join(path, 'keepworthy.json');
  if (existsSync(mark)) return;
  const draft = `${mark}.part`;
  try {
    writeFileSync(draft, `${JSON.stringify({ format: DATA_FORMAT })}\n`, { flush: true });
    renameSync(draft, mark);
    syncPath(path);
  } finally {
    rmSync(draft, { force: true });
  }
}

function megabytes(bytes: number): string {
  return (bytes / 1024 / 1024).toFixed(0);
}
