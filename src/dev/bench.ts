import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build, type Plugin } from 'esbuild';
import type { BenchLine } from '../../tests/bench/bench-line.ts';

// A group is a file `tests/bench/NAME.bench.ts` that exports one function: `(root) => lines`. Nothing else is to be listed.
const ROOT = rootAbove(dirname(fileURLToPath(import.meta.url)));
const FOLDER = join(ROOT, 'tests/bench');
const ENDING = '.bench.ts';

async function main(asked: readonly string[]): Promise<number> {
  const groups = readdirSync(FOLDER)
    .filter((file) => file.endsWith(ENDING))
    .map((file) => file.slice(0, -ENDING.length))
    .sort();
  const unknown = asked.find((name) => !groups.includes(name));
  if (unknown !== undefined) {
    process.stderr.write(`Cannot measure ${unknown}: wanted one of ${groups.join(', ')}\n`);
    return 2;
  }
  let missed = 0;
  for (const name of asked.length > 0 ? asked : groups) {
    process.stdout.write(`${name}\n`);
    for (const line of await linesOf(name)) {
      process.stdout.write(`${written(line)}\n`);
      if (!line.isMet) missed++;
    }
  }
  process.stdout.write(missed === 0 ? 'Every target is met\n' : `${missed} missed\n`);
  return missed === 0 ? 0 : 1;
}

function written({ name, value, limit, isMet, beside }: BenchLine): string {
  // Met by being under the limit, or by being over it.
  const way = isMet === value <= limit ? 'at most' : 'at least';
  const figure = Number(value.toPrecision(3));
  return `  ${isMet ? 'met   ' : 'missed'}  ${String(figure).padStart(7)}  (${way} ${Number(limit.toPrecision(3))})  ${name}${beside ? `; ${beside}` : ''}`;
}

/** Builds a group as the program itself is built, since that is what is measured, and runs it. */
async function linesOf(name: string): Promise<readonly BenchLine[]> {
  const outfile = join(ROOT, '.build', `bench-${name}.mjs`);
  await build({
    absWorkingDir: ROOT,
    entryPoints: [join(FOLDER, `${name}${ENDING}`)],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    charset: 'utf8',
    minifySyntax: true,
    logLevel: 'error',
    plugins: [TESTS_KEEP_THEIR_PLACE],
  });
  const exported: Record<string, unknown> = await import(pathToFileURL(outfile).href);
  const functions = Object.values(exported).filter((value) => typeof value === 'function');
  if (functions.length !== 1)
    throw new TypeError(`Cannot measure ${name}: wanted one exported function, found ${functions.length}`);
  return (functions[0] as (root: string) => Promise<readonly BenchLine[]> | readonly BenchLine[])(ROOT);
}

/** Files of the tests find their neighbours from where they lie, not from where the bundle lies. */
const TESTS_KEEP_THEIR_PLACE: Plugin = {
  name: 'tests-keep-their-place',
  setup: ({ onLoad }) => {
    onLoad({ filter: /[\\/]tests[\\/].*\.ts$/ }, ({ path }) => ({
      contents: readFileSync(path, 'utf8').replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href)),
      loader: 'ts',
    }));
  },
};

function rootAbove(folder: string): string {
  return existsSync(join(folder, 'package.json')) ? folder : rootAbove(dirname(folder));
}

process.exitCode = await main(process.argv.slice(2));
