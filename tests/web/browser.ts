import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome', 'chrome'];

/** First Chromium on PATH, or null; then the tests that need one are skipped and say so. */
export function findChromium(): string | null {
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    for (const name of NAMES) {
      const file = join(folder, name);
      if (existsSync(file)) return file;
    }
  }
  return null;
}

export async function openBrowser(): Promise<Browser> {
  const executablePath = findChromium();
  if (executablePath === null) throw new Error('Cannot open a browser: wanted Chromium on PATH, found none');
  return chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
  });
}

export const PHONE = { width: 390, height: 844 };
export const DESK = { width: 1440, height: 900 };
