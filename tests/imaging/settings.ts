import { readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { ImagingSettings } from '../../shared/imaging-settings.ts';

/** The limits as shipped. */
export function imagingSettings(): ImagingSettings {
  return ImagingSettings.parse(parse(readFileSync(new URL('../../rubric/imaging.yaml', import.meta.url), 'utf8')));
}
