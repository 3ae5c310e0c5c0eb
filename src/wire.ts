import { spawn } from 'node:child_process';
import { createWriteStream, existsSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { fileURLToPath } from 'node:url';
import { styleText } from 'node:util';
import QRCode from 'qrcode';
import packageJson from '../package.json' with { type: 'json' };
import { type Assessment, InputError, type Rubric } from '../shared/index.ts';
import { parseDocumentText, readDocument, valueRead } from './adapters/files/read-document.ts';
import { readRubric, versionOf } from './adapters/files/read-rubric.ts';
import { readText } from './adapters/files/read-text.ts';
import { toYaml } from './adapters/files/write-yaml.ts';
import { listPhotos, loadImagingSettings, openPhotos } from './adapters/photos/index.ts';
import {
  listen,
  loadPage,
  networkAddresses,
  networkNames,
  remoteAddress,
  servePhotos,
  takeOrMakeCertificate,
} from './adapters/serve/index.ts';
import { defaultDataFolder, openKeeping } from './adapters/store/index.ts';
import type { PhotoCommandDeps } from './cli/photo.ts';
import type { CliDeps } from './cli/score.ts';
import type { ServeCommandDeps } from './cli/serve.ts';
import { checkAssessment } from './engine/check-assessment.ts';
import { checkRubric, filesOfRubric } from './engine/check-rubric.ts';
import { score } from './engine/index.ts';
import { createApp } from './server/app.ts';

/** Folder of the project: this file is `src/wire.ts`, or part of a bundle in `.build/`. */
const ROOT = rootAbove(dirname(fileURLToPath(import.meta.url)));
const at = (...parts: string[]) => join(ROOT, ...parts);

function rootAbove(folder: string): string {
  return existsSync(join(folder, 'rubric', 'settings.yaml')) ? folder : rootAbove(dirname(folder));
}

/** Builds once what the doors need from outside. */
export function wire(setExitCode: (code: 0 | 1 | 2 | 3) => void): {
  cli: CliDeps;
  photos: PhotoCommandDeps;
  serving: ServeCommandDeps;
} {
  const out = (line: string) => process.stdout.write(`${line}\n`);
  const err = (line: string) => process.stderr.write(`${line}\n`);
  const today = () => new Date().toISOString().slice(0, 10);
  const isPainted = process.stdout.isTTY && !process.env.NO_COLOR;
  const folders = { rubric: at('rubric'), models: at('models') };
  const { version } = packageJson;
  const readOurRubric = (own?: string) => readRubric(folders.rubric, own);

  const cli: CliDeps = {
    readRubric: readOurRubric,
    readAssessment: async (file, rubric) => checked(valueRead(await readDocument(file)), rubric, today(), file),
    demoFile: at('demo-data', 'corner.yaml'),
    today,
    version,
    out,
    err,
    paint: (text, style) => (isPainted ? styleText(style, text) : text),
    toYaml,
  };
  const photos: PhotoCommandDeps = {
    listPhotos,
    openPhotos: () => openPhotos(folders),
    readText: async (file) => valueRead(await readText(file)),
    writeText: (file, text) => writeFile(file, text),
    out,
    err,
    progress: process.stderr.isTTY ? (done, total) => progress(done, total) : undefined,
    today,
    setExitCode,
  };
  const serving: ServeCommandDeps = {
    createApp,
    out,
    err,
    setExitCode,
    version,
    defaultDataFolder: () => defaultDataFolder(process.env),
    databaseUrl: () => process.env.DATABASE_URL || undefined,
    openKeeping,
    judgement: async () => {
      const rubric = await readOurRubric();
      return {
        rubric,
        checkAssessment: (raw, other, day) => checkAssessment(raw, other, { today: day }).faults ?? [],
        checkRubric: (raw) => rubricFrom(raw),
        score,
        plan: null,
        parseText: (text, file) => {
          const read = parseDocumentText(text, file);
          return read.faults ? { faults: read.faults } : { value: read.value };
        },
        demos: [
          {
            id: 'corner',
            name: 'A front corner',
            about: 'An invented front corner, half stripped, with everything that makes such a job hard',
            assessment: await cli.readAssessment(cli.demoFile, rubric),
          },
        ],
      };
    },
    openPhotos: async () => {
      const settings = await loadImagingSettings(join(folders.rubric, 'imaging.yaml'));
      const opened = await openPhotos(folders);
      return { ...servePhotos(opened.pool, opened.intervals, settings.intake.fileBytesTo), close: opened.close };
    },
    loadPage: () => loadPage(at('.build', 'web')),
    networkAddresses,
    networkNames,
    certificate: takeOrMakeCertificate,
    listen,
    remoteAddress,
    qrForTerminal: (text) => QRCode.toString(text, { type: 'terminal', small: true }),
    qrSvg: (text) => QRCode.toString(text, { type: 'svg', margin: 2 }),
    openBrowser,
    untilAskedToStop: () =>
      new Promise((resolve) => {
        for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
      }),
    readBytes: (file) => readFile(file),
    writeBytes: (file, chunks) => pipeline(Readable.from(chunks), createWriteStream(file)),
  };
  return { cli, photos, serving };
}

function checked(raw: unknown, rubric: Rubric, today: string, file: string): Assessment {
  const result = checkAssessment(raw, rubric, { today, file });
  if (result.faults) throw new InputError(result.faults);
  return result.assessment;
}

/** A rubric that came inside an exported assessment. */
function rubricFrom(raw: unknown): ReturnType<Awaited<ReturnType<ServeCommandDeps['judgement']>>['checkRubric']> {
  const parts = (raw && typeof raw === 'object' ? raw : {}) as Rubric;
  const { version: _, ...content } = parts;
  const result = checkRubric(
    filesOfRubric({ ...content, kinds: Array.isArray(content.kinds) ? content.kinds : [] }, 'rubric.json'),
  );
  if (result.faults) return { faults: result.faults };
  return { rubric: { version: versionOf(result.rubric), ...result.rubric } };
}

function progress(done: number, total: number): void {
  const width = 30;
  const filled = Math.round((done / total) * width);
  process.stderr.write(
    `\r[${'#'.repeat(filled)}${' '.repeat(width - filled)}] ${done} of ${total}${done === total ? '\n' : ''}`,
  );
}

/** Opens an address in the user's browser; where there is none, the address has been printed anyway. */
function openBrowser(address: string): void {
  const [program, ...args] =
    process.platform === 'darwin'
      ? ['open', address]
      : process.platform === 'win32'
        ? ['explorer', address]
        : ['xdg-open', address];
  const child = spawn(program!, args, { stdio: 'ignore', detached: true });
  child.on('error', () => undefined);
  child.unref();
}
