import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import sharp from 'sharp';
import type { Mask, Sized } from '../imaging/index.ts';

/** One photo of the team's set. */
export interface LabelledPhoto {
  readonly id: string;
  readonly split: 'train' | 'val' | 'test';
  readonly group: string;
  readonly hasRust: boolean;
  readonly file: string;
  readonly maskFile: string;
}

/** Folder of the team's labelled photos beside the repository, or null; the product never needs it. */
export function photosFolder(root: string): string | null {
  const folder = join(root, '..', 'shared', 'rust-photos');
  return existsSync(join(folder, 'manifest.csv')) ? folder : null;
}

export function listLabelled(folder: string): LabelledPhoto[] {
  const text = readFileSync(join(folder, 'manifest.csv'), 'utf8');
  const { data: rows } = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
  return rows.map((cells) => {
    const split = cells.split as LabelledPhoto['split'];
    return {
      id: cells.id!,
      split,
      group: cells.scene_group!,
      hasRust: cells.kind === 'photo',
      file: join(folder, 'images', split, `${cells.id}.jpg`),
      maskFile: join(folder, 'masks', split, `${cells.id}.png`),
    };
  });
}

/** The truth at a wanted size. */
export async function readTruth(photo: LabelledPhoto, size: Sized): Promise<Mask> {
  const data = await sharp(photo.maskFile)
    .resize(size.width, size.height, { fit: 'fill', kernel: 'nearest' })
    .extractChannel(0)
    .raw()
    .toBuffer();
  return { ...size, data: Uint8Array.from(data, (value) => (value > 191 ? 1 : 0)) };
}
