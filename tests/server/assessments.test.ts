import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { API, Assessment, type ChangesAnswer, type HistoryEntry, type Problem } from '../../shared/index.ts';
import { score } from '../../src/engine/index.ts';
import { answer, HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { openTestApp, type TestApp } from './test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await openTestApp();
});
afterAll(() => test?.close());

let count = 0;
async function fresh(): Promise<string> {
  const id = `front-${++count}`;
  await test.keeping.store.create({
    assessment: smallAssessment(id),
    rubricVersion: null,
    demo: null,
    photos: [],
    author: HERE,
  });
  return `/api/assessments/${id}`;
}
const change = (at: string, changes: unknown[], headers: Record<string, string> = {}, from = {}) =>
  test.json<ChangesAnswer & Problem>(`${at}/changes`, { body: { changes }, headers, ...from });
const outcomes = (body: ChangesAnswer) => body.results.map((result) => result.outcome);

describe('assessments over HTTP', () => {
  it('a new one is made from an assembly, read with an ETag, and answered 304 when nothing changed', async () => {
    const made = await test.json<{ id: string; components: number }>('/api/assessments', {
      body: { name: 'My front corner', assembly: test.deps.rubric.assemblies[0]!.id },
    });
    expect(made.status).toBe(201);
    expect(made.body.id).toBe('my-front-corner');
    const read = await test.json<Assessment>('/api/assessments/my-front-corner');
    expect(Assessment.parse(read.body).components).toHaveLength(made.body.components);
    const etag = read.headers.get('etag')!;
    const again = await test.ask('/api/assessments/my-front-corner', { headers: { 'If-None-Match': etag } });
    expect(again.status).toBe(304);
    expect(await again.text()).toBe('');
    const twin = await test.json<{ id: string }>('/api/assessments', {
      body: { name: 'My front corner', kind: 'coil-spring' },
    });
    expect(twin.body.id).toBe('my-front-corner-2');
    const asked = await test.json('/api/assessments', {
      body: { id: 'my-front-corner', name: 'x', kind: 'coil-spring' },
    });
    expect(asked.status).toBe(409);
  });

  it('an answer sent twice is kept once, and answers of two people to one check are both kept', async () => {
    const at = await fresh();
    const mine = {
      ...answer('answer-a', 1),
      observation: { check: 'face-rust', value: 1, date: '2026-11-25', grader: 'A' },
    };
    const theirs = {
      ...answer('answer-b', 4),
      observation: { check: 'face-rust', value: 4, date: '2026-11-25', grader: 'B' },
    };
    const [first, second] = await Promise.all([change(at, [mine]), change(at, [theirs])]);
    expect([...outcomes(first.body), ...outcomes(second.body)]).toEqual(['kept', 'kept']);
    expect(outcomes((await change(at, [mine, theirs])).body)).toEqual(['already', 'already']);
    const { body } = await test.json<Assessment>(at);
    expect(body.components[0]!.observations!.map((o) => o.value).sort()).toEqual([1, 4]);
  });

  it('an answer to a check that the kind does not have is refused beside its field, the others are kept', async () => {
    const at = await fresh();
    const wrong = { ...answer('answer-1'), observation: { check: 'no-such-check', value: 2, date: '2026-11-25' } };
    const mixed = await change(at, [wrong, answer('answer-2')]);
    expect(mixed.status).toBe(200);
    expect(outcomes(mixed.body)).toEqual(['refused', 'kept']);
    expect(mixed.body.results[0]!.problem!.faults![0]!.found).toContain('no-such-check');
    const alone = await change(at, [{ ...wrong, id: 'answer-3' }]);
    expect(alone.status).toBe(422);
    expect(alone.headers.get('content-type')).toBe('application/problem+json');
  });

  it('replacing a field needs the version seen; a stale one is refused and the same field is never overwritten', async () => {
    const at = await fresh();
    const etag = (await test.ask(at)).headers.get('etag')!;
    const set = (id: string, stage: string, more = {}) => ({
      id,
      type: 'set-component',
      component: 'arm-left',
      set: { stage },
      ...more,
    });
    expect((await change(at, [set('set-0001', 'off')])).status).toBe(428);
    expect((await change(at, [set('set-0001', 'off')], { 'If-Match': etag })).status).toBe(200);
    const stale = await change(at, [set('set-0002', 'bare')], { 'If-Match': etag });
    expect(stale.status).toBe(412);
    expect(stale.body.version).toBe(2);
    // Sent again after a lost answer: the same change is kept already, so it is no clash.
    expect(outcomes((await change(at, [set('set-0001', 'off')], { 'If-Match': etag })).body)).toEqual(['already']);
    // A phone that was offline: another field merges, the same field does not.
    const merged = await change(at, [
      { id: 'set-0003', type: 'set-component', component: 'arm-left', set: { note: 'bent' }, seen: 1 },
      set('set-0004', 'bare', { seen: 1 }),
    ]);
    expect(outcomes(merged.body)).toEqual(['kept', 'refused']);
    expect(merged.body.results[1]!.problem!.status).toBe(412);
    const { body } = await test.json<Assessment>(at);
    expect(body.components[0]).toMatchObject({ stage: 'off', note: 'bent' });
  });

  it('two edits of one field queued by one device while it was offline are both kept, in order', async () => {
    const at = await fresh();
    const set = (id: string, note: string) => ({
      id,
      type: 'set-component',
      component: 'arm-left',
      set: { note },
      seen: 1,
    });
    expect(outcomes((await change(at, [set('queue-01', 'bent'), set('queue-02', 'not bent')])).body)).toEqual([
      'kept',
      'kept',
    ]);
    expect((await test.json<Assessment>(at)).body.components[0]!.note).toBe('not bent');
    expect(outcomes((await change(at, [set('queue-03', 'late')])).body)).toEqual(['refused']);
  });

  it('covers merge: two of one name are both kept, and undo takes only its own away', async () => {
    const at = await fresh();
    const cover = (id: string, hides: string[]) => ({
      id,
      type: 'add-cover',
      cover: { id: 'under-sealer', name: 'under sealer', hides },
    });
    await change(at, [cover('cover-01', ['arm-left.face-rust']), cover('cover-02', ['spring-left'])]);
    const covers = async () => (await test.json<Assessment>(at)).body.covers;
    expect((await covers())!.map(({ id, hides }) => [id, hides])).toEqual([
      ['under-sealer', ['arm-left.face-rust']],
      ['under-sealer-2', ['spring-left']],
    ]);
    expect((await test.json(`${at}/undo`, { body: { id: 'undo-cov1', change: 'cover-01' } })).status).toBe(200);
    expect((await covers())!.map(({ id }) => id)).toEqual(['under-sealer-2']);
    await test.json(`${at}/undo`, { body: { id: 'undo-cov2', change: 'cover-02' } });
    expect(await covers()).toBeUndefined();
    const wrong = await change(at, [cover('cover-03', ['no-such-part'])]);
    expect(wrong.status).toBe(422);
  });

  it('undo takes a change back exactly, undo of the undo makes it again, and history tells all of it', async () => {
    const at = await fresh();
    const before = await (await test.ask(at)).text();
    await change(at, [{ id: 'remove-01', type: 'remove-component', component: 'spring-left' }]);
    const after = await (await test.ask(at)).text();
    expect(after).not.toBe(before);
    const undone = await test.json(`${at}/undo`, { body: { id: 'undo-0001' } });
    expect(undone.status).toBe(200);
    expect(JSON.parse(await (await test.ask(at)).text())).toEqual(JSON.parse(before));
    // Sent twice, undone once.
    expect((await test.json(`${at}/undo`, { body: { id: 'undo-0001' } })).status).toBe(200);
    await test.json(`${at}/undo`, { body: { id: 'undo-0002', change: 'undo-0001' } });
    expect(JSON.parse(await (await test.ask(at)).text())).toEqual(JSON.parse(after));
    const { body } = await test.json<HistoryEntry[]>(`${at}/history`);
    expect(body.map((entry) => [entry.id, entry.undoes, entry.undoneBy])).toEqual([
      ['undo-0002', 'undo-0001', null],
      ['undo-0001', 'remove-01', 'undo-0002'],
      ['remove-01', null, 'undo-0001'],
    ]);
    expect(body[2]!.words).toBe('Took spring-left away');
    expect(API.history.answer.safeParse(body).error).toBeUndefined();
  });

  it('undo is refused when something later stands on the same field', async () => {
    const at = await fresh();
    const set = (id: string, note: string, seen: number) => ({
      id,
      type: 'set-component',
      component: 'arm-left',
      set: { note },
      seen,
    });
    await change(at, [set('note-0001', 'one', 1)]);
    await change(at, [set('note-0002', 'two', 2)]);
    const refused = await test.json<Problem>(`${at}/undo`, { body: { id: 'undo-0001', change: 'note-0001' } });
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toContain('undo that first');
  });

  it('deleting takes two steps, and the bin gives back', async () => {
    const at = await fresh();
    expect((await test.ask(`${at}?forever=true`, { method: 'DELETE' })).status).toBe(409);
    expect((await test.ask(at, { method: 'DELETE' })).status).toBe(204);
    expect((await test.ask(at)).status).toBe(410);
    expect((await change(at, [answer('answer-1')])).status).toBe(410);
    expect((await test.ask(`${at}/restore`, { method: 'POST' })).status).toBe(200);
    expect((await test.ask(at)).status).toBe(200);
    await test.ask(at, { method: 'DELETE' });
    expect((await test.ask(`${at}?forever=true`, { method: 'DELETE' })).status).toBe(204);
    expect((await test.ask(at)).status).toBe(404);
  });

  it("verdicts are the engine's own, with an ETag of their own", async () => {
    const at = await fresh();
    const { body, headers } = await test.json(`${at}/score?seed=7`);
    expect(body).toEqual(
      JSON.parse(JSON.stringify(score(test.deps.rubric, smallAssessment(at.split('/').at(-1)), { seed: 7 }))),
    );
    const again = await test.ask(`${at}/score?seed=7`, { headers: { 'If-None-Match': headers.get('etag')! } });
    expect(again.status).toBe(304);
  });

  it('markup and control characters in text come back as they went in, as JSON', async () => {
    const at = await fresh();
    const note = '<script>alert(1)</script>\u001b[31m & "quoted"';
    await change(at, [{ id: 'note-0001', type: 'set-component', component: 'arm-left', set: { note }, seen: 1 }]);
    const answered = await test.ask(at);
    expect(answered.headers.get('content-type')).toBe('application/json');
    expect(answered.headers.get('x-content-type-options')).toBe('nosniff');
    expect(((await answered.json()) as Assessment).components[0]!.note).toBe(note);
  });

  it('a demo is opened as a fresh copy each time', async () => {
    const ids = [];
    for (let n = 0; n < 2; n++)
      ids.push((await test.json<{ id: string }>('/api/demos/demo', { method: 'POST' })).body.id);
    expect(ids).toEqual(['demo-front', 'demo-front-2']);
  });
});

describe('refusals', () => {
  it('every error is problem details', async () => {
    const at = await fresh();
    const cases: [string, Parameters<TestApp['ask']>[1], number][] = [
      ['/api/assessments/nobody', {}, 404],
      ['/api/no/such', {}, 404],
      ['/api/assessments/Not%20An%20Id', {}, 400],
      ['/api/assessments', { raw: '{"name":', headers: { 'Content-Type': 'application/json' } }, 400],
      ['/api/assessments', { body: { name: 3 } }, 400],
      ['/api/assessments', { body: { name: 'x', kind: 'no-such-kind' } }, 422],
      [`${at}/history?limit=none`, {}, 400],
      [`${at}/components/nobody`, {}, 404],
      ['/no-such-file.js', {}, 404],
    ];
    for (const [path, init, status] of cases) {
      const answered = await test.ask(path, init);
      expect([path, answered.status]).toEqual([path, status]);
      expect(answered.headers.get('content-type')).toBe('application/problem+json');
      const told = (await answered.json()) as Problem;
      expect(told).toMatchObject({ type: expect.stringMatching(/^\/problems\//), title: expect.any(String), status });
    }
  });

  it('a field that is wrong is named with what was wanted and found', async () => {
    const { body } = await test.json<Problem>('/api/assessments', { body: { name: '' } });
    expect(body.faults).toEqual([{ path: 'name', wanted: expect.any(String), found: expect.any(String) }]);
  });

  it('a body larger than the bound is refused, stated or not', async () => {
    const stated = await test.ask('/api/assessments', {
      raw: '{}',
      headers: { 'Content-Type': 'application/json', 'Content-Length': String(1024 ** 3) },
    });
    expect(stated.status).toBe(413);
    const streamed = await test.app.request('http://localhost/api/assessments', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      duplex: 'half',
      body: new ReadableStream({
        pull(controller) {
          controller.enqueue(new Uint8Array(1024 * 1024).fill(32));
        },
      }),
    } as RequestInit);
    expect(streamed.status).toBe(413);
  });
});

describe('server-sent events', () => {
  it('tell an open page what changed', async () => {
    const at = await fresh();
    const answered = await test.ask('/api/events');
    expect(answered.headers.get('content-type')).toContain('text/event-stream');
    const reader = answered.body!.pipeThrough(new TextDecoderStream()).getReader();
    const hello = (await reader.read()).value!;
    expect(hello).toContain('event: hello');
    await change(at, [answer('answer-1')]);
    let text = '';
    while (!text.includes('answer-1')) text += (await reader.read()).value ?? '';
    const data = /event: changed\ndata: (.*)\n/.exec(text) ?? /data: (.*"changed".*)\n/.exec(text);
    expect(JSON.parse(data![1]!)).toMatchObject({
      event: 'changed',
      version: 2,
      changes: ['answer-1'],
      components: ['arm-left'],
    });
    await reader.cancel();
  });
});

describe('the OpenAPI document', () => {
  it('names every route of the contract, and the answers are as it says', async () => {
    const { body } = await test.json<{
      openapi: string;
      paths: Record<string, Record<string, { responses: Record<string, unknown> }>>;
    }>('/api/openapi.json');
    expect(body.openapi).toBe('3.1.0');
    for (const route of Object.values(API)) {
      const documented = body.paths[route.path]?.[route.method];
      expect(documented, `${route.method} ${route.path}`).toBeDefined();
      expect(Object.keys(documented!.responses)).toContain(String(route.status));
    }
    const id = (await fresh()).split('/').at(-1);
    const asked: [keyof typeof API, string][] = [
      ['me', '/api/me'],
      ['listAssessments', '/api/assessments'],
      ['readAssessment', `/api/assessments/${id}`],
      ['history', `/api/assessments/${id}/history`],
      ['listPhotos', `/api/assessments/${id}/photos`],
      ['readComponent', `/api/assessments/${id}/components/arm-left`],
      ['listDemos', '/api/demos'],
      ['listDevices', '/api/devices'],
      ['kind', '/api/rubric/kinds/coil-spring'],
      ['rubric', '/api/rubric'],
    ];
    for (const [name, path] of asked) {
      const answered = await test.json(path);
      expect(answered.status, path).toBe(API[name].status);
      const schema = API[name].answer as { safeParse: (value: unknown) => { error?: unknown } };
      expect(schema.safeParse(answered.body).error, path).toBeUndefined();
    }
  });
});
