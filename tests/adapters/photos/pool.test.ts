import { readFileSync } from 'node:fs';
import { readFile, rm } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPhotoPool, type PhotoPool } from '../../../src/adapters/photos/index.ts';
import { imagingSettings } from '../../imaging/settings.ts';
import { PANEL_FRACTION, panel, photoFolder } from './draw.ts';

const HEIC = fileURLToPath(new URL('./files/panel.heic', import.meta.url));
const colour = { request: { method: 'colour' as const } };
let pool: PhotoPool;
let put: Awaited<ReturnType<typeof photoFolder>>['put'];
let folder: string;

beforeAll(async () => {
  ({ folder, put } = await photoFolder());
  pool = openPhotoPool({ settings: imagingSettings(), modelFolder: 'models/rust-segmenter', parallel: 2 });
});
afterAll(async () => {
  await pool.close();
  await rm(folder, { recursive: true });
});

/** Within 3 % of the drawn disc: the codecs blur its rim. */
async function expectPanel(file: string): Promise<void> {
  const found = await pool.measure({ path: file }, colour);
  expect(found.area!.fraction / PANEL_FRACTION).toBeGreaterThan(0.97);
  expect(found.area!.fraction / PANEL_FRACTION).toBeLessThan(1.03);
}

describe('measure() of honest files', () => {
  it.each([
    ['JPEG', 'a.jpg', () => panel().jpeg({ quality: 95 })],
    ['PNG', 'a.png', () => panel().png()],
    ['WebP', 'a.webp', () => panel().webp({ quality: 95 })],
    ['AVIF', 'a.avif', () => panel(240, 320).avif({ quality: 90, effort: 0 })],
    ['TIFF', 'a.tif', () => panel().tiff()],
    ['16-bit PNG', 'deep.png', () => panel().toColourspace('rgb16').png()],
    ['CMYK JPEG with its profile', 'cmyk.jpg', () => panel().withIccProfile('cmyk').jpeg({ quality: 95 })],
    ['PNG with alpha', 'alpha.png', () => panel().ensureAlpha(1).png()],
    ['JPEG with a wide profile', 'p3.jpg', () => panel().withIccProfile('p3').jpeg({ quality: 95 })],
  ])('%s', async (_kind, name, draw) => {
    await expectPanel(await put(name, await draw().toBuffer()));
  });

  it('HEIC of a phone', async () => {
    await expectPanel(HEIC);
    const found = await pool.measure({ path: HEIC }, colour);
    expect([found.height, found.width]).toEqual([480, 640]);
    expect(found.takenAtMs).toBe(Date.UTC(2026, 10, 20, 10, 30, 0));
  });

  it('grey JPEG holds no rust by colour', async () => {
    const file = await put('grey.jpg', await panel().greyscale().jpeg().toBuffer());
    expect((await pool.measure({ path: file }, colour)).area!.fraction).toBe(0);
  });

  it('CMYK without a profile', async () => {
    const bytes = await panel().toColourspace('cmyk').jpeg({ quality: 95 }).toBuffer();
    const { space, icc } = await sharp(bytes).metadata();
    expect([space, icc]).toEqual(['cmyk', undefined]);
    await expectPanel(await put('bare.jpg', bytes));
  });

  it('RGB without a profile, and with one that is broken: both are taken as sRGB', async () => {
    const bare = await panel().jpeg({ quality: 95 }).toBuffer();
    expect((await sharp(bare).metadata()).icc).toBeUndefined();
    await expectPanel(await put('no-profile.jpg', bare));

    const broken = await panel().withIccProfile('p3').jpeg({ quality: 95 }).toBuffer();
    const profile = broken.indexOf('ICC_PROFILE\0') + 14;
    for (const [name, from, to] of [
      ['broken-head.jpg', 0, 128],
      ['broken-table.jpg', 128, 300],
    ] as const) {
      const bytes = Buffer.from(broken).fill(0x41, profile + from, profile + to);
      expect((await sharp(bytes).metadata()).icc).toBeDefined();
      await expectPanel(await put(name, bytes));
    }
  });

  it('turns a photo upright', async () => {
    const file = await put('turned.jpg', await panel().jpeg().withMetadata({ orientation: 6 }).toBuffer());
    const found = await pool.measure({ path: file }, colour);
    expect([found.height, found.width]).toEqual([640, 480]);
    expect(found.area!.fraction / PANEL_FRACTION).toBeCloseTo(1, 1);
  });

  it('animated WebP: the first frame, and says so', async () => {
    const frames = await Promise.all([panel(), panel().modulate({ saturation: 0 })].map((p) => p.png().toBuffer()));
    const bytes = await sharp(frames, { join: { animated: true } })
      .webp({ delay: [100, 100] })
      .toBuffer();
    const found = await pool.measure({ path: await put('anim.webp', bytes) }, colour);
    expect(found.isFirstOfMany).toBe(true);
    expect([found.height, found.width]).toEqual([480, 640]);
    expect(found.area!.fraction / PANEL_FRACTION).toBeCloseTo(1, 1);
  });

  it('corrupt EXIF is a photo without a time', async () => {
    const bytes = await panel()
      .jpeg()
      .withExif({ IFD0: { Make: 'x' } })
      .toBuffer();
    const at = bytes.indexOf('Exif\0\0');
    bytes.fill(0xff, at + 6, at + 30);
    const found = await pool.measure({ path: await put('exif.jpg', bytes) }, colour);
    expect(found.takenAtMs).toBeNull();
    expect(found.area!.fraction / PANEL_FRACTION).toBeCloseTo(1, 1);
  });

  it('a panorama of 60 million pixels', async () => {
    // 12,000 x 5,000 from one disc: the share is that of the disc's box stretched to the frame.
    const bytes = await panel(500, 1200).resize(12_000, 5000, { fit: 'fill', kernel: 'nearest' }).jpeg().toBuffer();
    const found = await pool.measure({ path: await put('pano.jpg', bytes) }, colour);
    expect([found.height, found.width]).toEqual([5000, 12_000]);
    // By hand: radius 125 of 500 x 1200 pixels.
    expect(found.area!.fraction / ((Math.PI * 125 * 125) / (500 * 1200))).toBeCloseTo(1, 1);
  }, 60_000);
});

describe('measure() of bad files', () => {
  it.each([
    [
      'text named .jpg',
      'text.jpg',
      async () => Buffer.from('this is not a picture, it is a line of text about one'),
      'not-a-picture',
    ],
    ['a file of no bytes', 'empty.jpg', async () => Buffer.alloc(0), 'empty'],
    [
      'a vector drawing',
      'draw.png',
      async () => Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'),
      'not-a-picture',
    ],
    ['a cut-short JPEG', 'cut.jpg', async () => (await panel().jpeg().toBuffer()).subarray(0, 20_000), 'damaged'],
    ['a cut-short PNG', 'cut.png', async () => (await panel().png().toBuffer()).subarray(0, 20_000), 'damaged'],
    ['a cut-short HEIC', 'cut.heic', async () => readFileSync(HEIC).subarray(0, 30_000), 'damaged'],
    [
      'a HEIC that is only a head',
      'head.heic',
      async () => Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\0\x08mdat', 'latin1'),
      'damaged',
    ],
    [
      'a decompression bomb of 30,000 x 30,000',
      'bomb.png',
      () =>
        sharp({ create: { width: 30_000, height: 30_000, channels: 3, background: '#000' }, limitInputPixels: false })
          .png({ compressionLevel: 9 })
          .toBuffer(),
      'too-many-pixels',
    ],
  ])(
    '%s',
    async (_kind, name, make, code) => {
      const file = await put(name, await make());
      await expect(pool.measure({ path: file }, colour)).rejects.toMatchObject({ code, message: /wanted .*/ });
    },
    60_000,
  );

  it('a file that is not there, and a folder', async () => {
    await expect(pool.measure({ path: `${folder}/none.jpg` }, colour)).rejects.toMatchObject({ code: 'not-found' });
    await expect(pool.measure({ path: folder }, colour)).rejects.toMatchObject({ code: 'not-found' });
  });

  it('one pixel is declined, not refused', async () => {
    const one = await sharp({ create: { width: 1, height: 1, channels: 3, background: '#764' } })
      .png()
      .toBuffer();
    const found = await pool.measure({ path: await put('one.png', one) }, colour);
    expect(found.fit.ok).toBe(false);
    expect(found.fit.problems.map((p) => p.id)).toContain('too-few-pixels');
  });

  it('names an outline that crosses itself or lies outside, and taps on no pixel', async () => {
    const file = await put('b.jpg', await panel().jpeg().toBuffer());
    const measure = (request: object) => pool.measure({ path: file }, { request: { method: 'colour', ...request } });
    const bowTie: [number, number][] = [
      [10, 10],
      [100, 100],
      [100, 10],
      [10, 100],
    ];
    await expect(measure({ outline: bowTie })).rejects.toMatchObject({
      code: 'outline',
      message: /side 1 crossing side 3/,
    });
    await expect(
      measure({
        outline: [
          [0, 0],
          [700, 0],
          [0, 100],
        ],
      }),
    ).rejects.toMatchObject({ code: 'outline' });
    await expect(
      measure({
        outline: [
          [1, 1],
          [2, 2],
          [3, 3],
        ],
      }),
    ).rejects.toMatchObject({ code: 'outline' });
    await expect(measure({ hints: [{ x: 640, y: 3, is: 'rust' }] })).rejects.toMatchObject({ code: 'hints' });
  });

  it('says what is wrong in words of its own, not with the name of a library', async () => {
    const cut = await put('cut-again.jpg', (await panel().jpeg().toBuffer()).subarray(0, 20_000));
    await expect(pool.measure({ path: cut }, colour)).rejects.toMatchObject({
      message: 'Cannot decode: wanted a whole picture, found "premature end of JPEG image"',
    });
  });

  it('goes on with the next photo after each', async () => {
    await expectPanel(await put('after.jpg', await panel().jpeg({ quality: 95 }).toBuffer()));
  });

  it('is stopped by the clock and goes on with the next photo', async () => {
    const settings = imagingSettings();
    const quick = openPhotoPool({
      settings: { ...settings, intake: { ...settings.intake, secondsTo: 0.001 } },
      modelFolder: 'models/rust-segmenter',
      parallel: 1,
    });
    const file = await put('c.jpg', await panel().jpeg().toBuffer());
    await expect(quick.measure({ path: file }, colour)).rejects.toMatchObject({ code: 'too-slow' });
    await expect(quick.measure({ path: file }, colour)).rejects.toMatchObject({ code: 'too-slow' });
    await quick.close();
    expect(quick.processIds()).toEqual([]);
  });
});

describe('masks', () => {
  it('are upright, as large as the photo, 0 or 255, and hold the measured share', async () => {
    const file = await put(
      'm.jpg',
      await panel(960, 1280).jpeg({ quality: 95 }).withMetadata({ orientation: 6 }).toBuffer(),
    );
    const maskFile = `${folder}/masks/m.mask.png`;
    const found = await pool.measure({ path: file }, { ...colour, maskFile });
    const bytes = await readFile(maskFile);
    const { height, width, channels } = await sharp(bytes).metadata();
    expect([height, width, channels]).toEqual([1280, 960, 1]);
    const data = await sharp(bytes).extractChannel(0).raw().toBuffer();
    expect(new Set(data)).toEqual(new Set([0, 255]));
    const share = data.reduce((sum, value) => sum + value, 0) / 255 / data.length;
    expect(share / found.area!.fraction).toBeCloseTo(1, 2);
  });

  it('come back as bytes of a wanted size', async () => {
    const file = await put('n.jpg', await panel(960, 1280).jpeg().toBuffer());
    const found = await pool.measure({ path: file }, { ...colour, maskLongSidePx: 320 });
    const metadata = await sharp(found.maskPng).metadata();
    expect([metadata.height, metadata.width]).toEqual([240, 320]);
  });
});
