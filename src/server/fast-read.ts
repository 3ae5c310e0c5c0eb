import type { IncomingMessage } from 'node:http';
import type { Context } from 'hono';
import { jsonResponse } from './answers.ts';
import type { ServerDeps } from './deps.ts';
import { isOurName, type sessions } from './guard.ts';

const PATH = /^\/api\/assessments\/([a-z0-9-]+)$/;

/**
 * Reads of a whole assessment that is in memory, asked by somebody who is known: most requests of open pages, and most of
 * those a 304. Whatever is not plainly such a read goes the whole way, which gives the same answer.
 *
 * @returns the answer, or null to go the whole way
 */
export function fastReads(deps: ServerDeps, session: ReturnType<typeof sessions>) {
  const ownVersion = deps.rubric.version;
  return (env: unknown): Response | null => {
    const incoming = (env as { incoming?: IncomingMessage } | undefined)?.incoming;
    if (incoming?.method !== 'GET') return null;
    const id = PATH.exec(incoming.url ?? '')?.[1];
    const { host, cookie, 'if-none-match': known } = incoming.headers;
    if (id === undefined || host === undefined || !isOurName(host, deps.sharing)) return null;
    const caller = session.atHand(host, deps.remoteAddress({ env } as Context), cookie);
    // Every role may read.
    if (!caller?.role) return null;
    const kept = deps.store.peek(id);
    if (!kept || kept.deletedAt !== null) return null;
    return jsonResponse(known, kept.text, kept.etag, { 'Keepworthy-Rubric': kept.rubricVersion ?? ownVersion });
  };
}
