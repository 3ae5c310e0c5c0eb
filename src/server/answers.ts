import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import type { Context } from 'hono';
import type { Packed } from '../app/verdict-port.ts';

export const CONTENT_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** Headers of every answer. */
export const SAFE_HEADERS = {
  'Content-Security-Policy': CONTENT_POLICY,
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
  'Cross-Origin-Resource-Policy': 'same-origin',
} as const;

const CACHE_CONTROL = 'private, no-cache';

/** JSON is no document: nothing is loaded from it and it leads nowhere, so that the least policy is the strictest. */
const JSON_HEADERS = {
  'Content-Type': 'application/json',
  'Cache-Control': CACHE_CONTROL,
  'Content-Security-Policy': "default-src 'none'; frame-ancestors 'none'",
  'X-Content-Type-Options': 'nosniff',
  'Cross-Origin-Resource-Policy': 'same-origin',
} as const;

/** Answers made with their safe headers: adding them afterwards costs the server's fast way of sending. */
export const withSafeHeaders = new WeakSet<Response>();

/** JSON text with its validator, or 304 when the asker has it (RFC 9110, 13.1.2). */
export function jsonWithTag(c: Context, text: string, etag: string, headers: Record<string, string> = {}): Response {
  return jsonResponse(c.req.header('if-none-match'), text, etag, headers);
}

/** @param known The header `If-None-Match` */
export function jsonResponse(
  known: string | undefined,
  text: string,
  etag: string,
  more: Record<string, string>,
): Response {
  // A 304 repeats only what RFC 9110, 15.4.5 asks for; the rest is in the copy that the asker has.
  const answer = matches(known, etag)
    ? new Response(null, { status: 304, headers: { ETag: etag, 'Cache-Control': CACHE_CONTROL, ...more } })
    : new Response(text, { headers: { ...JSON_HEADERS, ETag: etag, ...more } });
  withSafeHeaders.add(answer);
  return answer;
}

/** A ready document: compressed as it lies there for whoever can read that, which is every browser. */
export async function packedWithTag(c: Context, { gzipped, etag }: Packed, more: Record<string, string> = {}) {
  const headers = { ...more, Vary: 'Accept-Encoding' };
  const known = c.req.header('if-none-match');
  if (matches(known, etag)) return jsonResponse(known, '', etag, headers);
  if (!/\bgzip\b/.test(c.req.header('accept-encoding') ?? '')) {
    return jsonResponse(undefined, (await unzipped(gzipped)).toString('utf8'), etag, headers);
  }
  // Two codings of one text are not the same bytes: the tag of this one is weak (RFC 9110, 8.8.3).
  const answer = new Response(gzipped, {
    headers: { ...JSON_HEADERS, ...headers, 'Content-Encoding': 'gzip', ETag: `W/${etag}` },
  });
  withSafeHeaders.add(answer);
  return answer;
}

const unzipped = promisify<Uint8Array, Buffer>(gunzip);

/** `If-None-Match` compares weakly: `W/` in front does not matter. */
export function matches(header: string | undefined, etag: string): boolean {
  if (header === undefined) return false;
  if (header === etag || header.trim() === '*') return true;
  return header.split(',').some((tag) => tag.trim().replace(/^W\//, '') === etag);
}

/** Name of a file to save, safe in the header (RFC 6266): ids are letters, digits, hyphens and points. */
export function attachment(name: string): string {
  return `attachment; filename="${name.replace(/[^A-Za-z0-9._-]/g, '_')}"`;
}
