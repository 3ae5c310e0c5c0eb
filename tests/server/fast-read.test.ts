import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { openTestApp, type TestApp } from './test-app.ts';

let test: TestApp;
let cookie: string;
beforeAll(async () => {
  test = await openTestApp();
  for (const id of ['front-end', 'binned']) {
    await test.keeping.store.create({
      assessment: smallAssessment(id),
      rubricVersion: null,
      demo: null,
      photos: [],
      author: HERE,
    });
  }
  await test.keeping.store.setDeleted('binned', '2026-11-25T10:00:00Z');
  const { token } = await test.app.issueCode('read');
  const paired = await test.ask('/api/pair', {
    body: { token, name: 'A phone' },
    from: '192.0.2.80',
    host: '192.0.2.17',
  });
  cookie = paired.headers.get('set-cookie')!.split(';')[0]!;
});
afterAll(() => test?.close());

/** The same request as a socket brings it, and as one made inside the process: the short way and the whole way. */
async function bothWays(path: string, headers: Record<string, string>, from: string | null) {
  test.deps.remoteAddress = () => from;
  const ask = async (env?: object) => {
    const url = `http://${headers.host ?? 'localhost'}${path}`;
    const answer = await test.app.fetch(new Request(url, { headers }), env as never);
    const { date: _date, ...named } = Object.fromEntries(answer.headers);
    return { status: answer.status, headers: named, body: await answer.text() };
  };
  const whole = await ask();
  const short = await ask({ incoming: { method: 'GET', url: path, headers } });
  return { whole, short };
}

describe('fastReads() gives what the whole way gives', () => {
  const at = '/api/assessments/front-end';
  const etag = async () => {
    test.deps.remoteAddress = () => null;
    return (await test.ask(at)).headers.get('etag')!;
  };
  const network = { host: '192.0.2.17' };

  it.each([
    ['the owner on this computer', at, { host: 'localhost' }, null, 200],
    ['a name that is not ours', at, { host: 'evil.example' }, null, 421],
    ['a stranger on the network', at, network, '192.0.2.99', 401],
    ['somebody on the network under a loopback name', at, { host: 'localhost' }, '192.0.2.99', 401],
    ['the owner under the network’s name', at, network, '127.0.0.1', 401],
    ['one that is in the bin', '/api/assessments/binned', { host: 'localhost' }, null, 410],
    ['one that is not there', '/api/assessments/nowhere', { host: 'localhost' }, null, 404],
  ])('%s', async (_name, path, headers, from, status) => {
    const { whole, short } = await bothWays(path, headers, from);
    expect(short).toEqual(whole);
    expect(short.status).toBe(status);
  });

  it('a paired phone, a made-up cookie, and a phone that has been shut out', async () => {
    const paired = await bothWays(at, { ...network, cookie }, '192.0.2.80');
    expect(paired.short).toEqual(paired.whole);
    expect(paired.short.status).toBe(200);
    const madeUp = await bothWays(at, { ...network, cookie: 'keepworthy_session=abc' }, '192.0.2.80');
    expect([madeUp.short.status, madeUp.short]).toEqual([401, madeUp.whole]);
    const [device] = await test.keeping.store.devices();
    await test.keeping.store.removeDevice(device!.id);
    const out = await bothWays(at, { ...network, cookie }, '192.0.2.80');
    expect([out.short.status, out.short]).toEqual([401, out.whole]);
  });

  it('304 for the tag that holds, the text for another', async () => {
    const same = await bothWays(at, { host: 'localhost', 'if-none-match': await etag() }, null);
    expect([same.short.status, same.short.body, same.short]).toEqual([304, '', same.whole]);
    const other = await bothWays(at, { host: 'localhost', 'if-none-match': '"0-old"' }, null);
    expect([other.short.status, other.short]).toEqual([200, other.whole]);
  });
});
