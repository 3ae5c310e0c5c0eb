import { ASSESSMENT_FORMAT, type Assessment } from '../../shared/assessment.ts';
import type { PhotoMeasurement } from '../../shared/photo.ts';

/** A measured photo of a draft. */
export interface DraftPhoto {
  readonly measurement: PhotoMeasurement;
  /** Capture time, milliseconds since 1970 in the camera's own time, or null. */
  readonly takenAtMs: number | null;
  readonly outline?: readonly (readonly [number, number])[] | undefined;
}

/** Kind of a part that nobody has named yet. */
const UNLISTED_KIND = 'unlisted-pressed-steel';

/**
 * Write an assessment with one unlisted part a group of photos, for a person to name and grade.
 *
 * @param photos Measured photos; declined ones stand beside the others of their group
 * @param options Name of the assessment, today's date (ISO), and the kind given to every part
 * @returns The assessment, or null when there is no photo
 */
export function draftAssessment(
  photos: readonly DraftPhoto[],
  options: { readonly name: string; readonly today: string; readonly kind?: string },
): Assessment | null {
  const groups = new Map<number, DraftPhoto[]>();
  for (const photo of photos) {
    const group = groups.get(photo.measurement.group);
    if (group === undefined) groups.set(photo.measurement.group, [photo]);
    else group.push(photo);
  }
  if (groups.size === 0) return null;
  const components = [...groups].map(([group, members]) => ({
    id: `part-${group}`,
    name: `Part ${group}`,
    kind: options.kind ?? UNLISTED_KIND,
    stage: 'off' as const,
    photos: members.map((photo, n) => photoRecord(photo, `part-${group}-${n + 1}`, options.today)),
  }));
  return {
    format: ASSESSMENT_FORMAT,
    id: 'draft-from-photos',
    name: options.name,
    date: options.today,
    purpose: 'triage',
    wantedFinish: 'serviceable',
    horizonYears: 5,
    atmosphere: 'C3',
    ruleBook: 'none',
    units: 'mm',
    currency: 'EUR',
    rates: {},
    areas: [],
    components,
  };
}

function photoRecord({ measurement, takenAtMs, outline }: DraftPhoto, id: string, today: string) {
  const { file, rustAreaPercent, method } = measurement;
  return {
    id,
    file,
    date: takenAtMs === null ? today : new Date(takenAtMs).toISOString().slice(0, 10),
    ...(outline === undefined ? {} : { outline: outline.map(([x, y]) => [x, y] as [number, number]) }),
    ...(rustAreaPercent === null ? {} : { rustAreaPercent: { ...rustAreaPercent, method } }),
  };
}
