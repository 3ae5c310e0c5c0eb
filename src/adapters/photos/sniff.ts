/** Kinds of picture that are taken in. */
export type PhotoFormat = 'jpeg' | 'png' | 'webp' | 'tiff' | 'avif' | 'heic';

/**
 * Tell a picture's kind by its first bytes, never by its name.
 *
 * Anything else is refused before a decoder sees it: the pixel library also opens vector drawings and documents, which
 * can reach other files.
 *
 * @param head First 64 bytes or more
 * @returns The kind, or null
 */
export function sniffFormat(head: Uint8Array): PhotoFormat | null {
  const text = (from: number, to: number) => Buffer.from(head.subarray(from, to)).toString('latin1');
  if (head[0] === 0xff && head[1] === 0xd8 && head[2] === 0xff) return 'jpeg';
  if (text(0, 8) === '\x89PNG\r\n\x1a\n') return 'png';
  if (text(0, 4) === 'RIFF' && text(8, 12) === 'WEBP') return 'webp';
  if (['II*\0', 'MM\0*', 'II+\0', 'MM\0+'].includes(text(0, 4))) return 'tiff';
  if (text(4, 8) === 'ftyp') {
    const brands = [text(8, 12)];
    const size = Math.min(Buffer.from(head.subarray(0, 4)).readUInt32BE(0), head.length);
    for (let at = 16; at + 4 <= size; at += 4) brands.push(text(at, at + 4));
    if (brands.some((brand) => brand === 'avif' || brand === 'avis')) return 'avif';
    if (brands.some((brand) => ['heic', 'heix', 'hevc', 'hevx', 'heim', 'heis', 'mif1', 'msf1'].includes(brand))) {
      return 'heic';
    }
  }
  return null;
}
