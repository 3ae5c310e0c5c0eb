import fc from 'fast-check';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Assessment, HistoryEntry, ImportAnswer, PartsAnswer, Problem, StoredPhoto } from '../../shared/index.ts';
import { markCell, partsFromCsv, partsToCsv, unmarkCell } from '../../src/app/store-parts.ts';
import { answer, HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { openTestApp, type TestApp, testPicture } from './test-app.ts';

let test: TestApp;
const at = '/api/assessments/front-end';
beforeAll(async () => {
  test = await openTestApp();
  await test.keeping.store.create({
    assessment: smallAssessment(),
    rubricVersion: null,
    demo: null,
    photos: [],
    author: HERE,
  });
});
afterAll(() => test?.close());
const bring = (raw: Uint8Array | string) =>
  test.json<ImportAnswer & Problem>('/api/import?name=parts.csv', { raw, method: 'POST' });
const send = (photo: string, raw: Uint8Array, query = '') =>
  test.json<StoredPhoto & Problem>(`${at}/photos?photo=${photo}${query}`, {
    raw,
    headers: { 'Content-Type': 'image/jpeg' },
  });

describe('photos over HTTP', () => {
  it('one sent twice is kept once, is assigned, outlined, measured, struck and brought back', async () => {
    const picture = await testPicture(1, 900, 700);
    const first = await send('photo-1', picture, '&name=arm.jpg');
    expect(first.status).toBe(201);
    expect(first.body).toMatchObject({ id: 'photo-1', name: 'arm.jpg', width: 900, height: 700, component: null });
    // Looked at when taken in, so that many can be sorted; without an outline it bounds nothing.
    expect(first.body).toMatchObject({ outline: null, measurement: { assessed: 'whole-frame', file: 'arm.jpg' } });
    expect((await test.ask(`${at}/photos/photo-1/mask`)).headers.get('content-type')).toBe('image/png');
    expect((await send('photo-1', picture)).body.file).toBe(first.body.file);
    expect((await test.json<StoredPhoto[]>(`${at}/photos`)).body).toHaveLength(1);
    const assign = {
      id: 'assign-01',
      type: 'assign-photo',
      photo: 'photo-1',
      component: 'arm-left',
      check: 'face-rust',
      stage: 'off',
    };
    expect((await test.json(`${at}/changes`, { body: { changes: [assign] } })).status).toBe(200);
    const outline = [
      [50, 50],
      [850, 50],
      [850, 650],
      [50, 650],
    ];
    const kept = await test.json<{ photo: StoredPhoto; version: number }>(`${at}/photos/photo-1/measure`, {
      body: { outline, method: 'colour', keep: 'measure-01' },
    });
    expect(kept.status).toBe(200);
    expect(kept.body.photo).toMatchObject({ component: 'arm-left', check: 'face-rust', stage: 'off', outline });
    const again = await test.json<{ version: number }>(`${at}/photos/photo-1/measure`, {
      body: { outline, method: 'colour', keep: 'measure-01' },
    });
    expect(again.body.version).toBe(kept.body.version);
    const strike = { id: 'strike-01', type: 'strike-photo', photo: 'photo-1', reason: 'a shadow, not rust' };
    expect((await test.json(`${at}/changes`, { body: { changes: [strike] } })).status).toBe(200);
    const [listed] = (await test.json<StoredPhoto[]>(`${at}/photos`)).body;
    expect(listed).toMatchObject({ struck: { reason: 'a shadow, not rust' }, measurement: { assessed: 'outline' } });
    const small = await test.ask(`${at}/photos/photo-1/file?width=200`);
    expect(small.headers.get('content-type')).toBe('image/jpeg');
    expect((await test.ask(`${at}/photos/photo-1/file`)).headers.get('cache-control')).toContain('immutable');
  });

  it('a text named .jpg, an empty body and a cut-short picture are refused with a reason, and nothing is kept', async () => {
    const before = (await test.json<StoredPhoto[]>(`${at}/photos`)).body.length;
    const picture = await testPicture(2);
    const cases: [Uint8Array, number[]][] = [
      [strToU8('this is not a picture, whatever its name says'), [415]],
      [new Uint8Array(0), [400, 415, 422]],
      [picture.subarray(0, picture.length / 2), [422]],
    ];
    for (const [n, [bytes, statuses]] of cases.entries()) {
      const { status, body } = await send(`bad-${n}`, bytes);
      expect(statuses).toContain(status);
      expect(body.title.length).toBeGreaterThan(3);
    }
    expect((await test.json<StoredPhoto[]>(`${at}/photos`)).body).toHaveLength(before);
  });
});

describe('an assessment travels', () => {
  it('out and in again as .zip without loss, and twice out is the same bytes', async () => {
    await test.json(`${at}/changes`, { body: { changes: [answer('travel-01')] } });
    const first = new Uint8Array(await (await test.ask(`${at}/export`)).arrayBuffer());
    const second = new Uint8Array(await (await test.ask(`${at}/export`)).arrayBuffer());
    expect(Buffer.compare(first, second)).toBe(0);
    const { status, body } = await bring(first);
    expect([status, body.detail]).toEqual([201, undefined]);
    expect(body).toMatchObject({ id: 'front-end-2', components: 2, photos: 1 });
    const [original, copy] = [
      await test.json<Assessment>(at),
      await test.json<Assessment>('/api/assessments/front-end-2'),
    ];
    expect(copy.body).toEqual({ ...original.body, id: 'front-end-2' });
    const third = unzipSync(
      new Uint8Array(await (await test.ask('/api/assessments/front-end-2/export')).arrayBuffer()),
    );
    const entries = unzipSync(first);
    expect(Object.keys(third).sort()).toEqual(Object.keys(entries).sort());
    for (const name of Object.keys(entries)) {
      if (name !== 'assessment.json') expect(Buffer.compare(third[name]!, entries[name]!), name).toBe(0);
    }
  });

  it('a rubric of another version comes with it and is used until told otherwise', async () => {
    const entries = unzipSync(new Uint8Array(await (await test.ask(`${at}/export`)).arrayBuffer()));
    const rubric = { ...JSON.parse(new TextDecoder().decode(entries['rubric.json'])), version: 'another' };
    const { body } = await bring(zipSync({ ...entries, 'rubric.json': strToU8(JSON.stringify(rubric)) }));
    const read = await test.ask(`/api/assessments/${body.id}`);
    expect(read.headers.get('keepworthy-rubric')).toBe('another');
    await test.json(`/api/assessments/${body.id}/changes`, {
      body: { changes: [{ id: 'use-00001', type: 'use-current-rubric' }] },
    });
    expect((await test.ask(`/api/assessments/${body.id}`)).headers.get('keepworthy-rubric')).toBe(
      test.deps.rubric.version,
    );
    await test.json(`/api/assessments/${body.id}/undo`, { body: { id: 'undo-00001' } });
    expect((await test.ask(`/api/assessments/${body.id}`)).headers.get('keepworthy-rubric')).toBe('another');
  });

  it('a .zip that climbs, swells, is cut short or lacks the assessment is refused in words', async () => {
    const good = strToU8(JSON.stringify(smallAssessment('zipped')));
    const bomb = zipSync({ 'assessment.json': new Uint8Array(50 * 1024 * 1024) });
    const cases: [Uint8Array, string][] = [
      [zipSync({ 'assessment.json': good, '../../evil.txt': good }), 'climbs'],
      [zipSync({ 'assessment.json': good, '/etc/evil': good }), 'climbs'],
      [zipSync({ 'assessment.json': good, 'a\\..\\..\\evil': good }), 'climbs'],
      [bomb, 'times'],
      [zipSync({ 'assessment.json': good }).subarray(0, 60), 'cut short'],
      [zipSync({ 'other.json': good }), 'assessment.json'],
    ];
    for (const [bytes, word] of cases) {
      const { status, body } = await bring(bytes);
      expect([word, status]).toEqual([word, 422]);
      expect(body.detail).toContain(word);
    }
    expect((await test.ask('/api/assessments/zipped')).status).toBe(404);
  });

  it('JSON with a fault names its place', async () => {
    const { status, body } = await bring(JSON.stringify({ ...smallAssessment('x'), currency: 'pounds' }));
    expect(status).toBe(422);
    expect(body.faults![0]).toMatchObject({ path: 'currency', wanted: expect.stringContaining('ISO 4217') });
  });
});

describe('the parts list as CSV', () => {
  it('the mark before a risky cell is what import takes off, for any text', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        expect(unmarkCell(markCell(text))).toBe(text);
        expect(markCell(text)).not.toMatch(/^[=+\-@\t\r]/);
      }),
    );
    expect(markCell('=1+1')).toBe("'=1+1");
    expect(unmarkCell("'abc")).toBe("'abc");
  });

  it('out and in again gives the same parts', () => {
    const assessment = smallAssessment();
    assessment.components[0] = {
      ...assessment.components[0]!,
      name: '=HYPERLINK("x"), left; "odd"',
      count: 2,
      note: "'quoted\nover two lines",
      properties: { class: '8.8', wallMm: 2.5, name: 'clash' },
    };
    const { components } = partsFromCsv(partsToCsv(assessment), new Set(['class', 'wallMm', 'name']));
    expect(components).toEqual(assessment.components);
  });

  it('semicolons and decimal commas read as in many spreadsheets, and unknown columns are kept and named', async () => {
    const csv = 'name;kind;massKg;Shelf\r\nSpring;coil-spring;2,5;B3\r\nArm;pressed-steel-arm;2.5;\r\n';
    const { status, body } = await bring(csv);
    expect([status, body.detail]).toEqual([201, undefined]);
    expect(body.notes.join(' ')).toContain('Shelf');
    const { components } = (await test.json<Assessment>(`/api/assessments/${body.id}`)).body;
    expect(components.map((c) => [c.id, c.massKg, c.note, c.properties])).toEqual([
      ['spring', 2.5, 'Shelf: B3', undefined],
      ['arm', 2.5, undefined, undefined],
    ]);
  });

  it('a parts list is undone whole or not at all, and an undo sent twice is made once', async () => {
    const csv =
      'id,name,kind,stage\nspring-left,Coil spring,coil-spring,off\none,One,coil-spring,off\ntwo,Two,coil-spring,off\n';
    const sent = { raw: csv, headers: { 'Content-Type': 'text/csv' } };
    const before = (await test.json<Assessment>(at)).body;
    const { changes } = (await test.json<PartsAnswer>(`${at}/parts`, sent)).body;
    expect(changes).toHaveLength(3);
    const renamed = {
      changes: [{ id: 'rename-001', type: 'set-component', component: 'two', seen: 99, set: { name: 'Two, renamed' } }],
    };
    expect((await test.ask(`${at}/changes`, { body: renamed })).status).toBe(200);
    const between = (await test.json<Assessment>(at)).body;
    const refused = await test.json<Problem>(`${at}/undo`, { body: { id: 'undo-list-4', change: changes[0]! } });
    expect([refused.status, refused.body.detail]).toEqual([409, expect.stringContaining('undo that first')]);
    expect((await test.json<Assessment>(at)).body).toEqual(between);
    expect((await test.ask(`${at}/undo`, { body: { id: 'undo-rename', change: 'rename-001' } })).status).toBe(200);
    const undo = { body: { id: 'undo-list-5', change: changes[0]! } };
    const done = await test.json<{ version: number }>(`${at}/undo`, undo);
    expect((await test.json<Assessment>(at)).body).toEqual(before);
    expect((await test.json<{ version: number }>(`${at}/undo`, undo)).body.version).toBe(done.body.version);
    const history = (await test.json<HistoryEntry[]>(`${at}/history`)).body;
    expect(history.slice(0, 3).map((entry) => [entry.list, entry.undoes])).toEqual(
      changes.map((change) => ['undo-list-5', change]),
    );
  });

  it('rows change known parts, add new ones, and every fault names its row', async () => {
    const csv = 'id,name,kind,stage\nspring-left,Coil spring,coil-spring,off\nextra,Extra spring,coil-spring,off\n';
    const sent = { raw: csv, headers: { 'Content-Type': 'text/csv' } };
    const before = (await test.json<Assessment>(at)).body;
    const preview = await test.json<PartsAnswer>(`${at}/parts?preview=true`, sent);
    expect((await test.json<Assessment>(at)).body).toEqual(before);
    expect(preview.body).toMatchObject({ added: [{ id: 'extra' }], same: 0, refused: [], changes: [] });
    expect(preview.body.changed.map(({ id }) => id)).toEqual(['spring-left']);
    expect(preview.body.changed[0]!.fields).toContainEqual({ field: 'stage', was: 'fitted', now: 'off' });
    const merged = await test.json<PartsAnswer>(`${at}/parts`, sent);
    const { changes, ...told } = merged.body;
    expect({ ...told, changes: [] }).toEqual(preview.body);
    expect(changes).toHaveLength(2);
    const again = await test.json<PartsAnswer>(`${at}/parts`, sent);
    expect(again.body).toMatchObject({ added: [], changed: [], same: 2, changes: [] });
    const { components } = (await test.json<Assessment>(at)).body;
    expect(components.find((c) => c.id === 'spring-left')!.stage).toBe('off');
    expect(components.find((c) => c.id === 'arm-left')!.observations).toHaveLength(1);
    const after = (await test.json<Assessment>(at)).body;
    // The list is one step: undo without a name takes all of it back, and undo of that makes all of it again.
    expect((await test.ask(`${at}/undo`, { body: { id: 'undo-list-1' } })).status).toBe(200);
    expect((await test.json<Assessment>(at)).body).toEqual(before);
    expect((await test.ask(`${at}/undo`, { body: { id: 'undo-list-2', change: 'undo-list-1' } })).status).toBe(200);
    expect((await test.json<Assessment>(at)).body).toEqual(after);
    expect((await test.ask(`${at}/undo`, { body: { id: 'undo-list-3', change: 'undo-list-2' } })).status).toBe(200);
    expect((await test.json<Assessment>(at)).body).toEqual(before);
    const bad = await bring('\nname,kind,count\n\nArm,pressed-steel-arm,two\n,coil-spring,1\n');
    expect(bad.status).toBe(422);
    expect(bad.body.faults!.map((fault) => fault.path)).toEqual(
      expect.arrayContaining(['row 4, count', 'row 5, name']),
    );
    const odd = { raw: 'id,name,kind\nodd,Odd,no-such-kind\nfine,Fine,coil-spring\n', headers: sent.headers };
    for (const query of ['?preview=true', '']) {
      const { body } = await test.json<PartsAnswer>(`${at}/parts${query}`, odd);
      expect(body.added.map(({ id }) => id)).toEqual(['fine']);
      expect(body.refused).toEqual([{ id: 'odd', name: 'Odd', why: expect.stringContaining('no-such-kind') }]);
    }
  });
});
