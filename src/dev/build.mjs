import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ROOT } from './install.mjs';

const OUT = new URL('.build/', ROOT);

/** Entry points for Node: source -> name in `.build/`. */
const PROGRAMS = {
  keepworthy: 'src/cli/main.ts',
  'photo-worker': 'src/adapters/photos/worker.ts',
  'judge-worker': 'src/judge-worker.ts',
};
const PURE = ['shared', 'src/standards', 'src/engine', 'src/planning', 'src/imaging'];
/** Data that is built into the page; the rubric itself is fetched. */
const PAGE_DATA = ['rubric/imaging.yaml'];
const BUILDER = ['src/dev/build.mjs', 'package-lock.json'];

/**
 * Builds what changed since the last time.
 *
 * @returns URL of the command line's bundle
 */
export async function build() {
  mkdirSync(OUT, { recursive: true });
  const program = new URL('keepworthy.mjs', OUT);
  const programs = stampOf(['shared', 'src', ...BUILDER], (path) => !path.startsWith('src/web/'));
  if (isStale('programs', programs) || !existsSync(program)) {
    process.stderr.write('Building\n');
    await buildPrograms();
    markBuilt('programs', programs);
  }
  if (existsSync(new URL('src/web/index.html', ROOT))) {
    const page = stampOf([...PURE, 'src/web', ...PAGE_DATA, ...BUILDER]);
    if (isStale('page', page) || !existsSync(new URL('web/index.html', OUT))) {
      process.stderr.write('Building the page\n');
      await buildPage();
      markBuilt('page', page);
    }
  }
  const database = stampOf(['package-lock.json']);
  if (isStale('empty-database', database)) {
    await buildEmptyDatabase();
    markBuilt('empty-database', database);
  }
  return program;
}

/** A new embedded database, made once here so that no first start waits for it. */
async function buildEmptyDatabase() {
  const { PGlite } = await import('@electric-sql/pglite');
  const [folder, part] = ['empty-database', `empty-database.${process.pid}.part`].map((name) => new URL(name, OUT));
  await (await PGlite.create(fileURLToPath(part))).close();
  rmSync(folder, { recursive: true, force: true });
  renameSync(part, folder);
}

/** Builds `src/dev/NAME.ts`, a script of the workshop, and gives its bundle's URL. Exits with 2 when there is none. */
export async function buildScript(name) {
  const source = `src/dev/${name}.ts`;
  if (!existsSync(new URL(source, ROOT))) {
    process.stderr.write(`There is no ${source} in this version\n`);
    process.exit(2);
  }
  await bundle({ [name]: source }, `chunk-${name}-[hash]`);
  return new URL(`${name}.mjs`, OUT);
}

async function buildPrograms() {
  const entries = Object.fromEntries(
    Object.entries(PROGRAMS).filter(([, source]) => existsSync(new URL(source, ROOT))),
  );
  const written = await bundle(entries, 'chunk-[hash]');
  // Chunks of earlier builds; a program that still runs has loaded its own.
  for (const file of readdirSync(OUT)) {
    if (/^chunk-[A-Z0-9]+\.mjs$/.test(file) && !written.has(file)) rmSync(new URL(file, OUT), { force: true });
  }
}

// What a command does not need is not loaded (splitting).
async function bundle(entries, chunkNames) {
  const { build: esbuild } = await import('esbuild');
  const result = await esbuild({
    absWorkingDir: fileURLToPath(ROOT),
    entryPoints: entries,
    outdir: fileURLToPath(OUT),
    outExtension: { '.js': '.mjs' },
    chunkNames,
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    external: await packagesOutside(),
    charset: 'utf8',
    // Puts constants in the place of their names: three-valued logic runs half as fast again.
    minifySyntax: true,
    logLevel: 'error',
    write: false,
  }).catch(() => process.exit(3));
  const written = new Set();
  // Entries last, each put in place whole, so that a program started meanwhile never sees half a build.
  const isEntry = (file) => basename(file.path, '.mjs') in entries;
  for (const file of [...result.outputFiles].sort((a, b) => Number(isEntry(a)) - Number(isEntry(b)))) {
    const part = `${file.path}.${process.pid}.part`;
    writeFileSync(part, file.contents);
    renameSync(part, file.path);
    written.add(basename(file.path));
  }
  return written;
}

/** Pure packages of many small files, which load several times as fast from one. All others stay outside the bundle. */
const INSIDE = ['@hono/node-server', '@hono/zod-openapi', 'hono', 'kysely', 'zod'];

async function packagesOutside() {
  const { dependencies, devDependencies } = JSON.parse(readFileSync(new URL('package.json', ROOT), 'utf8'));
  return Object.keys({ ...dependencies, ...devDependencies }).filter((name) => !INSIDE.includes(name));
}

async function buildPage() {
  const { build: vite } = await import('vite');
  const own = new URL('src/web/vite.config.ts', ROOT);
  const options = {
    root: fileURLToPath(new URL('src/web/', ROOT)),
    logLevel: 'warn',
    build: { outDir: fileURLToPath(new URL('web/', OUT)), emptyOutDir: true },
  };
  if (existsSync(own)) {
    await vite({ ...options, configFile: fileURLToPath(own) });
  } else {
    const { default: react } = await import('@vitejs/plugin-react');
    await vite({ ...options, configFile: false, plugins: [react()] });
  }
}

/** Name, size and time of change of every file under the given paths, as one hash: tells a change without reading. */
function stampOf(paths, isWanted = () => true) {
  const hash = createHash('sha256');
  for (const path of paths.flatMap(filesUnder).filter(isWanted).sort()) {
    const { mtimeMs, size } = statSync(new URL(path, ROOT));
    hash.update(`${path}\0${size}\0${mtimeMs}\n`);
  }
  return hash.digest('hex');
}

function filesUnder(path) {
  const url = new URL(path, ROOT);
  if (!existsSync(url)) return [];
  if (!statSync(url).isDirectory()) return [path];
  return readdirSync(url, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesUnder(`${path}/${entry.name}`) : [`${path}/${entry.name}`],
  );
}

function isStale(name, stamp) {
  const file = new URL(`${name}.stamp`, OUT);
  return !existsSync(file) || readFileSync(file, 'utf8') !== stamp;
}

function markBuilt(name, stamp) {
  writeFileSync(new URL(`${name}.stamp`, OUT), stamp);
}
