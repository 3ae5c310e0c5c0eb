import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { serve } from '@hono/node-server';
import { build } from 'esbuild';
import { Hono } from 'hono';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Assessment, Rubric } from '../../shared/index.ts';
import { loadPage } from '../../src/adapters/serve/load-page.ts';
import { findChromium, findFirefox, openBrowser, openInFirefox } from './browser.ts';
import type { Given } from './judge-in-page.ts';
import { demoPhotosIn, type RealServer, startRealServer } from './real-server.ts';

const ENGINES = {
  Chromium: {
    isThere: findChromium() !== null,
    async open(address: string) {
      const browser = await openBrowser();
      await (await browser.newPage()).goto(address);
      return () => browser.close();
    },
  },
  Firefox: { isThere: findFirefox() !== null, open: async (address: string) => openInFirefox(address) },
};
const ENGINE_NAMES = Object.keys(ENGINES) as (keyof typeof ENGINES)[];
const JUDGED_MS = 100_000;

for (const name of ENGINE_NAMES)
  if (!ENGINES[name].isThere) console.warn(`No ${name} on PATH: its verdicts are not compared with the server's`);

/** The same record, same rubric, same seed, the same bytes, whoever works them out. */
describe('the demos, judged and planned by the built page', () => {
  let server: RealServer;
  let bench: {
    url: string;
    given: Given;
    told: (engine: string) => Promise<Record<string, string>>;
    close: () => void;
  };
  beforeAll(async () => {
    server = await startRealServer();
    bench = await startBench(server.url);
  });
  afterAll(async () => {
    bench?.close();
    await server?.stop();
  });

  for (const name of ENGINE_NAMES) {
    const { isThere, open } = ENGINES[name];
    test.skipIf(!isThere)(
      `${name} gives the very text that the server gives`,
      async () => {
        const close = await open(`${bench.url}/?${name}`);
        try {
          const { agent, ...documents } = await bench.told(name);
          expect(agent).toContain(name === 'Firefox' ? 'Gecko/' : 'Chrome/');
          expect(Object.keys(documents)).toHaveLength(bench.given.assessments.length * 2);
          for (const [what, text] of Object.entries(documents)) {
            const [id, task] = what.split(' ');
            const answer = await fetch(`${server.url}/api/assessments/${id}/${task}`);
            expect(answer.status, what).toBe(200);
            // A string and not the parsed value: every digit and every order of keys.
            expect(text === (await answer.text()), `${what} in ${name} is the server's text`).toBe(true);
            if (task !== 'score') continue;
            // What a page shows first, as it asks for it.
            const ready = await fetch(`${server.url}/api/assessments/${id}/score?seed=1&ready=true`);
            expect(text === (await ready.text()), `${what} in ${name} is what the server has ready`).toBe(true);
          }
        } finally {
          await close();
        }
      },
      JUDGED_MS + 20_000,
    );
  }
});

/** A page with nothing on it but a script that judges in the built page's workers. */
async function startBench(api: string) {
  const read = async <T>(path: string) => (await (await fetch(`${api}${path}`)).json()) as T;
  const list = await read<{ id: string }[]>('/api/assessments');
  await demoPhotosIn(api);
  const page = loadPage(fileURLToPath(new URL('../../.build/web/', import.meta.url)))!;
  const worker = (name: string) => [...page.keys()].find((path) => path.startsWith(`/assets/${name}-worker-`))!;
  const given: Given = {
    rubric: await read<Rubric>('/api/rubric'),
    assessments: await Promise.all(list.map(({ id }) => read<Assessment>(`/api/assessments/${id}`))),
    workers: { score: worker('judge'), plan: worker('plan') },
  };
  const script = await build({
    entryPoints: [fileURLToPath(new URL('judge-in-page.ts', import.meta.url))],
    bundle: true,
    format: 'esm',
    write: false,
    logLevel: 'error',
  });
  const told = new Map<string, PromiseWithResolvers>();
  const waitingFor = (engine: string) => {
    const known = told.get(engine) ?? withResolvers();
    told.set(engine, known);
    return known;
  };
  const app = new Hono();
  app.get('/', (c) => c.html('<!doctype html><title>Judging</title><script type="module" src="/run.js"></script>'));
  app.get('/run.js', (c) => c.body(script.outputFiles[0]!.text, 200, { 'content-type': 'text/javascript' }));
  app.get('/given', (c) => c.json(given));
  app.post('/told', async (c) => {
    const answer = (await c.req.json()) as Record<string, string>;
    const waiting = waitingFor(new URL(c.req.url).search.slice(1));
    if (answer.error) waiting.reject(new Error(answer.error));
    else waiting.resolve(answer);
    return c.body(null, 204);
  });
  app.get('/assets/*', (c) => {
    const file = page.get(c.req.path);
    return file ? c.body(new Uint8Array(file.bytes), 200, { 'content-type': file.mediaType }) : c.notFound();
  });
  const listening = serve({ fetch: app.fetch, port: 0, hostname: '127.0.0.1' });
  await new Promise<void>((done) => listening.once('listening', () => done()));
  return {
    url: `http://127.0.0.1:${(listening.address() as AddressInfo).port}`,
    given,
    told: (engine: string) =>
      Promise.race([
        waitingFor(engine).promise,
        new Promise<never>((_, failed) =>
          setTimeout(() => failed(new Error(`${engine} told nothing within ${JUDGED_MS} ms`)), JUDGED_MS).unref(),
        ),
      ]),
    close: () => listening.close(),
  };
}

interface PromiseWithResolvers {
  promise: Promise<Record<string, string>>;
  resolve: (told: Record<string, string>) => void;
  reject: (error: Error) => void;
}

function withResolvers(): PromiseWithResolvers {
  let resolve!: PromiseWithResolvers['resolve'];
  let reject!: PromiseWithResolvers['reject'];
  const promise = new Promise<Record<string, string>>((yes, no) => {
    resolve = yes;
    reject = no;
  });
  // Told before anybody asked: the asker still hears of it.
  promise.catch(() => undefined);
  return { promise, resolve, reject };
}
