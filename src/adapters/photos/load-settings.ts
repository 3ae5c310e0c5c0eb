import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parse } from 'yaml';
import { z } from 'zod';
import { ImagingSettings } from '../../../shared/imaging-settings.ts';
import { faultsOf, InputError } from '../../../shared/index.ts';
import type { PhotoIntervals } from '../../app/photo-deps.ts';
import { fitInterval, type IntervalModel } from '../../imaging/index.ts';

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

/** `calibration.json` of a method: photos whose scene the method had not seen, with true and predicted fractions. */
const Calibration = z.object({
  pictures: z.array(
    z.object({
      scene_group: z.string(),
      true_fraction: z.number().min(0).max(1),
      predicted_fraction: z.number().min(0).max(1),
      /** Predicted fraction at other probabilities than one half. */
      fraction_at: z.record(z.string(), z.number().min(0).max(1)),
      weakness: z.number().min(1).optional(),
      /** How many taps had put the map right. */
      taps: z.number().int().min(1).optional(),
    }),
  ),
});
type Calibration = z.infer<typeof Calibration>;

/**
 * Fit the intervals from the methods' calibration files.
 *
 * @param modelsFolder Folder that holds one folder a method
 * @returns Null for a method without a calibration: its interval is then everything possible
 */
export async function loadIntervals(modelsFolder: string, settings: ImagingSettings): Promise<PhotoIntervals> {
  const { sureProbability: sure, ...options } = settings.interval;
  const read = async (file: string): Promise<Calibration['pictures']> => {
    if (!existsSync(join(modelsFolder, file))) return [];
    const { pictures } = Calibration.parse(JSON.parse(await readFile(join(modelsFolder, file), 'utf8')));
    // How often clean pictures show false rust is measured apart: they are no scenes of their own.
    return pictures.filter((picture) => picture.true_fraction > 0);
  };
  const fitted = (pictures: Calibration['pictures'], widen: number): IntervalModel =>
    fitInterval(
      pictures.map((picture) => ({
        group: picture.scene_group,
        trueFraction: picture.true_fraction,
        measured: {
          fraction: picture.predicted_fraction,
          sureFraction: fractionAt(picture, sure),
          possibleFraction: fractionAt(picture, 1 - sure),
        },
        weakness: picture.weakness,
      })),
      { ...options, widen, bandsFrom: [0, options.secondBandFrom, options.thirdBandFrom] },
    );
  const [model, colour, corrected] = await Promise.all(
    ['rust-segmenter/calibration.json', 'colour-rule/calibration.json', 'rust-segmenter/calibration-taps.json'].map(
      read,
    ),
  );
  const mostTaps = Math.max(0, ...corrected!.map(({ taps = 0 }) => taps));
  return {
    model: model!.length > 0 ? fitted(model!, options.widen) : null,
    colour: colour!.length > 0 ? fitted(colour!, options.widen) : null,
    corrected: Array.from({ length: mostTaps }, (_, n) =>
      fitted(
        corrected!.filter(({ taps }) => taps === n + 1),
        options.widenCorrected,
      ),
    ),
  };
}

/** Keys are probabilities as written, at most two digits. */
function fractionAt(picture: { readonly fraction_at: Readonly<Record<string, number>> }, probability: number): number {
  const key = String(Math.round(probability * 100) / 100);
  const found = picture.fraction_at[key];
  if (found === undefined) {
    throw new RangeError(
      `Cannot calibrate at probability ${key}: found only ${Object.keys(picture.fraction_at).join(', ')}`,
    );
  }
  return found;
}
