import type { Browser, Page, Route } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { ScoreOut } from '../../shared/index.ts';
import { DESK, findChromium, openBrowser } from './browser.ts';
import { demoPhotosIn, type RealServer, startRealServer } from './real-server.ts';

const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: where a page has its first verdicts from is not tried');

const ID = 'heron-front';
const AT = `/api/assessments/${ID}/score`;
/** A name that no part of the demo has: it shows whose verdicts the rows are. */
const MARK = 'From the server, marked';

/** A page that has no verdicts yet takes the server's when they are of its version, and its own when they are not. */
describe.skipIf(!hasBrowser)('the first verdicts of a page', () => {
  let server: RealServer;
  let browser: Browser;
  let truth: ScoreOut;
  let version: number;
  beforeAll(async () => {
    server = await startRealServer();
    await demoPhotosIn(server.url);
    const answer = await fetch(server.url + AT);
    version = Number(answer.headers.get('keepworthy-version'));
    truth = (await answer.json()) as ScoreOut;
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
  });

  /** Opens the bench with the server's verdicts as `answer` gives them. */
  async function visit(answer: (route: Route, isReady: boolean) => Promise<unknown>): Promise<Page> {
    const context = await browser.newContext({ viewport: DESK, serviceWorkers: 'block' });
    const page = await context.newPage();
    await page.route(
      (url) => url.pathname === AT,
      (route) => void answer(route, new URL(route.request().url()).searchParams.has('ready')),
    );
    await page.addInitScript(() => {
      const seen = new MutationObserver(() => {
        const name = document.querySelector('.item .c-nm b')?.textContent;
        if (!name) return;
        const isUpdating = /updating/.test(document.querySelector('.title p')!.textContent!);
        Object.assign(window, { firstShown: { name, isUpdating } });
        seen.disconnect();
      });
      seen.observe(document, { childList: true, subtree: true });
    });
    await page.goto(`${server.url}/a/${ID}`);
    return page;
  }
  const marked = (of: number) => ({
    json: { ...truth, components: truth.components.map((component) => ({ ...component, name: MARK })) },
    headers: { 'keepworthy-version': String(of) },
  });
  const names = (page: Page) => page.locator('.item .c-nm b').allTextContents();
  const own = () => truth.components.map(({ name }) => name);
  const all = () => truth.components.map(() => MARK);
  const isUpdating = async (page: Page) =>
    /updating/.test((await page.locator('.title p').first().textContent()) ?? '');

  test('the version that is shown: they are the server’s', async () => {
    const page = await visit((route) => route.fulfill(marked(version)));
    await expect.poll(() => names(page), { timeout: 10_000 }).toEqual(all());
    expect(await isUpdating(page)).toBe(false);
    await page.context().close();
  });

  test('read once more, as when the page comes to be kept for offline: nothing is judged anew', async () => {
    const page = await visit((route) => route.fulfill(marked(version)));
    await expect.poll(() => names(page), { timeout: 10_000 }).toEqual(all());
    const readAgain = page.waitForResponse((response) => response.url().endsWith(`/api/assessments/${ID}`));
    await page.evaluate(() => navigator.serviceWorker.dispatchEvent(new Event('controllerchange')));
    await readAgain;
    // Longer than the page's own engine takes for the demo.
    await page.waitForTimeout(2000);
    expect(await names(page)).toEqual(all());
    expect(await isUpdating(page)).toBe(false);
    await page.context().close();
  });

  test('an earlier version: shown as being updated, until those of this version are there', async () => {
    const page = await visit(async (route, isReady) => {
      if (isReady) await route.fulfill(marked(version - 1));
    });
    await expect.poll(() => names(page), { timeout: 20_000 }).toEqual(own());
    await expect.poll(() => isUpdating(page)).toBe(false);
    const first = await page.evaluate(() => (window as unknown as { firstShown: object }).firstShown);
    expect(first).toEqual({ name: MARK, isUpdating: true });
    await page.context().close();
  });

  test.each<[string, (route: Route) => Promise<unknown>]>([
    ['another version, again and again', (route) => route.fulfill(marked(version + 7))],
    ['no version', (route) => route.fulfill({ ...marked(version), headers: {} })],
    ['nothing: the server is slow', () => new Promise(() => undefined)],
    ['nothing: the server is gone', (route) => route.abort()],
    ['a fault', (route) => route.fulfill({ status: 500, body: 'broken' })],
  ])('%s: the page’s own engine has the last word', async (_name, answer) => {
    const page = await visit(answer);
    await expect.poll(() => names(page), { timeout: 20_000 }).toEqual(own());
    await expect.poll(() => isUpdating(page)).toBe(false);
    await page.context().close();
  });
});
