import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import exifr from 'exifr';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { cleanPhoto } from '../../../src/adapters/photos/clean-photo.ts';
import { imagingSettings } from '../../imaging/settings.ts';
import { panel } from './draw.ts';

const HEIC = fileURLToPath(new URL('./files/panel.heic', import.meta.url));
const settings = imagingSettings();
const clean = (bytes: Uint8Array) => cleanPhoto({ bytes }, settings);

const EXIF = {
  IFD0: { Make: 'Invented maker', Software: 'Secret software' },
  IFD2: { DateTimeOriginal: '2026:11:20 10:30:00', OffsetTimeOriginal: '+01:00', MakerNote: 'Maker secret' },
  IFD3: { GPSLatitude: '51/1 30/1 0/1', GPSLatitudeRef: 'N' },
};
const XMP =
  '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="51,30.0N"/></rdf:RDF></x:xmpmeta>';

/** Nothing of the place, the maker or the software is left anywhere in the bytes. */
function expectNothingHidden(bytes: Uint8Array): void {
  const text = Buffer.from(bytes).toString('latin1');
  for (const secret of [
    'Invented maker',
    'Secret',
    'Maker secret',
    'GPSLatitude',
    '51,30.0N',
    'xmpmeta',
    'hidden clip',
  ]) {
    expect(text).not.toContain(secret);
  }
}

describe('cleanPhoto()', () => {
  it.each([
    ['jpeg', () => panel().jpeg()],
    ['png', () => panel().png()],
    ['webp', () => panel().webp()],
  ] as const)('keeps the pixels, the way up and the capture time of a %s and nothing else', async (format, draw) => {
    const plain = await draw().withExif(EXIF).withXmp(XMP).withMetadata({ orientation: 6 }).toBuffer();
    const bytes = await sharp(plain)
      .keepMetadata()
      .withExif(EXIF)
      .withXmp(XMP)
      .withMetadata({ orientation: 6 })
      .toFormat(format)
      .toBuffer();
    expect((await exifr.gps(bytes).catch(() => undefined)) ?? Buffer.from(bytes).includes('51,30.0N')).toBeTruthy();
    const kept = await clean(bytes);
    expectNothingHidden(kept.bytes);
    expect(kept).toMatchObject({ format, height: 640, width: 480, takenAt: '2026-11-20T10:30:00' });
    const metadata = await sharp(kept.bytes).metadata();
    expect(metadata.orientation).toBe(6);
    expect(metadata.xmp).toBeUndefined();
    const tags = await exifr.parse(metadata.exif!.subarray(metadata.exif!.indexOf('II*')), { reviveValues: false });
    expect(tags).toMatchObject({ DateTimeOriginal: '2026:11:20 10:30:00', OffsetTimeOriginal: '+01:00' });
    const pixels = (b: Uint8Array) => sharp(b).raw().toBuffer();
    expect((await pixels(kept.bytes)).equals(await pixels(bytes))).toBe(true);
    // Taken in twice it stays the same, so what is stored is what is exported.
    expect(Buffer.from((await clean(kept.bytes)).bytes).equals(Buffer.from(kept.bytes))).toBe(true);
  });

  it('cuts off a clip that a phone hung behind the picture', async () => {
    const bytes = Buffer.concat([await panel().jpeg().toBuffer(), Buffer.from('ftypmp42 hidden clip')]);
    expectNothingHidden((await clean(bytes)).bytes);
  });

  it('keeps the colour profile', async () => {
    const kept = await clean(await panel().withIccProfile('p3').jpeg().toBuffer());
    expect((await sharp(kept.bytes).metadata()).icc).toBeDefined();
  });

  it('keeps a progressive JPEG with its several scans', async () => {
    const bytes = await panel().jpeg({ progressive: true }).toBuffer();
    const kept = await clean(bytes);
    expect((await sharp(kept.bytes).raw().toBuffer()).equals(await sharp(bytes).raw().toBuffer())).toBe(true);
  });

  it.each([
    // The library that draws it writes no EXIF into a TIFF.
    ['TIFF', () => panel().tiff().toBuffer(), null],
    ['AVIF', () => panel(240, 320).withExif(EXIF).avif({ effort: 0 }).toBuffer(), '2026-11-20T10:30:00'],
    ['HEIC', async () => readFileSync(HEIC), '2026-11-20T10:30:00'],
  ])('turns a %s into an upright JPEG with its capture time', async (_kind, make, takenAt) => {
    const kept = await clean(await make());
    expectNothingHidden(kept.bytes);
    expect(kept).toMatchObject({ format: 'jpeg', takenAt });
    const metadata = await sharp(kept.bytes).metadata();
    expect([metadata.format, metadata.height, metadata.width]).toEqual(['jpeg', kept.height, kept.width]);
    expect(await exifr.gps(Buffer.from(kept.bytes)).catch(() => undefined)).toBeUndefined();
  });

  it('refuses a cut-short file', async () => {
    const bytes = await panel().jpeg().toBuffer();
    await expect(clean(bytes.subarray(0, bytes.length / 2))).rejects.toMatchObject({ code: 'damaged' });
  });
});
