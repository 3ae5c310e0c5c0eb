import type { AddressInfo } from 'node:net';
import { extname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { serve } from '@hono/node-server';
import { Hono } from 'hono';
import sharp from 'sharp';
import { ChangesRequest } from '../../shared/api.ts';
import type { Change } from '../../shared/change.ts';
import type { Assessment } from '../../shared/index.ts';
import { loadPage } from '../../src/adapters/serve/index.ts';
import { applyChange } from '../../src/web/data/apply-change.ts';
import * as data from './fixture.ts';
import { plan } from './fixture-plan.ts';

const WEB = new URL('../../.build/web/', import.meta.url);
/** As strict as the real one, so that a page that needs more is found out. */
const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

export interface FixtureServer {
  url: string;
  /** Changes received, in order. */
  changes: Change[];
  assessment: Assessment;
  isEmpty: boolean;
  close: () => Promise<void>;
}

/** A server of the page with invented data, for tests of the page alone. */
export async function startFixtureServer(): Promise<FixtureServer> {
  const state = { changes: [] as Change[], assessment: data.assessment(), isEmpty: false, version: 1 };
  const picture = await drawPicture();
  const app = new Hono();
  app.use(async (c, next) => {
    await next();
    c.header('content-security-policy', POLICY);
  });
  app.get('/api/me', (c) => c.json(data.me));
  app.get('/api/events', (c) =>
    c.body('event: hello\ndata: {"event":"hello"}\n\n', 200, { 'content-type': 'text/event-stream' }),
  );
  app.get('/api/assessments', (c) => c.json(state.isEmpty ? [] : [data.row()]));
  app.get('/api/demos', (c) => c.json(data.demos));
  app.get('/api/rubric', (c) => c.json(data.rubric()));
  app.get('/api/devices', (c) =>
    c.json([
      {
        id: 'd1',
        name: 'R. Aldous’s phone',
        role: 'grade',
        pairedAt: '2026-03-12T10:00:00Z',
        lastSeenAt: '2026-03-12T10:00:00Z',
        here: true,
        self: false,
      },
    ]),
  );
  app.post('/api/pairing', (c) =>
    c.json(
      {
        token: '7KQ4-M2XD',
        role: 'grade',
        link: 'http://192.0.2.17:8420/pair#7KQ4-M2XD',
        qr: '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 21 21"><path d="M0 0h7v7H0zM14 0h7v7h-7zM0 14h7v7H0zM9 9h3v3H9z"/></svg>',
        expiresAt: new Date(Date.now() + 228_000).toISOString(),
      },
      201,
    ),
  );
  app.post('/api/assessments', (c) =>
    c.json(
      {
        type: '/problems/unfit',
        title: 'Unfit',
        status: 422,
        detail: 'Cannot make the assessment',
        faults: [{ path: 'name', wanted: 'another name', found: '"taken"' }],
      },
      422,
    ),
  );
  app.get('/api/assessments/:id', (c) =>
    c.req.param('id') === state.assessment.id
      ? c.json(state.assessment, 200, { etag: `"${state.version}-x"`, 'keepworthy-rubric': '0123456789abcdef' })
      : c.json(
          { type: '/problems/not-found', title: 'Not found', status: 404, detail: 'There is no such assessment' },
          404,
        ),
  );
  app.get('/api/assessments/:id/score', (c) =>
    c.json(data.score(), 200, { 'keepworthy-version': String(state.version) }),
  );
  app.get('/api/assessments/:id/plan', (c) => c.json(plan()));
  app.get('/api/assessments/:id/photos', (c) => c.json(data.photos()));
  app.get('/api/assessments/:id/photos/:photo/file', (c) =>
    c.body(new Uint8Array(picture), 200, { 'content-type': 'image/jpeg' }),
  );
  app.get('/api/assessments/:id/photos/:photo/mask', (c) => c.notFound());
  app.post('/api/assessments/:id/changes', async (c) => {
    const { changes } = ChangesRequest.parse(await c.req.json());
    for (const change of changes) {
      state.changes.push(change);
      state.assessment = applyChange(state.assessment, change);
    }
    state.version += changes.length;
    return c.json({ version: state.version, results: changes.map(({ id }) => ({ id, outcome: 'kept' })) });
  });
  // In memory, so that a build made meanwhile takes nothing away.
  const page = loadPage(fileURLToPath(WEB));
  app.get('*', (c) => {
    const file = page?.get(extname(c.req.path) === '' ? '/index.html' : c.req.path);
    return file
      ? c.body(new Uint8Array(file.bytes), 200, { 'content-type': file.mediaType })
      : c.text('There is no such file', 404);
  });
  const server = serve({ fetch: app.fetch, port: 0, hostname: '127.0.0.1' });
  await new Promise<void>((done) => server.once('listening', () => done()));
  return Object.assign(state, {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    close: () => new Promise<void>((done) => server.close(() => done())),
  });
}

/** A grey plate with rust-coloured patches on a lighter bench, noisy as a camera's picture is. */
async function drawPicture(): Promise<Buffer> {
  const height = 600;
  const width = 800;
  const pixels = Buffer.alloc(height * width * 3);
  let state = 7;
  const noise = () => {
    state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
    return (state / 0x7fffffff - 0.5) * 26;
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const isPart = x > 150 && x < 660 && y > 110 && y < 490;
      const isRust = isPart && Math.sin(x / 37) + Math.cos(y / 29) + Math.sin((x + y) / 61) > 0.9;
      const [r, g, b] = isRust ? [138, 72, 34] : isPart ? [58, 62, 66] : [168, 166, 160];
      const n = noise();
      pixels.set([clamp(r! + n), clamp(g! + n), clamp(b! + n)], (y * width + x) * 3);
    }
  }
  return sharp(pixels, { raw: { height, width, channels: 3 } })
    .jpeg()
    .toBuffer();
}

function clamp(value: number): number {
  return Math.max(0, Math.min(255, Math.round(value)));
}
