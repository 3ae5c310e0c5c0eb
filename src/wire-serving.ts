import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { pathToFileURL } from 'node:url';
import type { Assessment, Rubric } from '../shared/index.ts';
import { parseDocumentText } from './adapters/files/read-document.ts';
import { versionOf } from './adapters/files/read-rubric.ts';
import { loadImagingSettings, openPhotos } from './adapters/photos/index.ts';
import {
  listen,
  loadPage,
  networkAddresses,
  networkNames,
  openJudges,
  remoteAddress,
  servePhotos,
  takeOrMakeCertificate,
  verdictFiles,
} from './adapters/serve/index.ts';
import { defaultDataFolder, openKeeping } from './adapters/store/index.ts';
import type { CliDeps } from './cli/score.ts';
import type { ServeCommandDeps } from './cli/serve.ts';
import { checkAssessment } from './engine/check-assessment.ts';
import { checkRubric, filesOfRubric } from './engine/check-rubric.ts';
import { checkActuals } from './planning/index.ts';
import { createApp } from './server/app.ts';

/** What the server's wiring shares with that of the command line. */
interface Common extends Pick<ServeCommandDeps, 'out' | 'err' | 'setExitCode' | 'version'> {
  at: (...parts: string[]) => string;
  folders: { rubric: string; models: string };
  cli: CliDeps;
}

/** What `serve`, `import` and `export` need from outside. */
export function wireServing({ at, out, err, setExitCode, version, folders, cli }: Common): ServeCommandDeps {
  const judgeProgram = at('.build', 'judge-worker.mjs');
  // It names the pieces it is made of by their content.
  const judgeVersion = async () =>
    createHash('sha256')
      .update(process.version)
      .update(await readFile(judgeProgram))
      .digest('hex');
  return {
    createApp,
    out,
    err,
    setExitCode,
    version,
    defaultDataFolder: () => defaultDataFolder(process.env),
    databaseUrl: () => process.env.DATABASE_URL || undefined,
    openKeeping: async (dataFolder, options) => {
      const keeping = await openKeeping(dataFolder, { ...options, emptyDatabase: at('.build', 'empty-database') });
      const { cache, needRoom } = keeping.folder;
      return { ...keeping, verdicts: verdictFiles(cache, judgeVersion, needRoom) };
    },
    judgement: async () => {
      const rubric = await cli.readRubric();
      const judges = openJudges(pathToFileURL(judgeProgram));
      return {
        rubric,
        checkAssessment: (raw, other, day) => {
          const checked = checkAssessment(raw, other, { today: day });
          return checked.faults ?? checkActuals(checked.assessment, other);
        },
        checkRubric: (raw) => rubricFrom(raw),
        score: judges.score,
        plan: judges.plan,
        closeJudges: judges.close,
        parseText: (text, file) => {
          const read = parseDocumentText(text, file);
          return read.faults ? { faults: read.faults } : { value: read.value };
        },
        demos: cli.demos.map(({ id, file, name, about }) => {
          let read: Promise<Assessment> | null = null;
          return {
            id,
            name,
            about,
            assessment: () => {
              read ??= cli.readAssessment(file, rubric);
              return read;
            },
            photo: (photo) => readFile(join(dirname(file), photo)),
          };
        }),
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
    qrForTerminal: async (text) => (await qrCodes()).toString(text, { type: 'terminal', small: true }),
    qrSvg: async (text) => (await qrCodes()).toString(text, { type: 'svg', margin: 2 }),
    hasScreen: () => process.stderr.isTTY === true && !process.env.CI,
    openBrowser,
    untilAskedToStop: () =>
      new Promise((resolve) => {
        for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => resolve());
      }),
    readBytes: (file) => readFile(file),
    writeBytes: (file, chunks) => pipeline(Readable.from(chunks), createWriteStream(file)),
  };
}

/** Loaded only when something is shared. */
async function qrCodes() {
  return (await import('qrcode')).default;
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
