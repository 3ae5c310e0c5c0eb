import type { Context } from 'hono';

/** JSON text with its validator, or 304 when the asker has it (RFC 9110, 13.1.2). */
export function jsonWithTag(c: Context, text: string, etag: string, headers: Record<string, string> = {}): Response {
  const base = { ETag: etag, 'Cache-Control': 'private, no-cache', ...headers };
  if (matches(c.req.header('if-none-match'), etag)) return new Response(null, { status: 304, headers: base });
  return new Response(text, { headers: { 'Content-Type': 'application/json', ...base } });
}

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
