/// <reference lib="webworker" />
const worker = self as unknown as ServiceWorkerGlobalScope;

/** The page itself and its parts. A part's name holds a hash, so that a part never changes. */
const PARTS = 'keepworthy-parts-1';
/** What was last read, for a reload with the network down. */
const READ = 'keepworthy-read-1';
/** Header of an answer that comes from this device. The page reads it by the same name; this worker can share no file with it. */
const KEPT_MARK = 'keepworthy-kept';
/** A server that says nothing for so long counts as gone, when there is something kept to show instead, ms. */
const SILENT_MS = 4000;

worker.addEventListener('install', (event) => {
  event.waitUntil(keepPage().then(() => worker.skipWaiting()));
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
  else if (request.mode === 'navigate') event.respondWith(pageOf(request, event));
  else if (pathname.startsWith('/api/')) event.respondWith(lastRead(request, event));
});

/** Keeps the page and every file the build wrote, so that nothing is missing when the network is gone. */
async function keepPage(): Promise<void> {
  const cache = await caches.open(PARTS);
  const [page, list] = await Promise.all([fetch('/'), fetch('/parts.json')]);
  if (!page.ok || !list.ok) throw new Error('Cannot keep the page: the server does not give it');
  const parts: Record<string, { file: string; css?: string[]; assets?: string[] }> = await list.json();
  const files = new Set<string>(['/icon.svg']);
  for (const { file, css = [], assets = [] } of Object.values(parts)) {
    for (const name of [file, ...css, ...assets]) if (name !== 'sw.js' && name !== 'index.html') files.add(`/${name}`);
  }
  const kept = new Set((await cache.keys()).map((request) => new URL(request.url).pathname));
  await cache.addAll([...files].filter((name) => !kept.has(name)));
  await cache.put('/', page);
  // Parts of an earlier build go only when all of this one are there.
  for (const name of kept) if (name !== '/' && !files.has(name)) await cache.delete(name);
}

async function partOf(request: Request): Promise<Response> {
  const kept = await caches.match(request);
  if (kept) return kept;
  const fresh = await fetch(request);
  if (fresh.ok) await (await caches.open(PARTS)).put(request, fresh.clone());
  return fresh;
}

/** Every address is the one page. A page of a newer build brings its parts with it. */
async function pageOf(request: Request, event: FetchEvent): Promise<Response> {
  const kept = await caches.match('/');
  const fresh = await soonOr(fetch(request), kept !== undefined);
  if (!fresh) return kept!;
  if (fresh.ok && kept && kept.headers.get('etag') !== fresh.headers.get('etag')) {
    event.waitUntil(keepPage().catch(() => undefined));
  }
  return fresh;
}

async function lastRead(request: Request, event: FetchEvent): Promise<Response> {
  const cache = await caches.open(READ);
  const kept = await cache.match(request);
  const fresh = await soonOr(fetch(request), kept !== undefined);
  if (!fresh) return marked(kept!);
  // The page does not wait until it is kept; a device without room for it goes on without.
  if (fresh.ok) event.waitUntil(cache.put(request, fresh.clone()).catch(() => undefined));
  // Shut out, or not paired any more: nothing of what was read stays on this device.
  else if (fresh.status === 401) await caches.delete(READ);
  return fresh;
}

/** The answer, or null when there is none and something kept can stand in. */
async function soonOr(asked: Promise<Response>, hasKept: boolean): Promise<Response | null> {
  if (!hasKept) return asked;
  const silent = new Promise<null>((done) => setTimeout(() => done(null), SILENT_MS));
  return Promise.race([asked.catch(() => null), silent]);
}

/** Tells the page that the server was not heard. */
function marked(kept: Response): Response {
  const headers = new Headers(kept.headers);
  headers.set(KEPT_MARK, 'yes');
  return new Response(kept.body, { status: kept.status, headers });
}
