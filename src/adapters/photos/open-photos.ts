import { join } from 'node:path';
import type { PhotoDeps } from '../../app/photo-deps.ts';
import { loadImagingSettings, loadIntervals } from './load-settings.ts';
import { openPhotoPool, type PhotoPool } from './pool.ts';

/** What measuring photos needs, with the pool behind it. */
export interface OpenedPhotos extends PhotoDeps {
  readonly pool: PhotoPool;
  readonly close: () => Promise<void>;
}

/**
 * Read the limits and the calibrations, and open the pool; processes start with the first photo.
 *
 * @param folders Rubric and models folders
 * @param parallel Photos at the same time; the number of cores unless given
 * @throws {InputError} When `imaging.yaml` is at fault
 */
export async function openPhotos(
  folders: { readonly rubric: string; readonly models: string },
  parallel?: number,
): Promise<OpenedPhotos> {
  const settings = await loadImagingSettings(join(folders.rubric, 'imaging.yaml'));
  const modelFolder = join(folders.models, 'rust-segmenter');
  const pool = openPhotoPool({ settings, modelFolder, ...(parallel === undefined ? {} : { parallel }) });
  return {
    pool,
    parallel: pool.parallel,
    measureFile: (file, options) => pool.measure({ path: file }, options),
    intervals: await loadIntervals(folders.models, settings),
    duplicates: settings.duplicates,
    close: () => pool.close(),
  };
}
