import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parse } from 'yaml';
import { z } from 'zod';
import { ImagingSettings } from '../../../shared/imaging-settings.ts';
import { faultsOf, InputError } from '../../../shared/index.ts';
import { type CalibrationPhoto, fitInterval, type IntervalModel } from '../../imaging/index.ts';

/**
 * Read the limits of the photo pipeline.
 *
 * @param file `rubric/imaging.yaml`
 * @throws {InputError} With every fault at once
 */
export async function loadImagingSettings(file: string): Promise<ImagingSettings> {
  const value: unknown = parse(await readFile(file, 'utf8'));
  const parsed = ImagingSettings.safeParse(value);
  if (!parsed.success) throw new InputError(faultsOf(parsed.error, value, file));
  return parsed.data;
}

/** `calibration.json` of a method: photos whose scene the method had not seen, with true and predicted fraction. */
const Calibration = z.object({
  pictures: z.array(
    z.object({
      scene_group: z.string(),
      true_fraction: z.number().min(0).max(1),
      predicted_fraction: z.number().min(0).max(1),
      weakness: z.number().min(1).optional(),
    }),
  ),
});

/** Intervals by method. */
export type Intervals = Readonly<Record<'model' | 'colour', IntervalModel | null>>;

/**
 * Fit the intervals from the methods' calibration files.
 *
 * @param modelsFolder Folder that holds one folder a method
 * @returns Null for a method without a calibration: its interval is then everything possible
 */
export async function loadIntervals(modelsFolder: string, settings: ImagingSettings): Promise<Intervals> {
  const load = async (folder: string) => {
    const file = join(modelsFolder, folder, 'calibration.json');
    if (!existsSync(file)) return null;
    const { pictures } = Calibration.parse(JSON.parse(await readFile(file, 'utf8')));
    // How often clean pictures show false rust is measured apart: they are no scenes of their own.
    const rusty = pictures.filter((picture) => picture.true_fraction > 0);
    const photos = rusty.map(
      (picture): CalibrationPhoto => ({
        group: picture.scene_group,
        trueFraction: picture.true_fraction,
        predictedFraction: picture.predicted_fraction,
        weakness: picture.weakness,
      }),
    );
    return fitInterval(photos, {
      coverage: settings.interval.coverage,
      floorFraction: settings.interval.floorFraction,
      bandsFrom: [0, settings.interval.secondBandFrom, settings.interval.thirdBandFrom],
      widen: settings.interval.widen,
    });
  };
  return { model: await load('rust-segmenter'), colour: await load('colour-rule') };
}
