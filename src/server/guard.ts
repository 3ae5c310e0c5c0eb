import { createHash, randomBytes } from 'node:crypto';
import type { Context, MiddlewareHandler } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import type { Role } from '../../shared/index.ts';
import type { Author, DeviceRow, Store } from '../app/store-port.ts';
import { ProblemError } from '../app/store-problem.ts';
import { SAFE_HEADERS, withSafeHeaders } from './answers.ts';
import type { ServerDeps } from './deps.ts';

/** Who asks. */
export interface Caller {
  /** Null: not paired. */
  role: Role | null;
  /** Null for this computer itself. */
  device: DeviceRow | null;
  isLoopback: boolean;
}

export type Env = { Variables: { caller: Caller } };

const COOKIE = 'keepworthy_session';
const OWN_COOKIE = /(?:^|;\s*)keepworthy_session=([\w-]+)(?:;|$)/;
const YEAR_S = 365 * 24 * 3600;
const SEEN_EVERY_MS = 60_000;
const LOOPBACK_NAMES: ReadonlySet<string> = new Set(['localhost', '127.0.0.1', '::1']);
const SAFE: ReadonlySet<string> = new Set(['GET', 'HEAD']);

/** Headers of every answer. */
export function safeHeaders(): MiddlewareHandler {
  return async (c, next) => {
    await next();
    if (withSafeHeaders.has(c.res)) return;
    const { headers } = c.res;
    for (const [name, value] of Object.entries(SAFE_HEADERS)) headers.set(name, value);
    if (!headers.has('Cache-Control')) headers.set('Cache-Control', 'no-store');
  };
}

/**
 * Refuses requests under a name that is not ours (a foreign site whose name was pointed at this computer), and writes that
 * another site's page asked for.
 */
export function hostAndOrigin(sharing: ServerDeps['sharing']): MiddlewareHandler {
  return async (c, next) => {
    const host = c.req.header('host') ?? new URL(c.req.url).host;
    if (!isOurName(host, sharing)) throw new ProblemError('wrong-host');
    if (!SAFE.has(c.req.method)) {
      const origin = c.req.header('origin');
      const own = `${sharing.isSecure ? 'https' : 'http'}://${host}`;
      if (origin !== undefined && origin.toLowerCase() !== own.toLowerCase()) throw new ProblemError('wrong-origin');
      const site = c.req.header('sec-fetch-site');
      if (site !== undefined && site !== 'same-origin' && site !== 'none') throw new ProblemError('wrong-origin');
    }
    await next();
  };
}

/** @param host The header `Host` */
export function isOurName(host: string, sharing: ServerDeps['sharing']): boolean {
  const name = nameOf(host);
  return LOOPBACK_NAMES.has(name) || sharing.hosts().has(name);
}

/** Sessions of paired devices. */
export function sessions(deps: Pick<ServerDeps, 'store' | 'sharing' | 'remoteAddress' | 'now'>) {
  const { store } = deps;
  const known = new Map<string, DeviceRow | null>();
  let epoch = 0;
  store.onChange((change) => {
    if (change.what !== 'devices') return;
    epoch++;
    known.clear();
  });
  const seenAt = new Map<string, number>();

  const deviceOf = async (secret: string): Promise<DeviceRow | null> => {
    const hash = hashOf(secret);
    const found = known.get(hash);
    if (found !== undefined) return found;
    const before = epoch;
    const device = (await store.deviceBySecret(hash)) ?? null;
    if (known.size > 1000) known.clear();
    // A device revoked while the database was asked must not be remembered.
    if (epoch === before) known.set(hash, device);
    return device;
  };

  /** This computer itself: asked from loopback, under loopback's own name. */
  const whereFrom = (host: string, address: string | null) => {
    const isLoopback = address === null || isLoopbackAddress(address);
    // Under another name than loopback's the owner, too, comes through the network's door.
    return { isLoopback, isHere: isLoopback && LOOPBACK_NAMES.has(nameOf(host)) };
  };
  const seen = (device: DeviceRow | null) => {
    if (device) void markSeen(store, device, seenAt, deps.now());
  };

  return {
    /**
     * The caller as far as memory knows, without asking the database.
     *
     * @returns undefined when the database would have to be asked
     */
    atHand(host: string, address: string | null, cookies: string | undefined): Caller | undefined {
      const { isLoopback, isHere } = whereFrom(host, address);
      if (isHere) return { role: 'own', device: null, isLoopback };
      const secret = cookies === undefined ? undefined : OWN_COOKIE.exec(cookies)?.[1];
      const device = secret === undefined ? undefined : known.get(hashOf(secret));
      if (!device) return undefined;
      seen(device);
      return { role: device.role, device, isLoopback };
    },
    /** Puts the caller beside the request. */
    identify(): MiddlewareHandler<Env> {
      return async (c, next) => {
        const host = c.req.header('host') ?? new URL(c.req.url).host;
        const { isLoopback, isHere } = whereFrom(host, deps.remoteAddress(c));
        const secret = isHere ? undefined : getCookie(c, COOKIE);
        const device = secret === undefined ? null : await deviceOf(secret);
        c.set('caller', { role: isHere ? 'own' : (device?.role ?? null), device, isLoopback });
        seen(device);
        await next();
      };
    },
    /** Makes a device of whoever asks. */
    async open(c: Context, name: string, role: Role): Promise<DeviceRow> {
      const secret = randomBytes(32).toString('base64url');
      const time = deps.now().toISOString();
      const device: DeviceRow = {
        id: randomBytes(9).toString('base64url'),
        name,
        role,
        pairedAt: time,
        lastSeenAt: time,
      };
      await store.addDevice(device, hashOf(secret));
      setCookie(c, COOKIE, secret, {
        httpOnly: true,
        sameSite: 'Strict',
        path: '/',
        maxAge: YEAR_S,
        secure: deps.sharing.isSecure,
      });
      return device;
    },
  };
}

/** @throws {ProblemError} when the caller's role is below the wanted one */
export function needRole(caller: Caller, wanted: Role): Role {
  const order: Role[] = ['read', 'grade', 'own'];
  if (caller.role === null)
    throw new ProblemError('not-paired', 'Pair it with a code from the computer that runs Keepworthy');
  if (order.indexOf(caller.role) < order.indexOf(wanted)) {
    throw new ProblemError('not-allowed', `Wanted the role "${wanted}", found "${caller.role}"`);
  }
  return caller.role;
}

/** Under whose name a caller's changes are kept. */
export async function authorOf(caller: Caller, store: Store): Promise<Author> {
  if (caller.device) return { name: caller.device.name, device: caller.device.id };
  return { name: (await store.setting('owner-name')) ?? 'owner', device: 'here' };
}

export function isLoopbackAddress(address: string): boolean {
  return /^(?:::ffff:)?127\./.test(address) || address === '::1';
}

let lastHost = { host: '', name: '' };

/** Host name without port and brackets, lower case. Nearly every request names the host of the one before. */
function nameOf(host: string): string {
  if (lastHost.host !== host) {
    const lower = host.toLowerCase();
    const name = lower.startsWith('[') ? lower.slice(1, lower.indexOf(']')) : lower.replace(/:\d*$/, '');
    lastHost = { host, name };
  }
  return lastHost.name;
}

function hashOf(secret: string): string {
  return createHash('sha256').update(secret).digest('hex');
}

async function markSeen(store: Store, device: DeviceRow, seenAt: Map<string, number>, now: Date): Promise<void> {
  if (now.getTime() - (seenAt.get(device.id) ?? 0) < SEEN_EVERY_MS) return;
  seenAt.set(device.id, now.getTime());
  // Not being able to note it is no reason to refuse what was asked.
  await store.updateDevice(device.id, { lastSeenAt: now.toISOString() }).catch(() => {});
}
