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
  photos: z.array(
    z.object({
      group: z.string(),
      trueFraction: z.number().min(0).max(1),
      predictedFraction: z.number().min(0).max(1),
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
    const { photos } = Calibration.parse(JSON.parse(await readFile(file, 'utf8')));
    return fitInterval(photos satisfies CalibrationPhoto[], {
      coverage: settings.interval.coverage,
      floorFraction: settings.interval.floorFraction,
      widen: settings.interval.widen,
    });
  };
  return { model: await load('rust-segmenter'), colour: await load('colour-rule') };
}
