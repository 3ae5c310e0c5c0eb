import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { rustyPanel } from '../../make-image.ts';

/** Rusted share of `panel()`: a disc of radius a quarter of the height on a frame of 4 to 3. */
export const PANEL_FRACTION = Math.PI / 16 / (4 / 3);

/** A rusty panel ready to encode. */
export function panel(height = 480, width = 640): Sharp {
  const image = rustyPanel(height, width, height / 4);
  return sharp(Buffer.from(image.data), { raw: { height, width, channels: 3 } });
}

/** A fresh folder with a way to write files into it. */
export async function photoFolder(): Promise<{
  folder: string;
  put: (name: string, bytes: Uint8Array | string) => Promise<string>;
}> {
  const folder = await mkdtemp(join(tmpdir(), 'keepworthy-photos-'));
  return {
    folder,
    async put(name, bytes) {
      const file = join(folder, name);
      await writeFile(file, bytes);
      return file;
    },
  };
}
