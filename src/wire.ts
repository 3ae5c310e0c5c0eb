import { existsSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { styleText } from 'node:util';
import packageJson from '../package.json' with { type: 'json' };
import { type Assessment, InputError, type Rubric } from '../shared/index.ts';
import { compiledRubric } from './adapters/files/compiled-rubric.ts';
import { readDocument, valueRead } from './adapters/files/read-document.ts';
import { readRubric } from './adapters/files/read-rubric.ts';
import { readText } from './adapters/files/read-text.ts';
import { checkWritable, makeFolder, writeText } from './adapters/files/write-places.ts';
import { toYaml } from './adapters/files/write-yaml.ts';
import { listPhotos, openPhotos } from './adapters/photos/index.ts';
import { progressBar } from './adapters/progress-bar.ts';
import { measureNamedPhotos } from './app/measure-named-photos.ts';
import type { PhotoCommandDeps } from './cli/photo.ts';
import type { CliDeps } from './cli/score.ts';
import type { ServeCommandDeps } from './cli/serve.ts';
import { checkAssessment } from './engine/check-assessment.ts';

/** Folder of the project: this file is `src/wire.ts`, or part of a bundle in `.build/`. */
const ROOT = rootAbove(dirname(fileURLToPath(import.meta.url)));
const at = (...parts: string[]) => join(ROOT, ...parts);

function rootAbove(folder: string): string {
  return existsSync(join(folder, 'rubric', 'settings.yaml')) ? folder : rootAbove(dirname(folder));
}

/** The invented jobs, first the one that is meant when none is named. */
const DEMOS = [
  {
    id: 'corner',
    name: 'A front corner',
    about: 'An invented front corner, half stripped, with everything that makes such a job hard',
  },
  {
    id: 'pre-purchase',
    name: 'Before buying',
    about: 'An invented car looked at for half an hour before it is bought: much not seen, an offer to make',
  },
];

/** Builds once what the doors need from outside. */
export function wire(setExitCode: (code: 0 | 1 | 2 | 3) => void): {
  cli: CliDeps;
  photos: PhotoCommandDeps;
  serving: () => Promise<ServeCommandDeps>;
} {
  const out = (line: string) => process.stdout.write(`${line}\n`);
  const bar = progressBar(
    (text) => process.stderr.write(text),
    () => performance.now(),
  );
  const err = (line: string) => bar.line(line);
  const today = () => new Date().toISOString().slice(0, 10);
  const isPainted = process.stdout.isTTY && !process.env.NO_COLOR;
  const folders = { rubric: at('rubric'), models: at('models') };
  const { version } = packageJson;
  // A program that was built anew may check more than the last one did.
  const program = fileURLToPath(import.meta.url);
  const compiled = compiledRubric(at('.build', 'rubric.json'), `${program}${statSync(program).mtimeMs}`);
  const readOurRubric = (own?: string) => readRubric(folders.rubric, own, compiled);

  const photos: PhotoCommandDeps = {
    listPhotos,
    openPhotos: () => openPhotos(folders),
    readText: async (file) => valueRead(await readText(file)),
    makeFolder,
    checkWritable,
    writeText,
    out,
    err,
    progress: process.stderr.isTTY ? bar.step : undefined,
    today,
    setExitCode,
  };
  const cli: CliDeps = {
    readRubric: readOurRubric,
    readAssessment: async (file, rubric) =>
      measureNamedPhotos(checked(valueRead(await readDocument(file)), rubric, today(), file), file, {
        pathOf: (photo) => besideOrIn(dirname(file), photo),
        openPhotos: photos.openPhotos,
        progress: photos.progress,
        note: err,
      }),
    demos: DEMOS.map((demo) => ({ ...demo, file: at('demo-data', `${demo.id}.yaml`) })),
    today,
    version,
    out,
    err,
    paint: (text, style) => (isPainted ? styleText(style, text) : text),
    toYaml,
  };
  // The server's packages are the heavy ones: only its own commands load them.
  const serving = async () => {
    const { wireServing } = await import('./wire-serving.ts');
    return wireServing({ at, out, err, setExitCode, version, folders, cli });
  };
  return { cli, photos, serving };
}

/** A photo lies beside the assessment that names it, or, once exported, in `photos/` beside it. */
function besideOrIn(folder: string, photo: string): string {
  const beside = resolve(folder, photo);
  const exported = resolve(folder, 'photos', photo);
  return !existsSync(beside) && existsSync(exported) ? exported : beside;
}

function checked(raw: unknown, rubric: Rubric, today: string, file: string): Assessment {
  const result = checkAssessment(raw, rubric, { today, file });
  if (result.faults) throw new InputError(result.faults);
  return result.assessment;
}
