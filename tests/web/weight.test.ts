import { existsSync, readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { expect, test } from 'vitest';

const WEB = new URL('../../.build/web/', import.meta.url);
const BUDGET_KB = 150;

interface Part {
  file: string;
  isEntry?: boolean;
  imports?: string[];
}

/** A part with everything that must be there before it runs. */
function withImports(parts: Record<string, Part>, names: readonly string[]): Set<string> {
  const files = new Set<string>();
  const visit = (name: string) => {
    const part = parts[name];
    if (!part || files.has(part.file)) return;
    files.add(part.file);
    for (const inner of part.imports ?? []) visit(inner);
  };
  for (const name of names) visit(name);
  return files;
}

test('the script of a first load is under 150 kB gzipped, of the list and of every page', () => {
  expect(existsSync(new URL('parts.json', WEB)), 'wanted a built page in .build/web').toBe(true);
  const parts = JSON.parse(readFileSync(new URL('parts.json', WEB), 'utf8')) as Record<string, Part>;
  const pages = Object.keys(parts).filter((name) => name.startsWith('pages/'));
  expect(pages.length).toBeGreaterThan(5);
  const sizes = [[], ...pages.map((page) => [page])].map((page) => {
    const files = [...withImports(parts, ['index.html', ...page])].filter((file) => file.endsWith('.js'));
    const bytes = files.reduce((sum, file) => sum + gzipSync(readFileSync(new URL(file, WEB))).length, 0);
    return { page: page[0] ?? 'list', kB: bytes / 1000 };
  });
  for (const { page, kB } of sizes) console.log(`script of a first load, ${page}: ${kB.toFixed(1)} kB gzipped`);
  for (const { page, kB } of sizes) expect(kB, page).toBeLessThan(BUDGET_KB);
});
