import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Assessment } from '../../shared/index.ts';

const PROGRAM = fileURLToPath(new URL('../../.build/keepworthy.mjs', import.meta.url));
const START_MS = 90_000;

export interface RealServer {
  /** `http://localhost:PORT` */
  url: string;
  /** Everything it has said on standard error so far. */
  said: () => string;
  /** Folder where it keeps things. */
  data: string;
  /** From being started to its first line with an address, ms. */
  startMs: number;
  pid: number;
  /** Ends it as Ctrl+C does, and gives its exit code. */
  stop: () => Promise<number | null>;
}

export interface RealServerOptions {
  /** Further arguments of `serve`. */
  args?: readonly string[];
  /** Folder to keep things in; a fresh one when left out, and that one is removed at the end. */
  data?: string;
  env?: Record<string, string>;
  port?: number;
  /** Mounts a file system of this size over the data folder, seen by the server alone (Linux): `220m`. */
  tmpfs?: string;
}

/** The built program itself, started as a person starts it, on a free port with an empty data folder. */
export async function startRealServer({
  args = [],
  data,
  env,
  port = 0,
  tmpfs,
}: RealServerOptions = {}): Promise<RealServer> {
  const folder = data ?? mkdtempSync(join(tmpdir(), 'keepworthy-real-'));
  const started = Date.now();
  const command = [process.execPath, PROGRAM, 'serve', '--port', String(port), '--data', folder, ...args];
  const script = 'mount -t tmpfs -o size="$1" tmpfs "$2"; shift 2; exec "$@"';
  const [program, ...rest] = tmpfs ? ['unshare', '-Urm', 'sh', '-c', script, 'sh', tmpfs, folder, ...command] : command;
  const child = spawn(program!, rest, {
    stdio: ['ignore', 'ignore', 'pipe'],
    env: { ...process.env, DATABASE_URL: '', ...env },
  });
  let said = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    said += text;
  });
  const ended = new Promise<number | null>((done) => child.once('exit', (code) => done(code)));
  const stop = async () => {
    if (child.exitCode === null) child.kill('SIGTERM');
    const code = await ended;
    if (data === undefined) rmSync(folder, { recursive: true, force: true });
    return code;
  };
  const url = await addressOf(child, () => said).catch(async (error) => {
    await stop();
    throw error;
  });
  return { url, said: () => said, data: folder, startMs: Date.now() - started, pid: child.pid!, stop };
}

/** Waits until the photos of the demos are in, which come behind the start; afterwards nothing changes by itself. */
export async function demoPhotosIn(url: string): Promise<void> {
  const read = async <T>(path: string) => (await (await fetch(`${url}/api/assessments${path}`)).json()) as T;
  for (const { id } of await read<{ id: string }[]>('')) {
    const { components } = await read<Assessment>(`/${id}`);
    const named = components.flatMap(({ photos = [] }) => photos).length;
    while ((await read<unknown[]>(`/${id}/photos`)).length < named) await new Promise((done) => setTimeout(done, 100));
  }
}

async function addressOf(child: ChildProcess, said: () => string): Promise<string> {
  const until = Date.now() + START_MS;
  while (Date.now() < until) {
    const found = /is at (https?:\/\/\S+)/.exec(said());
    if (found) return found[1]!;
    if (child.exitCode !== null) throw new Error(`The server ended with ${child.exitCode}: ${said()}`);
    await new Promise((done) => setTimeout(done, 20));
  }
  throw new Error(`The server did not start: ${said()}`);
}
