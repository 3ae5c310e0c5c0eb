import { basename, join, parse as parsePath } from 'node:path';
import type { Command } from 'commander';
import { type Fault, faultsOf, InputError, showFound, UsageError, visible } from '../../shared/faults.ts';
import {
  PhotoHints,
  type PhotoMeasurement,
  PhotoOutline,
  type PhotoRequest,
  type PhotoScale,
} from '../../shared/photo.ts';
import { draftAssessment } from '../app/draft-assessment.ts';
import { measurePhotos, type PhotoOutcome, type PhotoTask } from '../app/measure-photos.ts';
import type { PhotoDeps } from '../app/photo-deps.ts';
import { photoTable } from './photo-table.ts';

/** What the photo command needs from outside. */
export interface PhotoCommandDeps {
  /** Files that some paths mean: folders opened, in order. */
  readonly listPhotos: (paths: readonly string[]) => Promise<string[]>;
  /** Start measuring; `close` ends the processes. */
  readonly openPhotos: () => Promise<PhotoDeps & { readonly close: () => Promise<void> }>;
  readonly readText: (file: string) => Promise<string>;
  /** Make a folder and those above it. @throws {InputError} When none can be made there */
  readonly makeFolder: (folder: string) => Promise<void>;
  /** @throws {InputError} When a file cannot be written there */
  readonly checkWritable: (file: string) => Promise<void>;
  readonly writeText: (file: string, text: string) => Promise<void>;
  /** Standard output and standard error; whole lines without the line end. */
  readonly out: (line: string) => void;
  readonly err: (line: string) => void;
  /** Called after each photo when a bar is wanted (a terminal), else undefined. */
  readonly progress?: ((done: number, total: number) => void) | undefined;
  /** ISO date. */
  readonly today: () => string;
  readonly setExitCode: (code: 0 | 1 | 2 | 3) => void;
}

interface PhotoOptions {
  outline?: string;
  hints?: string;
  scale?: string;
  method: string;
  mask?: string;
  draft?: string;
  json?: boolean;
}

/**
 * Add `keepworthy photo` to the program.
 *
 * @param program The command line's program
 * @param deps What the command needs from outside
 */
export function photoCommand(program: Command, deps: PhotoCommandDeps): void {
  program
    .command('photo')
    .summary('measure rust on photographs, worst first')
    .description(
      'Measure rust on photographs and list them worst first. Outlines and taps are in pixels of the upright photo from its top left corner.',
    )
    .argument('<paths...>', 'photos, or folders of photos')
    .option('--outline <json>', 'outline of the part: [[x,y],...], or {"NAME.jpg": [[x,y],...]}, or a file with either')
    .option(
      '--hints <json>',
      'taps: [{"x":1,"y":2,"is":"rust"}], is: rust, not-rust, part, not-part; or by name; or a file',
    )
    .option('--scale <px=mm>', 'a known length on the photo: its pixels and its millimetres, such as 830=100')
    .option('--method <method>', 'model or colour', 'model')
    .option('--mask <dir>', 'write NAME.mask.png for each photo: 255 is rust')
    .option('--draft <file>', 'write an assessment with one unlisted part a group of photos')
    .option('--json', 'one line of JSON a photo')
    .action(async (paths: string[], options: PhotoOptions) => {
      deps.setExitCode(await runPhoto(paths, options, deps));
    });
}

async function runPhoto(paths: readonly string[], options: PhotoOptions, deps: PhotoCommandDeps): Promise<0 | 1> {
  const { method } = options;
  if (method !== 'model' && method !== 'colour') {
    throw new UsageError(`Cannot use --method ${showFound(method)}: wanted model or colour`);
  }
  const scale = options.scale === undefined ? undefined : parseScale(options.scale);
  const outlineFor = await parseByName(options.outline, '--outline', PhotoOutline, deps);
  const hintsFor = await parseByName(options.hints, '--hints', PhotoHints, deps);
  const files = await deps.listPhotos(paths);
  if (files.length === 0) {
    throw new InputError([{ file: paths.join(' '), path: '', wanted: 'at least one picture', found: 'none' }]);
  }
  const names = new Set(files.map((file) => basename(file)));
  for (const [option, given] of [
    ['--outline', outlineFor],
    ['--hints', hintsFor],
  ] as const) {
    const unknown = given.names.filter((name) => !names.has(name));
    if (unknown.length > 0) deps.err(`${option} names no photo here: ${unknown.map(visible).join(', ')}`);
  }
  // What cannot be written is said now, not after an hour of measuring.
  if (options.mask !== undefined) await deps.makeFolder(options.mask);
  if (options.draft !== undefined) await deps.checkWritable(options.draft);
  const maskName = distinctNames();
  const tasks = files.map((file): PhotoTask => {
    const name = basename(file);
    const outline = outlineFor.of(name);
    const hints = hintsFor.of(name);
    const request: PhotoRequest = {
      method,
      ...(outline === undefined ? {} : { outline }),
      ...(hints === undefined ? {} : { hints }),
      ...(scale === undefined ? {} : { scale }),
    };
    return { file, request, maskFile: options.mask && join(options.mask, `${maskName(file)}.mask.png`) };
  });
  return measureAndShow(tasks, options, deps);
}

/** A photo's name without its ending; of two with the same name the second gets -2, so that neither mask is lost. */
function distinctNames(): (file: string) => string {
  const taken = new Set<string>();
  return (file) => {
    const { name } = parsePath(file);
    let free = name;
    for (let n = 2; taken.has(free); n++) free = `${name}-${n}`;
    taken.add(free);
    return free;
  };
}

async function measureAndShow(
  tasks: readonly PhotoTask[],
  options: PhotoOptions,
  deps: PhotoCommandDeps,
): Promise<0 | 1> {
  const measured: { outcome: PhotoOutcome; task: PhotoTask; measurement: PhotoMeasurement }[] = [];
  let bad = 0;
  let done = 0;
  const photos = await deps.openPhotos();
  try {
    for await (const outcome of measurePhotos(tasks, photos)) {
      const { line } = outcome;
      if (options.json) deps.out(JSON.stringify(line));
      if ('error' in line) {
        bad++;
        if (!options.json) deps.err(`${visible(line.file)}: ${visible(line.error.message)}`);
      } else {
        if (outcome.isFirstOfMany) deps.err(`${visible(line.file)}: more than one frame, only the first was measured`);
        measured.push({ outcome, task: tasks[done]!, measurement: line });
      }
      done++;
      if (!options.json) deps.progress?.(done, tasks.length);
    }
  } finally {
    await photos.close();
  }
  if (!options.json) {
    for (const row of photoTable(measured.map((m) => m.measurement))) deps.out(row);
    if (options.scale !== undefined && !measured.some(({ measurement }) => measurement.assessed === 'outline')) {
      deps.err('--scale gives square centimetres of outlined photos only: draw the part with --outline');
    }
  }
  if (bad > 0)
    deps.err(
      `${bad} of ${tasks.length} ${tasks.length === 1 ? 'file' : 'files'} could not be measured; each has its own line above`,
    );
  if (options.draft !== undefined) {
    const draft = draftAssessment(
      measured.map(({ measurement, outcome, task }) => ({
        measurement,
        takenAtMs: outcome.takenAtMs,
        outline: task.request?.outline,
      })),
      { name: 'Draft from photographs', today: deps.today() },
    );
    if (draft === null) deps.err('No draft written: no photo could be measured');
    else {
      await deps.writeText(options.draft, `${JSON.stringify(draft, null, 2)}\n`);
      deps.err(`Wrote ${visible(options.draft)}: ${draft.components.length} parts to name and grade`);
    }
  }
  return bad > 0 ? 1 : 0;
}

function parseScale(text: string): PhotoScale {
  const match = /^\s*(\d+(?:\.\d+)?)\s*=\s*(\d+(?:\.\d+)?)\s*$/.exec(text);
  const lengthPx = Number(match?.[1]);
  const lengthMm = Number(match?.[2]);
  if (!(lengthPx > 0) || !(lengthMm > 0)) {
    throw new UsageError(`Cannot use --scale ${showFound(text)}: wanted pixels = millimetres, such as 830=100`);
  }
  return { lengthPx, lengthMm };
}

/** A schema that can say what is wrong. */
interface Schema<T> {
  safeParse(value: unknown): { success: true; data: T } | { success: false; error: Parameters<typeof faultsOf>[0] };
}

/** What a person said of photos, and the names that were used for it. */
interface ByName<T> {
  readonly names: readonly string[];
  readonly of: (name: string) => T | undefined;
}

/** Read JSON given in place or as a file: one value for every photo, or an object of values by file name. */
async function parseByName<T>(
  given: string | undefined,
  option: string,
  schema: Schema<T>,
  deps: PhotoCommandDeps,
): Promise<ByName<T>> {
  if (given === undefined) return { names: [], of: () => undefined };
  const isInline = /^\s*[[{]/.test(given);
  const label = isInline ? option : given;
  const text = isInline ? given : await deps.readText(given);
  const value = parseJsonText(text, label);
  if (Array.isArray(value) || value === null || typeof value !== 'object') {
    const one = parseOne(value, schema, label);
    return { names: [], of: () => one };
  }
  const byName = new Map<string, T>();
  for (const [name, entry] of Object.entries(value)) byName.set(name, parseOne(entry, schema, `${label} for ${name}`));
  return { names: [...byName.keys()], of: (name) => byName.get(name) };
}

function parseJsonText(text: string, label: string): unknown {
  try {
    return JSON.parse(text);
  } catch (cause) {
    const fault: Fault = { file: label, path: '', wanted: 'JSON', found: cause instanceof Error ? cause.message : '' };
    throw new InputError([fault]);
  }
}

function parseOne<T>(value: unknown, schema: Schema<T>, label: string): T {
  const parsed = schema.safeParse(value);
  if (!parsed.success) throw new InputError(faultsOf(parsed.error, value, label));
  return parsed.data;
}
