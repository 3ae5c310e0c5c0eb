/// <reference lib="webworker" />
const worker = self as unknown as ServiceWorkerGlobalScope;

/** The page's own parts. Their names hold a hash, so a part never changes. */
const PARTS = 'keepworthy-parts-1';
/** What was last read, for a reload with the network down. */
const READ = 'keepworthy-read-1';

worker.addEventListener('install', (event) => {
  event.waitUntil(keepParts().then(() => worker.skipWaiting()));
});

worker.addEventListener('activate', (event) => {
  event.waitUntil(worker.clients.claim());
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== worker.location.origin) return;
  if (pathname === '/api/events' || /\/(?:export|file|mask)$/.test(pathname)) return;
  if (pathname.startsWith('/assets/')) event.respondWith(partOf(request));
  else if (request.mode === 'navigate') event.respondWith(netFirst(request, '/'));
  else if (pathname.startsWith('/api/')) event.respondWith(netFirst(request));
});

/** Every file the build wrote, so that no page is missing when the network is gone. */
async function keepParts(): Promise<void> {
  const cache = await caches.open(PARTS);
  const answer = await fetch('/parts.json');
  const parts: Record<string, { file: string; css?: string[]; assets?: string[] }> = answer.ok
    ? await answer.json()
    : {};
  const files = new Set<string>(['/icon.svg']);
  for (const { file, css = [], assets = [] } of Object.values(parts)) {
    for (const name of [file, ...css, ...assets]) if (name !== 'sw.js' && name !== 'index.html') files.add(`/${name}`);
  }
  await cache.addAll([...files]);
  const read = await caches.open(READ);
  await read.add('/');
}

async function partOf(request: Request): Promise<Response> {
  const kept = await caches.match(request);
  if (kept) return kept;
  const fresh = await fetch(request);
  if (fresh.ok) await (await caches.open(PARTS)).put(request, fresh.clone());
  return fresh;
}

async function netFirst(request: Request, keepAs?: string): Promise<Response> {
  const cache = await caches.open(READ);
  try {
    const fresh = await fetch(request);
    if (fresh.ok) await cache.put(keepAs ?? request, fresh.clone());
    return fresh;
  } catch (error) {
    const kept = await cache.match(keepAs ?? request);
    if (kept) return kept;
    throw error;
  }
}
