import { crc32 } from 'node:zlib';
import type { CaptureTime } from './capture-time.ts';
import { PhotoError } from './photo-error.ts';

/** What is kept of a photo's EXIF: which way is up, and when it was taken. */
export interface KeptFacts {
  readonly orientation: number;
  readonly takenAt: CaptureTime | null;
}

/**
 * An EXIF block (TIFF, little-endian) that holds nothing but orientation and capture time.
 *
 * Source: CIPA DC-008 (Exif 2.32), tags 0x0112, 0x8769, 0x9003, 0x9011
 */
export function minimalExif({ orientation, takenAt }: KeptFacts): Buffer {
  const time = takenAt === null ? [] : [{ tag: 0x9003, text: `${takenAt.text}\0` }];
  if (takenAt !== null && takenAt.offset !== null) time.push({ tag: 0x9011, text: `${takenAt.offset}\0` });
  const first = 8;
  const second = first + 2 + 2 * 12 + 4;
  const texts = second + 2 + time.length * 12 + 4;
  const block = Buffer.alloc(texts + time.reduce((sum, { text }) => sum + text.length, 0));
  block.write('II*\0', 0, 'latin1');
  block.writeUInt32LE(first, 4);
  block.writeUInt16LE(2, first);
  writeEntry(block, first + 2, 0x0112, 3, 1, orientation);
  writeEntry(block, first + 14, 0x8769, 4, 1, second);
  block.writeUInt16LE(time.length, second);
  let at = texts;
  for (const [n, { tag, text }] of time.entries()) {
    writeEntry(block, second + 2 + n * 12, tag, 2, text.length, at);
    block.write(text, at, 'latin1');
    at += text.length;
  }
  return block;
}

function writeEntry(block: Buffer, at: number, tag: number, type: number, count: number, value: number): void {
  block.writeUInt16LE(tag, at);
  block.writeUInt16LE(type, at + 2);
  block.writeUInt32LE(count, at + 4);
  block.writeUInt32LE(value, at + 8);
}

/**
 * A JPEG without anything but picture, colour profile, orientation and capture time. The pixels are not touched.
 *
 * Everything after the end of the picture goes too: phones append clips and second pictures there.
 *
 * @throws {PhotoError} `damaged` when its segments cannot be followed
 * Source: ITU-T T.81 Annex B for the segments
 */
export function stripJpeg(bytes: Uint8Array, kept: KeptFacts): Buffer {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const parts: Buffer[] = [Buffer.from([0xff, 0xd8])];
  const exif = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), minimalExif(kept)]);
  parts.push(segment(0xe1, exif));
  let at = 2;
  while (at + 2 <= file.length) {
    if (file[at] !== 0xff) throw broken(at);
    const marker = file[at + 1]!;
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === 0xd9) return Buffer.concat([...parts, Buffer.from([0xff, 0xd9])]);
    if (at + 4 > file.length) break;
    const length = file.readUInt16BE(at + 2);
    const end = at + 2 + length;
    if (length < 2 || end > file.length) throw broken(at);
    if (isKeptSegment(marker, file.subarray(at + 4, end))) parts.push(file.subarray(at, end));
    at = end;
    if (marker === 0xda) {
      const scanEnd = endOfScan(file, at);
      parts.push(file.subarray(at, scanEnd));
      at = scanEnd;
    }
  }
  throw broken(at);
}

function segment(marker: number, payload: Buffer): Buffer {
  const head = Buffer.from([0xff, marker, 0, 0]);
  head.writeUInt16BE(payload.length + 2, 2);
  return Buffer.concat([head, payload]);
}

function isKeptSegment(marker: number, payload: Buffer): boolean {
  const starts = (text: string) => payload.toString('latin1', 0, text.length) === text;
  if (marker === 0xe0) return starts('JFIF\0');
  if (marker === 0xe2) return starts('ICC_PROFILE\0');
  if (marker === 0xee) return starts('Adobe');
  return !(marker >= 0xe0 && marker <= 0xef) && marker !== 0xfe;
}

/** Scan data end at a marker that is neither a stuffed zero nor a restart. */
function endOfScan(file: Buffer, from: number): number {
  let at = from;
  while (at + 1 < file.length) {
    at = file.indexOf(0xff, at);
    if (at < 0 || at + 1 >= file.length) break;
    const next = file[at + 1]!;
    if (next !== 0 && next !== 0xff && !(next >= 0xd0 && next <= 0xd7)) return at;
    at += next === 0xff ? 1 : 2;
  }
  throw broken(file.length);
}

const KEPT_PNG = new Set([
  'IHDR',
  'PLTE',
  'IDAT',
  'IEND',
  'tRNS',
  'gAMA',
  'cHRM',
  'sRGB',
  'iCCP',
  'sBIT',
  'pHYs',
  'bKGD',
]);

/**
 * A PNG without text, times, animation and EXIF other than orientation and capture time.
 *
 * @throws {PhotoError} `damaged` when its chunks cannot be followed
 * Source: ISO/IEC 15948 (PNG), chunk layout; third edition for eXIf
 */
export function stripPng(bytes: Uint8Array, kept: KeptFacts): Buffer {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const parts: Buffer[] = [file.subarray(0, 8)];
  let at = 8;
  while (at + 12 <= file.length) {
    const end = at + 12 + file.readUInt32BE(at);
    const name = file.toString('latin1', at + 4, at + 8);
    if (end > file.length) throw broken(at);
    if (KEPT_PNG.has(name)) parts.push(file.subarray(at, end));
    if (name === 'IHDR') parts.push(pngChunk('eXIf', minimalExif(kept)));
    if (name === 'IEND') return Buffer.concat(parts);
    at = end;
  }
  throw broken(at);
}

function pngChunk(name: string, payload: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(name, 'latin1'), payload]);
  const chunk = Buffer.alloc(body.length + 8);
  chunk.writeUInt32BE(payload.length, 0);
  body.copy(chunk, 4);
  chunk.writeUInt32BE(crc32(body), body.length + 4);
  return chunk;
}

const KEPT_WEBP = new Set(['VP8 ', 'VP8L', 'ALPH', 'ANIM', 'ANMF', 'ICCP']);

/**
 * A WebP without XMP and EXIF other than orientation and capture time.
 *
 * @throws {PhotoError} `damaged` when its chunks cannot be followed
 * Source: RFC 9649
 */
export function stripWebp(bytes: Uint8Array, kept: KeptFacts): Buffer {
  const file = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const parts: Buffer[] = [];
  let isExtended = false;
  let at = 12;
  const last = Math.min(file.length, file.readUInt32LE(4) + 8);
  while (at + 8 <= last) {
    const name = file.toString('latin1', at, at + 4);
    const size = file.readUInt32LE(at + 4);
    const end = at + 8 + size + (size % 2);
    if (at + 8 + size > file.length) throw broken(at);
    if (name === 'VP8X') {
      isExtended = true;
      const head = Buffer.from(file.subarray(at, end));
      head[8] = (head[8]! & ~0x04) | 0x08;
      parts.push(head);
    } else if (KEPT_WEBP.has(name)) {
      parts.push(file.subarray(at, end));
    }
    at = end;
  }
  // A plain WebP has no room for EXIF, so it had none to keep.
  if (isExtended) {
    const exif = minimalExif(kept);
    const head = Buffer.alloc(8);
    head.write('EXIF', 0, 'latin1');
    head.writeUInt32LE(exif.length, 4);
    parts.push(head, exif, Buffer.alloc(exif.length % 2));
  }
  const body = Buffer.concat(parts);
  const riff = Buffer.alloc(12);
  riff.write('RIFF', 0, 'latin1');
  riff.writeUInt32LE(body.length + 4, 4);
  riff.write('WEBP', 8, 'latin1');
  return Buffer.concat([riff, body]);
}

function broken(at: number): PhotoError {
  return new PhotoError('damaged', `Cannot take in: wanted a whole picture, found it broken at byte ${at}`);
}
