import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pack, verdictFiles } from '../../src/adapters/serve/index.ts';
import { score } from '../../src/engine/index.ts';
import { type App, createApp } from '../../src/server/app.ts';
import type { ServerDeps } from '../../src/server/deps.ts';
import { answer, HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { openTestApp, type TestApp } from './test-app.ts';

/** The engine's own verdicts, each judging counted, and held back while `gate` is closed. */
const judged: string[] = [];
let gate: Promise<void> = Promise.resolve();
const counted: ServerDeps['score'] = async (...asked) => {
  judged.push(asked[1].id);
  await gate;
  return pack(score(...asked));
};
/** @returns how to open it */
function closeGate(): () => void {
  let open!: () => void;
  gate = new Promise((done) => {
    open = done;
  });
  return open;
}

let test: TestApp;
beforeAll(async () => {
  test = await openTestApp({ score: counted });
});
afterAll(() => test?.close());

let count = 0;
async function fresh(): Promise<string> {
  const id = `judged-${++count}`;
  const assessment = smallAssessment(id);
  await test.keeping.store.create({ assessment, rubricVersion: null, demo: null, photos: [], author: HERE });
  return id;
}
const timesJudged = (id: string) => judged.filter((other) => other === id).length;
const at = (id: string, more = '') => `/api/assessments/${id}/score${more}`;
const change = (id: string, name: string, grade: number) =>
  test.ask(`/api/assessments/${id}/changes`, { body: { changes: [answer(name, grade)] } });
const versionOf = (response: Response) => response.headers.get('keepworthy-version');
const ask = (app: App, path: string) => app.request(`http://localhost${path}`);

describe('verdicts over HTTP', () => {
  it('name the version of the assessment that they judge, also with a 304', async () => {
    const id = await fresh();
    expect(versionOf(await test.ask(at(id)))).toBe('1');
    await change(id, 'answer-a1', 4);
    const now = await test.ask(at(id));
    expect(versionOf(now)).toBe('2');
    const known = await test.ask(at(id), { headers: { 'If-None-Match': now.headers.get('etag')! } });
    expect([known.status, versionOf(known)]).toEqual([304, '2']);
  });

  it('are the same text compressed and plain, under tags that match each other', async () => {
    const id = await fresh();
    const plain = await test.ask(at(id));
    const zipped = await test.ask(at(id), { headers: { 'Accept-Encoding': 'gzip, br' } });
    expect(zipped.headers.get('content-encoding')).toBe('gzip');
    expect(gunzipSync(new Uint8Array(await zipped.arrayBuffer())).toString('utf8')).toBe(await plain.text());
    expect(zipped.headers.get('etag')).toBe(`W/${plain.headers.get('etag')}`);
    const known = await test.ask(at(id), { headers: { 'If-None-Match': zipped.headers.get('etag')! } });
    expect(known.status).toBe(304);
  });

  it('are worked out once, however many ask meanwhile', async () => {
    const id = await fresh();
    const open = closeGate();
    const asked = [at(id), at(id, '?seed=1'), at(id, '?ready=true'), at(id)].map((path) => test.ask(path));
    await expect.poll(() => timesJudged(id)).toBe(1);
    open();
    const texts = await Promise.all(asked.map(async (answered) => (await answered).text()));
    expect(new Set(texts).size).toBe(1);
    expect(timesJudged(id)).toBe(1);
  });

  it('of the version before are given to whoever takes what is ready, while the newest are worked out', async () => {
    const id = await fresh();
    const before = await (await test.ask(at(id))).text();
    await change(id, 'answer-b1', 5);
    const open = closeGate();
    const whole = test.ask(at(id));
    await expect.poll(() => timesJudged(id)).toBe(2);
    const ready = await test.ask(at(id, '?ready=true'));
    expect([versionOf(ready), await ready.text()]).toEqual(['1', before]);
    open();
    const now = await whole;
    const text = await now.text();
    expect(versionOf(now)).toBe('2');
    expect(text).not.toBe(before);
    const then = await test.ask(at(id, '?ready=true'));
    expect([versionOf(then), await then.text()]).toEqual(['2', text]);
  });

  it('that failed are tried again', async () => {
    const id = await fresh();
    let isBroken = true;
    const app = createApp({
      ...test.deps,
      log: () => undefined,
      score: (...asked) => (isBroken ? Promise.reject(new Error('broken')) : counted(...asked)),
    });
    expect((await ask(app, at(id))).status).toBe(500);
    isBroken = false;
    expect((await ask(app, at(id))).status).toBe(200);
  });
});

describe('verdicts across a restart', () => {
  const restarted = (more: Partial<ServerDeps> = {}) => createApp({ ...test.deps, ...more });

  it('are at hand without judging, of the same text', async () => {
    const id = await fresh();
    const before = await (await test.ask(at(id))).text();
    await expect.poll(() => existsSync(`${test.keeping.folder.cache}/${id}.verdicts`)).toBe(true);
    const after = await ask(restarted(), at(id));
    expect([versionOf(after), await after.text()]).toEqual(['1', before]);
    expect(timesJudged(id)).toBe(1);
  });

  it('are not taken from another program or another rubric', async () => {
    const id = await fresh();
    await test.ask(at(id));
    const { cache, needRoom } = test.keeping.folder;
    await expect.poll(() => existsSync(`${cache}/${id}.verdicts`)).toBe(true);
    const other = verdictFiles(cache, async () => 'another program', needRoom);
    expect(await other.find(id)).toBeNull();
    await ask(restarted({ verdicts: other }), at(id, '?ready=true'));
    expect(timesJudged(id)).toBe(2);
    const { rubric } = test.deps;
    await ask(restarted({ rubric: { ...rubric, version: `${rubric.version}x` } }), at(id, '?ready=true'));
    expect(timesJudged(id)).toBe(3);
  });

  it('are not taken from a file that is damaged', async () => {
    const id = await fresh();
    await test.ask(at(id));
    await expect.poll(() => test.deps.verdicts.find(id)).not.toBeNull();
    const file = `${test.keeping.folder.cache}/${id}.verdicts`;
    const bytes = readFileSync(file);
    const half = Buffer.concat([bytes.subarray(0, -20), Buffer.alloc(20)]);
    for (const damaged of [Buffer.from('no verdicts'), bytes.subarray(0, -1), half]) {
      writeFileSync(file, damaged);
      expect(await test.deps.verdicts.find(id)).toBeNull();
    }
  });
});

describe('judging ahead', () => {
  it('has what is there ready before anybody asks, and judges a row of changes once', async () => {
    const id = await fresh();
    const app = createApp(test.deps);
    app.begin();
    await expect.poll(() => timesJudged(id)).toBe(1);
    for (const [n, grade] of [1, 2, 3].entries()) await change(id, `answer-c${n}`, grade);
    await expect.poll(() => timesJudged(id), { timeout: 5000 }).toBe(2);
    const ready = await ask(app, at(id));
    expect(versionOf(ready)).toBe('4');
    expect(timesJudged(id)).toBe(2);
    app.close();
    await change(id, 'answer-c9', 5);
    await new Promise((done) => setTimeout(done, 700));
    expect(timesJudged(id)).toBe(2);
  });

  it('keeps nothing of an assessment that is erased for good', async () => {
    const id = await fresh();
    const app = createApp(test.deps);
    app.begin();
    const mine = () => readdirSync(test.keeping.folder.cache).filter((file) => file.startsWith(`${id}.`));
    await expect.poll(mine).toEqual([`${id}.verdicts`]);
    await test.ask(`/api/assessments/${id}`, { method: 'DELETE' });
    expect(mine()).toHaveLength(1);
    await test.ask(`/api/assessments/${id}?forever=true`, { method: 'DELETE' });
    await expect.poll(mine).toEqual([]);
    app.close();
  });
});
