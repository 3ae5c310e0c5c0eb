import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { faultsOf, Rubric } from '../../shared/index.ts';
import { parseDocumentText } from '../../src/adapters/files/read-document.ts';
import { readRubric } from '../../src/adapters/files/read-rubric.ts';
import { loadImagingSettings, loadIntervals, openPhotoPool, type PhotoPool } from '../../src/adapters/photos/index.ts';
import { pack, servePhotos, verdictFiles } from '../../src/adapters/serve/index.ts';
import { type Keeping, openKeeping } from '../../src/adapters/store/index.ts';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { score } from '../../src/engine/index.ts';
import { type App, createApp } from '../../src/server/app.ts';
import type { ServerDeps } from '../../src/server/deps.ts';
import { smallAssessment } from '../adapters/store/small-assessment.ts';

/** Made by the build; without it a new database takes seconds. */
export const EMPTY_DATABASE = fileURLToPath(new URL('../../.build/empty-database', import.meta.url));

export interface TestApp {
  app: App;
  keeping: Keeping;
  deps: ServerDeps;
  /** A request from this computer, or with `from` from another address; JSON bodies from objects. */
  ask: (path: string, init?: Asking) => Promise<Response>;
  json: <T = Record<string, unknown>>(
    path: string,
    init?: Asking,
  ) => Promise<{ status: number; body: T; headers: Headers }>;
  close: () => Promise<void>;
}

export interface Asking {
  method?: string;
  body?: unknown;
  raw?: Uint8Array | string;
  headers?: Record<string, string>;
  /** Network address of the asker. */
  from?: string;
  host?: string;
}

const path = (name: string) => fileURLToPath(new URL(`../../${name}`, import.meta.url));

/** The real server over a real store in a temporary folder, never listening. */
export async function openTestApp(overrides: Partial<ServerDeps> = {}): Promise<TestApp> {
  const folder = mkdtempSync(join(tmpdir(), 'keepworthy-server-'));
  const keeping = await openKeeping(folder, { emptyDatabase: EMPTY_DATABASE });
  const settings = await loadImagingSettings(path('rubric/imaging.yaml'));
  const intervals = await loadIntervals(path('models'), settings);
  let pool: PhotoPool | undefined;
  const lazyPool = () => {
    pool ??= openPhotoPool({ settings, modelFolder: path('models/rust-segmenter'), parallel: 1 });
    return pool;
  };
  const photos = () => servePhotos(lazyPool(), intervals, settings.intake.fileBytesTo);
  const rubric = await readRubric(path('rubric'));
  const asked = { from: null as string | null };
  const deps: ServerDeps = {
    version: '0.0.0-test',
    store: keeping.store,
    files: keeping.files,
    verdicts: verdictFiles(keeping.folder.cache, async () => 'this test', keeping.folder.needRoom),
    rubric,
    checkAssessment: (raw, other, today) => checkAssessment(raw, other, { today }).faults ?? [],
    checkRubric(raw) {
      const read = Rubric.safeParse(raw);
      return read.success ? { rubric: read.data } : { faults: faultsOf(read.error, raw) };
    },
    score: (...asked) => pack(score(...asked)),
    plan: null,
    parseText: (text, file) => {
      const read = parseDocumentText(text, file);
      return read.faults ? { faults: read.faults } : { value: read.value };
    },
    photos: {
      mostBytes: settings.intake.fileBytesTo,
      takeIn: (bytes) => photos().takeIn(bytes),
      measure: (bytes, name, request) => photos().measure(bytes, name, request),
      shrink: (bytes, width) => photos().shrink(bytes, width),
    },
    demos: [
      {
        id: 'demo',
        name: 'Demo',
        about: 'An invented front end',
        assessment: async () => smallAssessment('demo-front'),
        photo: () => Promise.reject(new Error('This demo names no photo')),
      },
    ],
    page: null,
    sharing: {
      isShared: true,
      addresses: () => ['http://192.0.2.17:8420'],
      hosts: () => new Set(['192.0.2.17']),
      isSecure: false,
      fingerprint: null,
      qr: async (text) => `<svg>${text.length}</svg>`,
    },
    remoteAddress: () => asked.from,
    now: () => new Date(),
    log: (message, error) => console.error(message, error),
    ...overrides,
  };
  const app = createApp(deps);
  const ask: TestApp['ask'] = async (at, { method, body, raw, headers = {}, from, host = 'localhost' } = {}) => {
    asked.from = from ?? null;
    const sent = raw ?? (body === undefined ? undefined : JSON.stringify(body));
    return app.request(`http://${host}${at}`, {
      method: method ?? (sent === undefined ? 'GET' : 'POST'),
      headers: { ...(body === undefined ? {} : { 'Content-Type': 'application/json' }), ...headers },
      ...(sent === undefined ? {} : { body: sent as BodyInit }),
    });
  };
  return {
    app,
    keeping,
    deps,
    ask,
    async json<T>(at: string, init?: Asking) {
      const answer = await ask(at, init);
      return { status: answer.status, body: (await answer.json()) as T, headers: answer.headers };
    },
    async close() {
      app.close();
      await pool?.close();
      await keeping.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** A real picture of random blotches, JPEG. */
export async function testPicture(seed = 1, width = 640, height = 480): Promise<Uint8Array> {
  const pixels = new Uint8Array(width * height * 3);
  let state = seed;
  for (let at = 0; at < pixels.length; at++) {
    state = (state * 1103515245 + 12345) % 2147483648;
    pixels[at] = 60 + ((state >> 16) % 120);
  }
  return sharp(pixels, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 90 })
    .toBuffer();
}
