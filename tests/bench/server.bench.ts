import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import autocannon from 'autocannon';
import { Hono } from 'hono';
import { sql } from 'kysely';
import { listen } from '../../src/adapters/serve/index.ts';
import { openDataFolder } from '../../src/adapters/store/data-folder.ts';
import { openEmbeddedDatabase } from '../../src/adapters/store/database.ts';
import { photoFiles } from '../../src/adapters/store/photo-files.ts';
import { openStore } from '../../src/adapters/store/store.ts';
import { HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { openTestApp } from '../server/test-app.ts';
import type { BenchLine } from './bench-line.ts';

const SECONDS = 3;
const LIMIT = 0.7;

/**
 * Measures reads against bare routes of the same library, on the same loopback, one after the other in turns.
 *
 * @returns requests a second as a share of the bare route's: a 304, a cached read, an uncached read; and the start, seconds
 */
export async function serverBench(): Promise<BenchLine[]> {
  const folder = mkdtempSync(join(tmpdir(), 'keepworthy-bench-'));
  const data = await openDataFolder(folder);
  const database = await openEmbeddedDatabase(data.database);
  const store = await openStore(
    database,
    photoFiles(data.photos, () => {}),
  );
  await store.create({ assessment: smallAssessment(), rubricVersion: null, demo: null, photos: [], author: HERE });
  const kept = (await store.read('front-end'))!;
  const uncached = { ...store, peek: () => undefined, read: async (id: string) => store.readFresh(id) };
  const ours = await openTestApp({ store });
  const cold = await openTestApp({ store: uncached });
  const bare = new Hono()
    .get('/text', () => new Response(kept.text, { headers: { 'Content-Type': 'application/json', ETag: kept.etag } }))
    .get('/304', () => new Response(null, { status: 304, headers: { ETag: kept.etag } }))
    .get('/query', async () => {
      const { rows } = await sql<{ document: string }>`select * from assessments where id = ${'front-end'}`.execute(
        database.db,
      );
      return new Response(rows[0]!.document, { headers: { 'Content-Type': 'application/json', ETag: kept.etag } });
    });
  const at = '/api/assessments/front-end';
  const servers = await Promise.all(
    [ours.app.fetch, cold.app.fetch, bare.fetch].map((fetch) =>
      listen(fetch as never, { host: '127.0.0.1', port: 0, certificate: null }),
    ),
  );
  const [oursAt, coldAt, bareAt] = servers.map((server) => `http://127.0.0.1:${server.port}`) as [
    string,
    string,
    string,
  ];
  const tag = { 'If-None-Match': kept.etag };
  try {
    return [
      await compare('304 read against a bare route', [oursAt + at, tag], [`${bareAt}/304`, tag]),
      await compare('cached read against a bare route', [oursAt + at], [`${bareAt}/text`]),
      await compare('uncached read against a bare route with one query', [coldAt + at], [`${bareAt}/query`]),
    ];
  } finally {
    for (const server of servers) await server.close();
    await ours.close();
    await cold.close();
    await store.close();
    data.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

type Asked = [url: string, headers?: Record<string, string>];

async function compare(name: string, ours: Asked, bare: Asked): Promise<BenchLine> {
  // In turns, so that whatever else the machine does falls on both; the first of each only warms up.
  const [mine, theirs]: [number[], number[]] = [[], []];
  for (let turn = 0; turn < 3; turn++) {
    mine.push(await rate(ours));
    theirs.push(await rate(bare));
  }
  const best = (rates: number[]) => Math.max(...rates.slice(1));
  const value = best(mine) / best(theirs);
  return { name, value, limit: LIMIT, isMet: value >= LIMIT };
}

async function rate([url, headers = {}]: Asked): Promise<number> {
  const result = await autocannon({ url, headers, connections: 10, duration: SECONDS });
  if (result.errors > 0 || result['4xx'] > 0 || result['5xx'] > 0)
    throw new Error(`Cannot measure ${url}: it answered with errors`);
  return result.requests.average;
}
