import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';

const CHROMIUM = ['chromium', 'chromium-browser', 'google-chrome-stable', 'google-chrome', 'chrome'];
const FIREFOX = ['firefox-esr', 'firefox'];

/** First Chromium on PATH, or null; then the tests that need one are skipped and say so. */
export const findChromium = (): string | null => findProgram(CHROMIUM);

/** First Firefox on PATH, the distribution's own, or null. */
export const findFirefox = (): string | null => findProgram(FIREFOX);

function findProgram(names: readonly string[]): string | null {
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    for (const name of names) {
      const file = join(folder, name);
      if (existsSync(file)) return file;
    }
  }
  return null;
}

/** @param more Further switches */
export async function openBrowser(more: readonly string[] = []): Promise<Browser> {
  const executablePath = findChromium();
  if (executablePath === null) throw new Error('Cannot open a browser: wanted Chromium on PATH, found none');
  return chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--disable-background-networking', '--disable-component-update', '--disable-sync', ...more],
  });
}

/** What a fresh Firefox would do besides showing the page: greet, update, report. */
const QUIET_FIREFOX = {
  'app.update.enabled': false,
  'browser.aboutwelcome.enabled': false,
  'browser.shell.checkDefaultBrowser': false,
  'browser.startup.homepage_override.mstone': 'ignore',
  'datareporting.policy.dataSubmissionEnabled': false,
  'network.captive-portal-service.enabled': false,
  'network.connectivity-service.enabled': false,
  'toolkit.telemetry.reportingpolicy.firstRun': false,
};

/**
 * Opens an address in a Firefox of its own, without a window. A distribution's Firefox has no door for playwright, so
 * that a page has to tell the test itself what it found.
 *
 * @returns how to end it
 */
export function openInFirefox(address: string): () => Promise<void> {
  const program = findFirefox();
  if (program === null) throw new Error('Cannot open a browser: wanted Firefox on PATH, found none');
  const profile = mkdtempSync(join(tmpdir(), 'keepworthy-firefox-'));
  writeFileSync(
    join(profile, 'user.js'),
    Object.entries(QUIET_FIREFOX)
      .map(([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});\n`)
      .join(''),
  );
  // A home of its own too: Firefox refuses one that belongs to somebody else.
  const child: ChildProcess = spawn(program, ['--headless', '--no-remote', '--profile', profile, address], {
    stdio: 'ignore',
    env: { ...process.env, HOME: profile, MOZ_CRASHREPORTER_DISABLE: '1' },
  });
  const ended = new Promise<void>((done) => {
    child.once('exit', () => done());
    child.once('error', () => done());
  });
  return async () => {
    child.kill('SIGTERM');
    const force = setTimeout(() => child.kill('SIGKILL'), 5000);
    await ended;
    clearTimeout(force);
    rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  };
}

export const PHONE = { width: 390, height: 844 };
export const DESK = { width: 1440, height: 900 };
