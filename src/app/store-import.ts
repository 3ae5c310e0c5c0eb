import { Assessment, type Fault, faultsOf, type ImportAnswer, InputError, type Rubric } from '../../shared/index.ts';
import { blankFields, idFrom } from './store-new.ts';
import { partsFromCsv, propertiesOf } from './store-parts.ts';
import { photoProblem } from './store-photo-problem.ts';
import type { Author, PhotoFiles, PhotoRow, Store } from './store-port.ts';
import { ProblemError } from './store-problem.ts';
import { readZip, type TravellingPhoto } from './store-travel.ts';

/** What taking an assessment in needs from outside. */
export interface ImportDeps {
  store: Store;
  files: PhotoFiles;
  rubric: Rubric;
  checkAssessment: (raw: unknown, rubric: Rubric, today: string) => readonly Fault[];
  checkRubric: (raw: unknown) => { rubric: Rubric } | { faults: readonly Fault[] };
  parseText: (text: string, file: string) => { value: unknown } | { faults: readonly Fault[] };
  photos: {
    takeIn: (bytes: Uint8Array) => Promise<{
      bytes: Uint8Array;
      format: 'jpeg' | 'png' | 'webp';
      height: number;
      width: number;
    }>;
  };
  now: () => Date;
}

/**
 * Takes an assessment in, whatever it comes as: a .zip, JSON or YAML, or a parts list.
 *
 * @throws {InputError} with every fault
 */
export async function importBytes(
  bytes: Uint8Array,
  name: string | undefined,
  author: Author,
  deps: ImportDeps,
): Promise<ImportAnswer> {
  const notes: string[] = [];
  // The signature of a .zip's first entry, or of an empty one (APPNOTE 4.3.7, 4.3.16).
  const isZip = bytes[0] === 0x50 && bytes[1] === 0x4b;
  const travelling = isZip ? readZip(bytes) : null;
  const text = travelling ? travelling.assessment : decodeText(bytes);
  const raw = travelling || looksLikeDocument(text) ? parse(text, deps) : fromParts(text, name, deps, notes);
  let rubricVersion: string | null = null;
  let rubric = deps.rubric;
  if (travelling?.rubric) {
    const checked = deps.checkRubric(parse(travelling.rubric, deps));
    if ('faults' in checked) throw new InputError(checked.faults.map((fault) => ({ ...fault, file: 'rubric.json' })));
    if (checked.rubric.version !== deps.rubric.version) {
      await deps.store.keepRubric(checked.rubric);
      rubric = checked.rubric;
      rubricVersion = rubric.version;
      notes.push('It came with another rubric than this one has, and is judged by that until you say otherwise');
    }
  }
  const shape = Assessment.safeParse(raw);
  if (!shape.success) throw new InputError(faultsOf(shape.error, raw));
  const faults = deps.checkAssessment(shape.data, rubric, deps.now().toISOString().slice(0, 10));
  if (faults.length > 0) throw new InputError(faults);
  const { photos, renamed } = await takePhotosIn(travelling?.photos ?? [], deps);
  if (travelling && travelling.ignored.length > 0) notes.push(`Not used: ${travelling.ignored.slice(0, 5).join(', ')}`);
  const assessment = renamed.size === 0 ? shape.data : withFiles(shape.data, renamed);
  for (let n = 1; ; n++) {
    const id = n === 1 ? assessment.id : `${assessment.id}-${n}`;
    if (!(await deps.store.create({ assessment: { ...assessment, id }, rubricVersion, demo: null, photos, author })))
      continue;
    if (n > 1) notes.push(`There was a ${assessment.id} already; this one is ${id}`);
    return {
      id,
      name: assessment.name,
      version: 1,
      components: assessment.components.length,
      photos: photos.length,
      notes,
    };
  }
}

function looksLikeDocument(text: string): boolean {
  return /^\s*\{/.test(text) || /^(?:\s*#.*\n|\s*\n|---\n)*\s*[\w$"]+\s*:/.test(text);
}

function parse(text: string, deps: ImportDeps): unknown {
  const read = deps.parseText(text, '');
  if ('faults' in read) throw new InputError(read.faults);
  return read.value;
}

function fromParts(text: string, name: string | undefined, deps: ImportDeps, notes: string[]): unknown {
  const { components, noted } = partsFromCsv(text, propertiesOf(deps.rubric));
  notes.push(...columnNotes(noted));
  const title = (name ?? 'Parts list').replace(/\.csv$/i, '');
  const areas = [...new Set(components.flatMap((component) => component.area ?? []))].map((id) => ({
    id,
    name: id.replaceAll('-', ' '),
  }));
  return {
    format: 'keepworthy-assessment/1',
    id: idFrom(title),
    name: title,
    ...blankFields(deps.rubric, deps.now().toISOString().slice(0, 10)),
    areas,
    components,
  };
}

/** Words about columns that no field has. */
export function columnNotes(noted: readonly string[]): string[] {
  return noted.length > 0 ? [`Nothing asks for these columns; they are in the parts' notes: ${noted.join(', ')}`] : [];
}

/** Photos of a stranger's archive are cleaned like any other: location off, decoded once to see that they are whole. */
async function takePhotosIn(photos: readonly TravellingPhoto[], deps: ImportDeps) {
  const renamed = new Map<string, string>();
  const rows: PhotoRow[] = [];
  for (const { data, ...photo } of photos) {
    const clean = await deps.photos.takeIn(data).catch((error: unknown) => {
      throw photoProblem(error);
    });
    const file = await deps.files.put(clean.bytes, clean.format === 'jpeg' ? 'jpg' : clean.format);
    if (file !== photo.file) renamed.set(photo.file, file);
    rows.push({ ...photo, file, bytes: clean.bytes.length, width: clean.width, height: clean.height, mask: null });
  }
  return { photos: rows, renamed };
}

function withFiles(assessment: Assessment, renamed: ReadonlyMap<string, string>): Assessment {
  const components = assessment.components.map((component) =>
    component.photos
      ? {
          ...component,
          photos: component.photos.map((photo) => ({ ...photo, file: renamed.get(photo.file) ?? photo.file })),
        }
      : component,
  );
  return { ...assessment, components };
}

/** Text of an upload. @throws {ProblemError} `wrong-type` when it is not UTF-8 */
export function decodeText(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new ProblemError('wrong-type', 'Wanted a .zip, or JSON, YAML or CSV text in UTF-8');
  }
}
