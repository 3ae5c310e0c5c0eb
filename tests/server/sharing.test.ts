import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Device, Me, Pairing } from '../../shared/index.ts';
import { answer, HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { openTestApp, type TestApp } from './test-app.ts';

let test: TestApp;
let time = Date.parse('2026-11-25T10:00:00Z');
beforeAll(async () => {
  test = await openTestApp({ now: () => new Date(time) });
  await test.keeping.store.create({
    assessment: smallAssessment(),
    rubricVersion: null,
    demo: null,
    photos: [],
    author: HERE,
  });
});
afterAll(() => test?.close());

// Documentation addresses of RFC 5737.
const PHONE = { from: '192.0.2.50', host: '192.0.2.17' };
const code = async (role: string) => (await test.json<Pairing>('/api/pairing', { body: { role } })).body;
async function pairPhone(role: string, from = PHONE.from): Promise<Record<string, string>> {
  const { token } = await code(role);
  const paired = await test.ask('/api/pair', { ...PHONE, from, body: { token, name: 'R. Phone' } });
  expect(paired.status).toBe(200);
  return { Cookie: paired.headers.get('set-cookie')!.split(';')[0]! };
}

describe('sharing', () => {
  it('this computer owns; a device on the network is nobody until it is paired', async () => {
    expect((await test.json<Me>('/api/me')).body).toMatchObject({
      role: 'own',
      transport: 'loopback',
      reloadsOffline: true,
    });
    const stranger = await test.json<Me>('/api/me', PHONE);
    expect(stranger.body).toMatchObject({ role: null, transport: 'http', reloadsOffline: false, addresses: [] });
    expect(stranger.body.words.join(' ')).toContain('Anyone on this network can read');
    expect((await test.ask('/api/assessments', PHONE)).status).toBe(401);
    // The name of this computer alone is not enough: the address counts.
    expect((await test.ask('/api/assessments', { from: PHONE.from, host: 'localhost' })).status).toBe(401);
  });

  it('a code works once, within five minutes, and stands behind # in the link', async () => {
    const { token, link, qr } = await code('grade');
    expect(link).toBe(`http://192.0.2.17:8420/pair#${token}`);
    expect(qr).toContain('<svg');
    const spend = () =>
      test.ask('/api/pair', {
        ...PHONE,
        from: '192.0.2.60',
        body: { token: token.toLowerCase().replace('-', ' '), name: 'x' },
      });
    const first = await spend();
    expect(first.status).toBe(200);
    expect(first.headers.get('set-cookie')).toMatch(/HttpOnly/);
    expect(first.headers.get('set-cookie')).toMatch(/SameSite=Strict/);
    expect((await spend()).status).toBe(401);
    const late = await code('grade');
    time += 5 * 60 * 1000 + 1;
    expect(
      (await test.ask('/api/pair', { ...PHONE, from: '192.0.2.61', body: { token: late.token, name: 'x' } })).status,
    ).toBe(401);
  });

  it('guessing is slowed down for one address and ends the code for all', async () => {
    const { token } = await code('own');
    const wrong = (from: string) => test.ask('/api/pair', { ...PHONE, from, body: { token: '0000-0000', name: 'x' } });
    const statuses = [];
    for (let n = 0; n < 6; n++) statuses.push((await wrong('192.0.2.70')).status);
    expect(statuses).toEqual([401, 401, 401, 401, 401, 429]);
    for (let n = 0; n < 20; n++) await wrong(`192.0.2.${100 + n}`);
    expect((await test.ask('/api/pair', { ...PHONE, from: '192.0.2.99', body: { token, name: 'x' } })).status).toBe(
      401,
    );
  });

  it('roles hold: read looks, grade answers, own does the rest', async () => {
    const read = await pairPhone('read', '192.0.2.80');
    const grade = await pairPhone('grade', '192.0.2.81');
    const at = '/api/assessments/front-end';
    const ask = (headers: Record<string, string>, path: string, init = {}) =>
      test.ask(path, { ...PHONE, headers, ...init });
    expect((await ask(read, at)).status).toBe(200);
    expect(
      (
        await ask(read, `${at}/changes`, {
          body: { changes: [answer('read-0001')] },
          headers: { ...read, 'Content-Type': 'application/json' },
        })
      ).status,
    ).toBe(403);
    const graded = await test.json<{ results: { outcome: string }[] }>(`${at}/changes`, {
      ...PHONE,
      headers: grade,
      body: { changes: [answer('grade-001')] },
    });
    expect(graded.body.results[0]!.outcome).toBe('kept');
    const cover = { id: 'sealer', name: 'under sealer', hides: ['arm-left'] };
    const covered = await test.json<{ results: { outcome: string }[] }>(`${at}/changes`, {
      ...PHONE,
      headers: grade,
      body: { changes: [{ id: 'grade-005', type: 'add-cover', cover }] },
    });
    expect(covered.body.results[0]!.outcome).toBe('kept');
    const override = { action: 'reuse', reason: 'because', by: 'R. Phone', date: '2026-11-25' };
    for (const change of [
      { id: 'grade-002', type: 'override', component: 'arm-left', override },
      { id: 'grade-003', type: 'remove-component', component: 'arm-left' },
      { id: 'grade-004', type: 'set-assessment', set: { name: 'x' }, seen: 1 },
    ]) {
      expect((await test.ask(`${at}/changes`, { ...PHONE, headers: grade, body: { changes: [change] } })).status).toBe(
        403,
      );
    }
    expect((await ask(grade, at, { method: 'DELETE' })).status).toBe(403);
    expect((await ask(grade, '/api/devices')).status).toBe(403);
    expect((await test.keeping.store.history('front-end', { limit: 1 }))[0]).toMatchObject({
      id: 'grade-005',
      by: 'R. Phone',
    });
  });

  it('devices are listed and shut out at once', async () => {
    const headers = await pairPhone('grade', '192.0.2.90');
    expect((await test.ask('/api/assessments', { ...PHONE, headers })).status).toBe(200);
    const { body: devices } = await test.json<Device[]>('/api/devices');
    const device = devices.at(-1)!;
    expect(device).toMatchObject({ name: 'R. Phone', role: 'grade', self: false });
    expect((await test.ask(`/api/devices/${device.id}`, { method: 'DELETE' })).status).toBe(204);
    expect((await test.ask('/api/assessments', { ...PHONE, headers })).status).toBe(401);
  });

  it('a foreign name and a foreign site are refused, and every answer carries the policy', async () => {
    expect((await test.ask('/api/me', { host: 'attacker.example' })).status).toBe(421);
    const origin = (value: string) => test.ask('/api/demos/demo', { method: 'POST', headers: { Origin: value } });
    expect((await origin('http://attacker.example')).status).toBe(403);
    expect((await origin('null')).status).toBe(403);
    expect((await origin('http://localhost')).status).toBe(201);
    const site = await test.ask('/api/demos/demo', { method: 'POST', headers: { 'Sec-Fetch-Site': 'cross-site' } });
    expect(site.status).toBe(403);
    for (const answered of [
      await test.ask('/api/me'),
      await test.ask('/api/none'),
      await test.ask('/api/me', { host: 'attacker.example' }),
    ]) {
      expect(answered.headers.get('content-security-policy')).toContain("default-src 'none'");
      expect(answered.headers.get('content-security-policy')).not.toContain('unsafe');
      expect(answered.headers.get('referrer-policy')).toBe('no-referrer');
    }
  });
});
