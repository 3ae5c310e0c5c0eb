import type { Context } from 'hono';
import { matches } from './answers.ts';
import type { PageFile } from './deps.ts';

/**
 * The built page. Any address that is not a file is one of the page's own, so that a reload finds it.
 *
 * @returns null where a file was meant and is not there
 */
export function servePage(c: Context, page: ReadonlyMap<string, PageFile>): Response | null {
  const path = c.req.path;
  const isFile = /\.[a-z0-9]+$/i.test(path);
  const file = page.get(path) ?? (isFile ? undefined : page.get('/index.html'));
  if (!file) return null;
  const headers: Record<string, string> = {
    ETag: file.etag,
    'Cache-Control': file.isImmutable ? 'public, max-age=31536000, immutable' : 'no-cache',
    Vary: 'Accept-Encoding',
  };
  if (matches(c.req.header('if-none-match'), file.etag)) return new Response(null, { status: 304, headers });
  headers['Content-Type'] = file.mediaType;
  const zipped = /\bgzip\b/.test(c.req.header('accept-encoding') ?? '') ? file.gzipped : null;
  if (zipped) headers['Content-Encoding'] = 'gzip';
  return new Response((zipped ?? file.bytes) as Uint8Array<ArrayBuffer>, { headers });
}
