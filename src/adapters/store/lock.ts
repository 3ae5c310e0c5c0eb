import { linkSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { StoreError, writeFault } from '../../../shared/store-error.ts';

/** How often an owner shows that it lives, and after how long a silent one on another machine counts as gone, ms. */
const BEAT_MS = 5_000;
const SILENT_MS = 60_000;
/** How long a fresh owner waits before it trusts its claim, ms: longer than another claimant needs to undo a mistaken one. */
const SETTLE_MS = 50;

interface Owner {
  pid: number;
  host: string;
  /** When the process began, in the kernel's ticks; tells a process from a later one of the same number. Null where not known. */
  began: string | null;
  since: string;
}

/**
 * Makes this process the one owner of a data folder. Two processes in one embedded database lose rows without an error, so
 * the second is refused.
 *
 * @returns how to let go
 * @throws {StoreError} `in-use`, naming the other process; `read-only`, `disk-full`
 */
export async function lockFolder(folder: string): Promise<() => void> {
  const lock = join(folder, 'owner.lock');
  const mine = JSON.stringify({
    pid: process.pid,
    host: hostname(),
    began: beganOf(process.pid),
    since: new Date().toISOString(),
  } satisfies Owner);
  const draft = join(folder, `owner.${process.pid}.${Math.random().toString(36).slice(2)}`);
  try {
    writeFileSync(draft, mine, { flush: true });
    for (let tries = 0; ; tries++) {
      if (claim(draft, lock)) break;
      const held = readOr(lock, '');
      const owner = parse(held);
      if (tries > 20 || (owner && lives(owner, lock))) throw inUse(folder, owner);
      clearAway(lock, held, draft);
    }
    // Whoever moved our lock aside by mistake has put it back by now, or has taken the folder.
    await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
    const held = readOr(lock, '');
    if (held !== mine) throw inUse(folder, parse(held));
  } catch (error) {
    throw writeFault(error, folder);
  } finally {
    rmSync(draft, { force: true });
  }
  const beat = setInterval(() => {
    try {
      utimesSync(lock, new Date(), new Date());
    } catch {
      // Taken away by hand: nothing to show life on.
    }
  }, BEAT_MS);
  beat.unref();
  return () => {
    clearInterval(beat);
    if (readOr(lock, '') === mine) rmSync(lock, { force: true });
  };
}

/** Gives the lock its name only if nobody has it: the one step that cannot happen twice. */
function claim(draft: string, lock: string): boolean {
  try {
    linkSync(draft, lock);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/** Moves a dead owner's lock aside; one that has changed hands meanwhile is put back. */
function clearAway(lock: string, dead: string, draft: string): void {
  const aside = `${draft}.old`;
  try {
    renameSync(lock, aside);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
    throw error;
  }
  if (readOr(aside, '') !== dead) claim(aside, lock);
  rmSync(aside, { force: true });
}

function lives(owner: Owner, lock: string): boolean {
  if (owner.host !== hostname()) {
    try {
      return Date.now() - statSync(lock).mtimeMs < SILENT_MS;
    } catch {
      return false;
    }
  }
  try {
    process.kill(owner.pid, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
  const began = beganOf(owner.pid);
  return owner.began === null || began === null || began === owner.began;
}

function inUse(folder: string, owner: Owner | null): StoreError {
  const who = owner ? `process ${owner.pid} on ${owner.host}, since ${owner.since}` : 'another process';
  return new StoreError(
    'in-use',
    `Cannot open ${folder}: ${who} has it open. Stop that one first, use its page, or name another folder with --data`,
  );
}

function parse(text: string): Owner | null {
  try {
    const owner = JSON.parse(text) as Owner;
    return Number.isInteger(owner.pid) && typeof owner.host === 'string' ? owner : null;
  } catch {
    return null;
  }
}

/** Field 22 of `/proc/PID/stat` (proc(5)); the name before it may hold blanks and brackets. */
function beganOf(pid: number): string | null {
  const stat = readOr(`/proc/${pid}/stat`, '');
  return stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19] ?? null;
}

function readOr(file: string, otherwise: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return otherwise;
  }
}
