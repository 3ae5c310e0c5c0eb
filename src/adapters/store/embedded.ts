import {
  closeSync,
  cpSync,
  existsSync,
  fsyncSync,
  openSync,
  readdirSync,
  renameSync,
  rmdirSync,
  rmSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { PGlite } from '@electric-sql/pglite';
import { NodeFS } from '@electric-sql/pglite/nodefs';

/** What kysely's PostgreSQL dialect needs of a pool, over the one connection that the embedded database has. */
export interface EmbeddedPool {
  connect(): Promise<EmbeddedClient>;
  end(): Promise<void>;
}

export interface EmbeddedClient {
  query(sql: string, parameters: readonly unknown[]): Promise<QueryAnswer>;
  release(): void;
}

interface QueryAnswer {
  command: 'SELECT' | 'INSERT' | 'UPDATE' | 'DELETE' | 'MERGE' | 'COMMIT' | 'ROLLBACK';
  rowCount: number;
  rows: unknown[];
}

export interface EmbeddedDatabase {
  pool: EmbeddedPool;
  /** How often the database has had a file or folder synced to the disk so far. */
  syncs(): number;
}

/** The database's program as it starts. */
type Program = Parameters<NodeFS['init']>[1];

/** A stream of the database's file system, as far as syncing needs it. */
interface Stream {
  nfd?: number;
  node: { mode: number };
  path: string;
}

interface NodeFileSystem {
  stream_ops: { fsync?: (stream: Stream) => number };
  realPath(node: Stream['node']): string;
}

/**
 * Opens the embedded PostgreSQL in a folder so that a commit is acknowledged only when it is on the disk.
 *
 * As it comes, the embedded database never syncs. Three things change that, and each alone does nothing: its start
 * parameters without `-F`, a file system that passes syncing on to the operating system, and a `wal_sync_method` that
 * uses it.
 *
 * @param folder Existing folder, empty or with a database of the same major version. Only one process may have it open.
 * @param empty Folder with a database as it is when new; copied into an empty folder, since making one anew takes seconds
 */
export async function openEmbedded(folder: string, empty?: string): Promise<EmbeddedDatabase> {
  const isNew = readdirSync(folder).length === 0;
  if (isNew && empty !== undefined && existsSync(empty)) copyWhole(empty, folder);
  const files = new SyncingFiles(folder);
  const startParams = PGlite.defaultStartParams.filter((parameter) => parameter !== '-F');
  const database = await PGlite.create({
    fs: files,
    startParams: [...startParams, '-c', 'wal_sync_method=fsync', '-c', 'synchronous_commit=on'],
  });
  if (isNew) syncTree(folder);
  return { pool: poolOf(database), syncs: () => files.syncs };
}

/** The Node file system with the sync that is missing from it, for folders too. */
class SyncingFiles extends NodeFS {
  syncs = 0;

  override async init(database: PGlite, options: Program) {
    const { emscriptenOpts } = await super.init(database, options);
    const passOn = (program: { FS: object }) => {
      const nodeFiles = (program.FS as unknown as { filesystems: { NODEFS: NodeFileSystem } }).filesystems.NODEFS;
      nodeFiles.stream_ops.fsync = (stream) => {
        this.syncs++;
        if (stream.nfd !== undefined) fsyncSync(stream.nfd);
        else syncPath(nodeFiles.realPath(stream.node));
        return 0;
      };
    };
    return { emscriptenOpts: { ...emscriptenOpts, preRun: [...(emscriptenOpts.preRun ?? []), passOn] } };
  }
}

function poolOf(database: PGlite): EmbeddedPool {
  // One connection: whoever wants it next waits for whoever has it.
  let last: Promise<void> = Promise.resolve();
  return {
    async connect() {
      const before = last;
      let done = () => {};
      last = new Promise((resolve) => {
        done = resolve;
      });
      await before;
      return {
        async query(sql, parameters) {
          const { rows, affectedRows } = await database.query(sql, [...parameters]);
          const command = /^\s*([a-z]+)/i.exec(sql)?.[1]?.toUpperCase() as QueryAnswer['command'];
          return { command, rowCount: affectedRows ?? 0, rows };
        },
        release: done,
      };
    },
    async end() {
      await last;
      await database.close();
    },
  };
}

/** Puts a copy in the place of an empty folder: all of it, on the disk, or nothing. */
function copyWhole(from: string, folder: string): void {
  const part = `${folder}.part`;
  rmSync(part, { recursive: true, force: true });
  cpSync(from, part, { recursive: true });
  syncTree(part);
  rmdirSync(folder);
  renameSync(part, folder);
  syncPath(dirname(folder));
}

/** Syncs every file and folder below, deepest first: a fresh database is not durable before that. */
function syncTree(folder: string): void {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) syncTree(path);
    else if (entry.isFile()) syncPath(path);
  }
  syncPath(folder);
}

/** Syncs a folder's entries, or a file, by name. */
export function syncPath(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
