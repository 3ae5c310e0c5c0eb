import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** Who may import whom; `because` is for whoever trips over it. */
const RULES: { from: string; may: string[]; packages: string[] | null; because: string }[] = [
  { from: 'shared', may: [], packages: ['zod'], because: 'contracts are used by server and browser alike' },
  { from: 'src/standards', may: ['shared'], packages: [], because: 'published formulas are pure' },
  {
    from: 'src/engine',
    may: ['shared', 'src/standards'],
    packages: ['zod'],
    because: 'the engine runs in the page too',
  },
  {
    from: 'src/planning',
    may: ['shared', 'src/standards', 'src/engine'],
    packages: [],
    because: 'planning runs in the page too',
  },
  { from: 'src/imaging', may: ['shared', 'src/standards'], packages: [], because: 'pixels in, numbers out' },
  { from: 'src/reports', may: ['shared'], packages: null, because: 'views of one result decide nothing' },
  {
    from: 'src/app',
    may: ['shared', 'src/standards', 'src/engine', 'src/planning', 'src/imaging'],
    packages: null,
    because: 'the outside comes in as function types',
  },
  {
    from: 'src/cli',
    may: ['shared', 'src/app', 'src/reports', 'src/server', 'src/imaging', 'src/wire.ts'],
    packages: null,
    because: 'a door to the use cases',
  },
  {
    from: 'src/web',
    may: ['shared', 'src/standards', 'src/engine', 'src/planning', 'src/imaging'],
    packages: null,
    because: 'the page is served to a browser',
  },
];

const files = (folder: string): string[] =>
  !existsSync(join(root, folder))
    ? []
    : readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
        .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
        .map((entry) => join(entry.parentPath ?? entry.path, entry.name));

describe('imports', () => {
  test.each(RULES.map((rule) => [rule.from, rule] as const))(
    'of %s point one way',
    (from, { may, packages, because }) => {
      const wrong: string[] = [];
      for (const file of files(from)) {
        for (const [, target] of readFileSync(file, 'utf8').matchAll(/^(?:import|export)\b[^'"]*?from '([^']+)'/gm)) {
          if (target!.startsWith('.')) {
            const place = relative(root, join(dirname(file), target!))
              .split(sep)
              .join('/');
            if (![from, ...may].some((folder) => place === folder || place.startsWith(`${folder}/`)))
              wrong.push(`${relative(root, file)} -> ${place}`);
          } else if (packages && !packages.includes(target!)) wrong.push(`${relative(root, file)} -> ${target}`);
        }
      }
      expect(wrong, because).toEqual([]);
    },
  );
});

describe('top level', () => {
  test('holds what a newcomer expects and nothing else', () => {
    const wanted = [
      'DEVELOPERS.md',
      'LICENSE',
      'README.md',
      'biome.json',
      'demo-data',
      'models',
      'node_modules',
      'package-lock.json',
      'package.json',
      'rubric',
      'shared',
      'src',
      'tests',
      'tsconfig.json',
      'vitest.config.ts',
    ];
    expect(readdirSync(root).filter((name) => !name.startsWith('.') && !wanted.includes(name))).toEqual([]);
  });
});
