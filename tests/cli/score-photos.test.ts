import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { ScoreOut } from '../../shared/index.ts';
import { assessmentOf, demo } from '../engine/real.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'keepworthy-named-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const arm = demo()
  .components.flatMap((component) => component.photos ?? [])
  .find((photo) => photo.id === 'lower-arm-heavy')!;

function scored(name: string, file: string) {
  const { rustAreaPercent: _, ...photo } = { ...arm, file, stage: 'fitted' as const };
  const component = { id: 'arm', name: 'Arm', kind: 'pressed-steel-arm', stage: 'fitted' as const, photos: [photo] };
  const path = join(folder, name);
  writeFileSync(path, JSON.stringify(assessmentOf([component])));
  return spawnSync(process.execPath, [join(root, '.build/keepworthy.mjs'), 'score', path, '--json'], {
    encoding: 'utf8',
  });
}

describe('keepworthy score', () => {
  test('measures a photo that lies beside the assessment and is named in it', () => {
    copyFileSync(join(root, 'demo-data/photos/lower-arm-heavy.jpg'), join(folder, 'arm.jpg'));
    mkdirSync(join(folder, 'photos'));
    copyFileSync(join(folder, 'arm.jpg'), join(folder, 'photos', 'exported'));
    // An exported assessment names its photos without the folder that they lie in.
    expect(scored('exported.json', 'exported')).toMatchObject({ status: 0, stderr: '' });
    const { status, stdout, stderr } = scored('job.json', 'arm.jpg');
    expect([status, stderr]).toEqual([0, '']);
    const fact = ScoreOut.parse(JSON.parse(stdout)).components[0]!.facts.find((f) => f.check === arm.check)!;
    // Nearly all of the part is rust: at least 8 % by the low end, ISO 4628-3 Ri 4.
    expect(fact.gradeLow).toBeGreaterThanOrEqual(4);
    expect(fact.notes.join()).toMatch(/^Photo lower-arm-heavy: rust on [\d.]+ to [\d.]+ % of the outlined part/);
  });

  test.each([
    ['is not there', 'gone.jpg', 'no such file'],
    ['is no picture', 'job.json', 'a file that starts like none of them'],
  ])('says in one line where it is named that a photo %s, and scores nothing', (_, file, found) => {
    const { status, stdout, stderr } = scored('job.json', file);
    expect([status, stdout]).toEqual([1, '']);
    expect(stderr.trim().split('\n')).toEqual([expect.stringContaining(found)]);
    expect(stderr).toContain('job.json at components.0.photos.0.file: wanted a photo that can be measured');
  });
});
