import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { extname, join, relative, sep } from 'node:path';
import { gzipSync } from 'node:zlib';

const MEDIA_TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.txt': 'text/plain; charset=utf-8',
  '.png': 'image/png',
  '.jpg': 'image/jpeg',
  '.webp': 'image/webp',
  '.ico': 'image/x-icon',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
};
const PACKED: ReadonlySet<string> = new Set([
  '.html',
  '.js',
  '.mjs',
  '.css',
  '.svg',
  '.json',
  '.webmanifest',
  '.txt',
  '.wasm',
]);
const LARGEST_BYTES = 20 * 1024 * 1024;

/** One file of the built page. */
export interface LoadedFile {
  bytes: Uint8Array;
  gzipped: Uint8Array | null;
  mediaType: string;
  etag: string;
  isImmutable: boolean;
}

/**
 * Reads the built page into memory once. Only what is listed here can ever be served.
 *
 * @returns files by path (`/assets/index-abc123.js`), or null when there is no page in the folder
 */
export function loadPage(folder: string): ReadonlyMap<string, LoadedFile> | null {
  if (!existsSync(join(folder, 'index.html'))) return null;
  const page = new Map<string, LoadedFile>();
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    const bytes = readFileSync(path);
    if (bytes.length > LARGEST_BYTES) continue;
    const ending = extname(entry.name).toLowerCase();
    const address = `/${relative(folder, path).split(sep).join('/')}`;
    let packed: Uint8Array | null = null;
    page.set(address, {
      bytes,
      // Packed when first asked for: a start does not wait for files that nobody wants.
      get gzipped() {
        if (PACKED.has(ending) && bytes.length > 500) packed ??= gzipSync(bytes, { level: 6 });
        return packed;
      },
      mediaType: MEDIA_TYPES[ending] ?? 'application/octet-stream',
      etag: `"${createHash('sha256').update(bytes).digest('base64url').slice(0, 22)}"`,
      // The builder puts a hash of the content into these names.
      isImmutable: address.startsWith('/assets/') && /-[\w-]{8,}\.\w+$/.test(address),
    });
  }
  return page;
}
