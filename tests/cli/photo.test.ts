import { existsSync } from 'node:fs';
import { copyFile, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { Command } from 'commander';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Assessment } from '../../shared/assessment.ts';
import { InputError, UsageError } from '../../shared/faults.ts';
import { PhotoLine, type PhotoMeasurement } from '../../shared/photo.ts';
import { checkWritable, makeFolder, writeText } from '../../src/adapters/files/write-places.ts';
import { listPhotos, openPhotoPool, type PhotoPool } from '../../src/adapters/photos/index.ts';
import { photoCommand } from '../../src/cli/photo.ts';
import { photoTable } from '../../src/cli/photo-table.ts';
import { imagingSettings } from '../imaging/settings.ts';
import { rustyPanel } from '../make-image.ts';

const settings = imagingSettings();
let folder: string;
let pool: PhotoPool;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'keepworthy-cli-'));
  pool = openPhotoPool({ settings, modelFolder: 'models/rust-segmenter', parallel: 2 });
  const save = (name: string, radius: number, exif = '2026:11:20 10:00:00', shift = 0) => {
    const image = rustyPanel(480, 640, radius);
    return sharp(Buffer.from(image.data), { raw: { height: 480, width: 640, channels: 3 } })
      .extract({ left: shift, top: 0, width: 560, height: 480 })
      .withExif({ IFD2: { DateTimeOriginal: exif } })
      .jpeg({ quality: 95 })
      .toFile(join(folder, name));
  };
  await save('small.jpg', 60);
  await save('large.jpg', 180, '2026:11:20 11:00:00');
  await save('large-again.jpg', 180, '2026:11:20 11:00:02', 6);
  await writeFile(join(folder, 'broken.jpg'), 'not a picture at all');
  await writeFile(join(folder, 'notes.txt'), 'not listed');
});
afterAll(async () => {
  await pool.close();
  await rm(folder, { recursive: true });
  await rm(`${folder}-masks`, { recursive: true });
});

async function run(...args: string[]) {
  const out: string[] = [];
  const err: string[] = [];
  let exitCode = -1;
  const program = new Command().exitOverride();
  photoCommand(program, {
    listPhotos,
    openPhotos: async () => ({
      measureFile: (file, options) => pool.measure({ path: file }, options),
      parallel: pool.parallel,
      intervals: {
        model: null,
        corrected: [],
        colour: { floorFraction: 0.003, baseDoubt: 1, bands: [{ fromFraction: 0, low: 0.5, high: 0.5 }] },
      },
      duplicates: settings.duplicates,
      close: async () => undefined,
    }),
    readText: (file) => readFile(file, 'utf8'),
    makeFolder,
    checkWritable,
    writeText,
    out: (line) => out.push(line),
    err: (line) => err.push(line),
    today: () => '2026-11-25',
    setExitCode: (code) => {
      exitCode = code;
    },
  });
  await program.parseAsync(['photo', '--method', 'colour', ...args], { from: 'user' });
  return { out, err, exitCode };
}

describe('keepworthy photo', () => {
  it('prints one line of JSON a photo, bad ones too, and says so in its exit code', async () => {
    const { out, exitCode } = await run(folder, '--json');
    const lines = out.map((line) => PhotoLine.parse(JSON.parse(line)));
    expect(lines.map((line) => line.file.replace(`${folder}/`, ''))).toEqual([
      'broken.jpg',
      'large-again.jpg',
      'large.jpg',
      'small.jpg',
    ]);
    expect(lines[0]).toMatchObject({ error: { code: 'not-a-picture' } });
    expect(lines.slice(1).map((line) => 'group' in line && line.group)).toEqual([1, 1, 2]);
    expect(exitCode).toBe(1);
  });

  it('ranks worst first, one row a burst, within 80 columns', async () => {
    const { out, err, exitCode } = await run(folder);
    const rows = out.filter((line) => line.includes('.jpg'));
    expect(rows).toHaveLength(2);
    expect(rows[0]).toMatch(/^ {2}1 .*large.* \+1 alike$/);
    expect(rows[1]).toMatch(/^ {2}2 .*small\.jpg$/);
    for (const line of out) expect(line.length).toBeLessThanOrEqual(80);
    expect(out.join('\n')).toContain('Not measured by this method: light alloy, zinc, black oxide.');
    expect(err).toEqual([
      expect.stringMatching(/broken\.jpg: Cannot read: wanted a JPEG/),
      '1 of 4 files could not be measured; each has its own line above',
    ]);
    expect(exitCode).toBe(1);
  });

  it('takes outline, taps, scale and masks', async () => {
    const outline = JSON.stringify({
      'small.jpg': [
        [200, 120],
        [440, 120],
        [440, 360],
        [200, 360],
      ],
    });
    const masks = `${folder}-masks`;
    const file = join(folder, 'small.jpg');
    const { out, exitCode } = await run(file, '--outline', outline, '--scale', '100=50', '--mask', masks, '--json');
    const line = JSON.parse(out[0]!) as PhotoMeasurement;
    expect(exitCode).toBe(0);
    expect(line.assessed).toBe('outline');
    // By hand: a disc of radius 60 px in a box of 240 x 240 px, 0.5 mm a pixel: 144 cm2.
    expect(line.rustAreaPercent!.value / ((100 * Math.PI * 3600) / 57_600)).toBeCloseTo(1, 1);
    expect(line.areaCm2!.part).toBeCloseTo(144, 0);
    const mask = await sharp(join(masks, 'small.mask.png')).metadata();
    expect([mask.width, mask.height, mask.channels]).toEqual([560, 480, 1]);

    const hints = join(folder, 'hints.json');
    await writeFile(hints, JSON.stringify([{ x: 320, y: 240, is: 'not-rust' }]));
    const tapped = JSON.parse((await run(file, '--hints', hints, '--json')).out[0]!) as PhotoMeasurement;
    expect(tapped.method).toBe('corrected');
  });

  it('prints the areas of an outlined photo with a scale, and says when a scale gives none', async () => {
    const file = join(folder, 'small.jpg');
    const outline = '[[200,120],[440,120],[440,360],[200,360]]';
    const { out } = await run(file, '--outline', outline, '--scale', '100=50');
    // By hand: 240 x 240 px at 0.5 mm a pixel.
    expect(out.join('\n')).toMatch(/part \(to blast and coat\).*\n +14[34] +\d+ .*small\.jpg/);
    for (const line of out) expect(line.length).toBeLessThanOrEqual(80);
    const { err } = await run(file, '--scale', '100=50');
    expect(err).toEqual([expect.stringContaining('outlined photos only')]);
  });

  it('names outlines and taps that belong to no photo, and measures the rest', async () => {
    const { out, err, exitCode } = await run(join(folder, 'small.jpg'), '--hints', '{"smal.jpg": []}', '--json');
    expect(err).toEqual(['--hints names no photo here: smal.jpg']);
    expect(out).toHaveLength(1);
    expect(exitCode).toBe(0);
  });

  it('keeps both masks of two photos with one name', async () => {
    const twin = join(folder, '..', `${basename(folder)}-twin`);
    await mkdir(twin);
    await copyFile(join(folder, 'large.jpg'), join(twin, 'small.jpg'));
    await run(join(folder, 'small.jpg'), twin, '--mask', join(twin, 'masks'));
    expect(await readdir(join(twin, 'masks'))).toEqual(['small-2.mask.png', 'small.mask.png']);
    await rm(twin, { recursive: true });
  });

  it('says before it measures what cannot be written', async () => {
    const file = join(folder, 'small.jpg');
    const noise = join(folder, 'notes.txt');
    await expect(run(file, '--draft', join(folder, 'none', 'x.json'))).rejects.toThrow(/found no folder to put it in/);
    await expect(run(file, '--draft', folder)).rejects.toThrow(/wanted a file that can be written, found a folder/);
    await expect(run(file, '--mask', noise)).rejects.toThrow(/wanted a folder to write into, found a file/);
    await expect(run(file, '--mask', join(noise, 'x'))).rejects.toThrow(
      /a path that leads through a file|found a file/,
    );
  });

  it.runIf(existsSync('/proc/self'))('does not wait for ever on a place where nothing can be made', async () => {
    await expect(makeFolder('/proc/none/masks')).rejects.toThrow(/wanted a folder to write into/);
  });

  it('writes a draft assessment with one part a group', async () => {
    const file = join(folder, 'draft.json');
    const { err } = await run(folder, '--draft', file);
    const draft = Assessment.parse(JSON.parse(await readFile(file, 'utf8')));
    expect(draft.components).toHaveLength(2);
    expect(err.at(-1)).toContain('2 parts to name and grade');
  });

  it('refuses wrong usage before it measures', async () => {
    const file = join(folder, 'small.jpg');
    await expect(run(file, '--method', 'guess')).rejects.toThrow(UsageError);
    await expect(run(file, '--scale', '10')).rejects.toThrow(/wanted pixels = millimetres/);
    await expect(run(file, '--outline', '[[1,2]')).rejects.toThrow(InputError);
    await expect(run(file, '--outline', '[[1,2]]')).rejects.toThrow(/--outline.* wanted/);
    await expect(run(file, '--hints', '[{"x":1,"y":1,"is":"maybe"}]')).rejects.toThrow(InputError);
    await expect(run(`${folder}-masks`)).rejects.toThrow(/wanted at least one picture/);
  });
});

describe('photoTable()', () => {
  const photo = (
    file: string,
    value: number,
    assessed: PhotoMeasurement['assessed'],
    group: number,
  ): PhotoMeasurement => ({
    file,
    fit: { ok: true, problems: [] },
    assessed,
    rustAreaPercent: { value, low: value / 2, high: Math.min(100, value * 2) },
    grades: { iso4628_3: ['Ri 3', 'Ri 4'], astmD610: '4-G', iso10289: 3 },
    spots: null,
    group,
    method: 'model',
    ms: 1,
  });

  it('puts a whole frame after an outlined photo of the same value, and marks it', () => {
    const rows = photoTable([
      photo('a-whole.jpg', 5, 'whole-frame', 1),
      photo('b-outlined.jpg', 5.01, 'outline', 2),
      photo('c-worst.jpg', 40, 'whole-frame', 3),
    ]).filter((line) => line.includes('.jpg'));
    expect(rows.map((row) => row.replace(/.* /, ''))).toEqual(['c-worst.jpg', 'b-outlined.jpg', 'a-whole.jpg']);
    expect(rows.map((row) => row.includes('~'))).toEqual([true, false, true]);
  });

  it('marks a figure too wide to go by, so that it is looked at wherever it stands', () => {
    const wide = { ...photo('wide.jpg', 1, 'outline', 1), rustAreaPercent: { value: 1, low: 0, high: 31 } };
    const narrow = { ...photo('narrow.jpg', 2, 'outline', 2), rustAreaPercent: { value: 2, low: 1, high: 8 } };
    // Fifty points, and no more than a factor two: nobody need look again.
    const rusty = { ...photo('rusty.jpg', 80, 'outline', 3), rustAreaPercent: { value: 80, low: 50, high: 100 } };
    const lines = photoTable([wide, narrow, rusty]);
    expect(lines.find((line) => line.includes('rusty.jpg'))).not.toContain('?');
    expect(lines.find((line) => line.includes('wide.jpg'))).toContain('0.00 to 31? ');
    expect(lines.find((line) => line.includes('narrow.jpg'))).not.toContain('?');
    expect(lines.join('\n')).toContain('? unsure');
    expect(photoTable([narrow]).join('\n')).not.toContain('?');
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('lists declined photos with what to do, and hides control characters of a name', () => {
    const declined: PhotoMeasurement = {
      ...photo('x\u001b[31m.jpg', 0, 'whole-frame', 1),
      fit: {
        ok: false,
        problems: [
          { id: 'blurred', what: 'Sharpness 3, wanted at least 60', advice: 'Wipe the lens and take it again' },
        ],
      },
      rustAreaPercent: null,
      grades: null,
    };
    const text = photoTable([declined]).join('\n');
    expect(text).toContain('Not fit to measure:');
    expect(text).toContain('Wipe the lens and take it again.');
    expect(text).not.toContain('\u001b');
  });
});
