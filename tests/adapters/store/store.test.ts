import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Keeping, openKeeping } from '../../../src/adapters/store/index.ts';
import type { PhotoRow, StoreChange } from '../../../src/app/store-port.ts';
import { answer, HERE, keeping, smallAssessment } from './small-assessment.ts';
import { startTestServer, type TestServer } from './test-server.ts';

const folders: string[] = [];
function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'keepworthy-store-'));
  folders.push(folder);
  return folder;
}
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});

let server: TestServer;
beforeAll(async () => {
  server = await startTestServer();
});
afterAll(() => server?.stop());

const fresh = (id: string, photos: PhotoRow[] = []) => ({
  assessment: smallAssessment(id),
  rubricVersion: null,
  demo: null,
  photos,
  author: HERE,
});

describe.each(['embedded', 'server'] as const)('store on the %s database', (which) => {
  let keeping1: Keeping;
  let folder: string;
  let databaseUrl: string | undefined;
  beforeAll(async () => {
    folder = freshFolder();
    databaseUrl = which === 'server' ? await server.freshDatabase() : undefined;
    keeping1 = await openKeeping(folder, { databaseUrl });
  });
  afterAll(() => keeping1?.close());
  const reopen = async () => {
    await keeping1.close();
    keeping1 = await openKeeping(folder, { databaseUrl });
  };

  it('create() keeps an assessment as it is, and refuses its id a second time', async () => {
    expect(await keeping1.store.create(fresh('one'))).toBe(true);
    expect(await keeping1.store.create(fresh('one'))).toBe(false);
    await reopen();
    const kept = await keeping1.store.read('one');
    expect(kept?.assessment).toEqual(smallAssessment('one'));
    expect(kept?.version).toBe(1);
    expect(await keeping1.store.read('nobody')).toBeUndefined();
  });

  it('change() keeps every change with its version, time and author, and the same id once', async () => {
    await keeping1.store.create(fresh('two'));
    expect(await keeping1.store.change('two', keeping(answer('answer-1')))).toBe('kept');
    expect(await keeping1.store.change('two', keeping(answer('answer-1')))).toBe('already');
    expect(await keeping1.store.change('nobody', keeping(answer('answer-1')))).toBeUndefined();
    await reopen();
    const kept = (await keeping1.store.read('two'))!;
    expect(kept.version).toBe(2);
    expect(kept.assessment.components[0]?.observations?.map((o) => o.id)).toEqual(['answer-1']);
    const [entry, ...others] = await keeping1.store.history('two', { limit: 10 });
    expect(others).toEqual([]);
    expect(entry).toMatchObject({ id: 'answer-1', version: 2, by: 'A. Grader', device: 'here', undoneBy: null });
    expect(Date.now() - Date.parse(entry!.at)).toBeLessThan(60_000);
  });

  it('ofList() finds what came in together, in order, also in the same transaction, and nothing else', async () => {
    await keeping1.store.create(fresh('listed'));
    await keeping1.store.create(fresh('other-listed'));
    await keeping1.store.change('other-listed', keeping(answer('elsewhere'), 'list-1'));
    await Promise.all(
      (['first-01', 'second-1'] as const).map((id) => keeping1.store.change('listed', keeping(answer(id), 'list-1'))),
    );
    await keeping1.store.change('listed', keeping(answer('alone-01')));
    const found = await keeping1.store.change('listed', async (kept, inside) => {
      const last = await keeping(answer('third-01'), 'list-1')(kept, inside);
      return { ...last, answer: (await inside.ofList('list-1')).map((entry) => [entry.id, entry.list]) };
    });
    expect(found).toEqual([
      ['first-01', 'list-1'],
      ['second-1', 'list-1'],
    ]);
    await reopen();
    const history = await keeping1.store.history('listed', { limit: 10 });
    expect(history.map((entry) => entry.list)).toEqual(['list-1', null, 'list-1', 'list-1']);
  });

  it('change() of many at once loses none and gives each its own version', async () => {
    await keeping1.store.create(fresh('crowd'));
    const ids = Array.from({ length: 300 }, (_, i) => `phone-${i}`);
    await Promise.all(ids.map((id) => keeping1.store.change('crowd', keeping(answer(id)))));
    await reopen();
    const kept = (await keeping1.store.read('crowd'))!;
    expect(kept.assessment.components[0]!.observations!.map((o) => o.id).sort()).toEqual([...ids].sort());
    const history = await keeping1.store.history('crowd', { limit: 1000 });
    expect(history.map((entry) => entry.version).sort((a, b) => a - b)).toEqual(ids.map((_, i) => i + 2));
  });

  it('change() that throws leaves no trace and lets its neighbours through', async () => {
    await keeping1.store.create(fresh('mixed'));
    const results = await Promise.allSettled([
      keeping1.store.change('mixed', keeping(answer('good-001'))),
      keeping1.store.change('mixed', keeping(answer('bad-0001', 2, 'no-such-part'))),
      keeping1.store.change('mixed', keeping(answer('good-002'))),
    ]);
    expect(results.map((result) => result.status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    const kept = (await keeping1.store.read('mixed'))!;
    expect(kept.version).toBe(3);
    expect(kept.assessment.components[0]!.observations!.map((o) => o.id)).toEqual(['good-001', 'good-002']);
  });

  it('change() that breaks the transaction takes no neighbour with it', async () => {
    await keeping1.store.create(fresh('broken'));
    // The same version twice: the database itself refuses the second entry.
    const twice = async (...[kept, inside]: Parameters<ReturnType<typeof keeping>>) => {
      const outcome = await keeping(answer('twice-001'))(kept, inside);
      return { ...outcome, entries: [...outcome.entries, { ...outcome.entries[0]!, id: 'twice-002' }] };
    };
    const results = await Promise.allSettled([
      keeping1.store.change('broken', keeping(answer('good-001'))),
      keeping1.store.change('broken', twice),
      keeping1.store.change('broken', keeping(answer('good-002'))),
    ]);
    expect(results.map((result) => result.status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    const kept = (await keeping1.store.read('broken'))!;
    expect(kept.assessment.components[0]!.observations!.map((o) => o.id).sort()).toEqual(['good-001', 'good-002']);
  });

  it('read() gives a new ETag for every content, also when an id is used again', async () => {
    await keeping1.store.create(fresh('again'));
    const first = (await keeping1.store.read('again'))!.etag;
    await keeping1.store.change('again', keeping(answer('answer-1')));
    const second = (await keeping1.store.read('again'))!.etag;
    await keeping1.store.erase('again');
    await keeping1.store.create(fresh('again'));
    const third = (await keeping1.store.read('again'))!.etag;
    expect(new Set([first, second, third]).size).toBe(3);
  });

  it('list() shows what is in the bin apart, newest change first', async () => {
    await keeping1.store.create(fresh('binned'));
    await keeping1.store.setDeleted('binned', '2026-11-25T10:00:00.000Z');
    const ids = (await keeping1.store.list(false)).map((row) => row.id);
    expect(ids).not.toContain('binned');
    expect(ids[0]).toBe('again');
    expect((await keeping1.store.list(true)).map((row) => row.id)).toEqual(['binned']);
    await keeping1.store.setDeleted('binned', null);
    const row = (await keeping1.store.list(false)).find((other) => other.id === 'crowd')!;
    expect(row).toMatchObject({ name: 'Front end', components: 2, answered: 1, photos: 0, wantedFinish: 'smart' });
  });

  it('erase() removes photo files that nothing else uses', async () => {
    const bytes = new TextEncoder().encode('a photo');
    const [own, common] = [await keeping1.files.put(bytes, 'jpg'), await keeping1.files.put(new Uint8Array(9), 'jpg')];
    const photo = (id: string, file: string): PhotoRow => ({
      id,
      file,
      name: 'x.jpg',
      bytes: 9,
      width: 1,
      height: 1,
      takenAt: null,
      addedAt: '2026-11-25T10:00:00.000Z',
      by: 'A. Grader',
      outline: null,
      hints: null,
      scale: null,
      measurement: null,
      mask: null,
      removedAt: null,
    });
    await keeping1.store.create(fresh('album', [photo('p1', own), photo('p2', common)]));
    await keeping1.store.create(fresh('other-album', [photo('p2', common)]));
    expect(await keeping1.store.photos('album')).toEqual([photo('p1', own), photo('p2', common)]);
    await keeping1.store.erase('album');
    expect(await keeping1.files.get(own)).toBeUndefined();
    expect(await keeping1.files.get(common)).toEqual(Buffer.from(new Uint8Array(9)));
  });

  it('onChange() tells what changed', async () => {
    const heard: StoreChange[] = [];
    const stop = keeping1.store.onChange((change) => heard.push(change));
    await keeping1.store.create(fresh('news'));
    await keeping1.store.change('news', keeping(answer('answer-1')));
    // On a server the announcement comes back over the network.
    for (let i = 0; i < 100 && heard.length < 2; i++) await new Promise((resolve) => setTimeout(resolve, 20));
    stop();
    expect(heard).toEqual([
      { what: 'list' },
      {
        what: 'assessment',
        id: 'news',
        version: 2,
        by: 'A. Grader',
        device: 'here',
        changes: ['answer-1'],
        components: ['arm-left'],
      },
    ]);
  });

  it('devices are kept, found by their secret, changed and removed', async () => {
    const device = {
      id: 'phone',
      name: 'Phone',
      role: 'grade' as const,
      pairedAt: '2026-11-25',
      lastSeenAt: '2026-11-25',
    };
    await keeping1.store.addDevice(device, 'secret-hash');
    expect(await keeping1.store.deviceBySecret('secret-hash')).toEqual(device);
    expect(await keeping1.store.deviceBySecret('other')).toBeUndefined();
    expect(await keeping1.store.updateDevice('phone', { role: 'read' })).toEqual({ ...device, role: 'read' });
    expect(await keeping1.store.removeDevice('phone')).toBe(true);
    expect(await keeping1.store.removeDevice('phone')).toBe(false);
    expect(await keeping1.store.devices()).toEqual([]);
  });

  it('no draft of a file is left lying about', () => {
    expect(readdirSync(join(folder, 'photos')).filter((name) => name.endsWith('.part'))).toEqual([]);
    expect(existsSync(join(folder, 'keepworthy.json.part'))).toBe(false);
  });
});

describe('two processes on one server', () => {
  it('read() of one sees what the other wrote, and both hear of it', async () => {
    const databaseUrl = await server.freshDatabase();
    const first = await openKeeping(freshFolder(), { databaseUrl });
    const second = await openKeeping(freshFolder(), { databaseUrl });
    try {
      await first.store.create(fresh('shared'));
      expect((await second.store.read('shared'))?.version).toBe(1);
      const heard = new Promise<StoreChange>((resolve) => {
        second.store.onChange((change) => {
          // The announcement of the new assessment may still be on its way.
          if (change.what === 'assessment') resolve(change);
        });
      });
      await Promise.all(
        Array.from({ length: 40 }, (_, i) =>
          (i % 2 === 0 ? first : second).store.change('shared', keeping(answer(`answer-${i}`))),
        ),
      );
      expect(await heard).toMatchObject({ what: 'assessment', id: 'shared' });
      // Either hears of the other's writes a moment later.
      for (const { store } of [first, second]) {
        for (let i = 0; i < 200 && (await store.read('shared'))!.version < 41; i++) {
          await new Promise((resolve) => setTimeout(resolve, 20));
        }
      }
      const [one, two] = [await first.store.read('shared'), await second.store.read('shared')];
      expect(one!.assessment.components[0]!.observations).toHaveLength(40);
      expect(two!.text).toBe(one!.text);
    } finally {
      await first.close();
      await second.close();
    }
  });
});
