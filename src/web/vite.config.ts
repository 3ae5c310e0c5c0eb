import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';
import { parse } from 'yaml';

/** Puts the marks and icons into the page itself, so that they are there with the network down. */
function marks(): Plugin {
  return {
    name: 'marks',
    transformIndexHtml: (html) => html.replace('<!-- marks -->', readFileSync(here('look/marks.svg'), 'utf8')),
  };
}

/** The limits of the photo method, for the quick measure on the device; the server measures with its own afterwards. */
function imagingLimits(): Plugin {
  const id = 'virtual:imaging-limits';
  return {
    name: 'imaging-limits',
    resolveId: (source) => (source === id ? `\0${id}` : undefined),
    load(source) {
      if (source !== `\0${id}`) return;
      const file = here('../../rubric/imaging.yaml');
      this.addWatchFile(file);
      return `export default ${JSON.stringify(bareNumbers(parse(readFileSync(file, 'utf8'))))}`;
    },
  };
}

/** `{ value, because, from }` as the bare number, at any depth. */
function bareNumbers(setting: unknown): unknown {
  if (setting === null || typeof setting !== 'object') return setting;
  if ('value' in setting) return setting.value;
  return Object.fromEntries(Object.entries(setting).map(([key, inner]) => [key, bareNumbers(inner)]));
}

function here(path: string): string {
  return fileURLToPath(new URL(path, import.meta.url));
}

export default defineConfig({
  root: here('.'),
  publicDir: here('public'),
  plugins: [react(), marks(), imagingLimits()],
  resolve: { alias: { zod: here('zod-stand-in.ts') } },
  build: {
    outDir: here('../../.build/web'),
    emptyOutDir: true,
    target: 'es2022',
    // The page's Content-Security-Policy allows no data: addresses for fonts and scripts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    manifest: 'parts.json',
    rolldownOptions: {
      input: { index: here('index.html'), sw: here('offline/sw.ts') },
      output: { entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js') },
    },
  },
  worker: { format: 'es' },
});
