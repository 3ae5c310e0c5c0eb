import { type Assessment, type Fault, InputError, type PhotoRecord } from '../../shared/index.ts';
import { measurePhotos, type PhotoTask } from './measure-photos.ts';
import type { PhotoDeps } from './photo-deps.ts';

/** What measuring an assessment's own photos needs from outside. */
export interface NamedPhotoDeps {
  /** Where a photo lies that the assessment names: beside the assessment. */
  readonly pathOf: (file: string) => string;
  /** Start measuring; `close` ends the processes. Called only when there is something to measure. */
  readonly openPhotos: () => Promise<PhotoDeps & { readonly close: () => Promise<void> }>;
  readonly progress?: ((done: number, total: number) => void) | undefined;
  /** Says in a line what a person should know. */
  readonly note: (line: string) => void;
}

interface Wanted {
  readonly at: readonly [component: number, photo: number];
  readonly task: PhotoTask;
}

/**
 * Measures the photos that an assessment names for a check and outlines, and that nobody has measured yet.
 *
 * A photo without an outline, without a check or struck by a person would change nothing and is left alone, as is one
 * whose measurement is already in the file.
 *
 * @param assessment A checked assessment; not changed
 * @param file Its file as the user named it, for messages
 * @returns The assessment with the measurements; a photo that is not fit to measure stays without one, and is noted
 * @throws {InputError} With every photo that cannot be measured
 */
export async function measureNamedPhotos(
  assessment: Assessment,
  file: string,
  deps: NamedPhotoDeps,
): Promise<Assessment> {
  const wanted = namedPhotos(assessment, deps);
  if (wanted.length === 0) return assessment;
  const components = [...assessment.components];
  const faults: Fault[] = [];
  const photos = await deps.openPhotos();
  try {
    let done = 0;
    for await (const { line } of measurePhotos(
      wanted.map(({ task }) => task),
      photos,
    )) {
      const [c, p] = wanted[done]!.at;
      const component = components[c]!;
      const named = component.photos![p]!;
      deps.progress?.(++done, wanted.length);
      if ('error' in line) {
        const { code, message } = line.error;
        const place = `components.${c}.photos.${p}.${code === 'outline' ? 'outline' : 'file'}`;
        faults.push({ file, path: place, wanted: 'a photo that can be measured', found: `${named.file}: ${message}` });
      } else if (line.rustAreaPercent === null) {
        const why = line.fit.problems.map(({ what, advice }) => `${what}. ${advice}.`).join(' ');
        deps.note(`${named.file} of ${component.id} does not count, not fit to measure: ${why}`);
      } else {
        const rustAreaPercent = { ...line.rustAreaPercent, method: line.method };
        components[c] = { ...component, photos: component.photos!.with(p, { ...named, rustAreaPercent }) };
      }
    }
  } finally {
    await photos.close();
  }
  if (faults.length > 0) throw new InputError(faults);
  return { ...assessment, components };
}

function namedPhotos(assessment: Assessment, deps: NamedPhotoDeps): Wanted[] {
  return assessment.components.flatMap((component, c) =>
    (component.photos ?? []).flatMap((photo, p): Wanted[] =>
      isWanted(photo)
        ? [{ at: [c, p], task: { file: deps.pathOf(photo.file), request: { outline: photo.outline } } }]
        : [],
    ),
  );
}

function isWanted(photo: PhotoRecord): boolean {
  return (
    photo.outline !== undefined &&
    photo.check !== undefined &&
    photo.rustAreaPercent === undefined &&
    photo.struck === undefined
  );
}
