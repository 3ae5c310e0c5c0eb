import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DESK, findChromium, openBrowser, PHONE } from './browser.ts';
import { demoPhotosIn, type RealServer, startRealServer } from './real-server.ts';

const SCREENS = new URL('../../.artifacts/two-graders/', import.meta.url);
const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: settling what two people differ on is not tried');

describe.skipIf(!hasBrowser)('where two people differ, in the demo', () => {
  let server: RealServer;
  let browser: Browser;
  beforeAll(async () => {
    mkdirSync(SCREENS, { recursive: true });
    server = await startRealServer();
    await demoPhotosIn(server.url);
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
  });
  const panelOf = (page: Page) =>
    page.locator('section', { has: page.getByRole('heading', { name: 'Where two people differ' }) });

  test.each([
    ['desk', DESK],
    ['phone', PHONE],
  ] as const)('%s: the bench lists them, and one click shows both answers', async (name, viewport) => {
    const page = await (await browser.newContext({ viewport })).newPage();
    await page.goto(`${server.url}/a/heron-front`);
    const panel = panelOf(page);
    await panel.waitFor();
    // Wilmot and Hesper in the demo: grades 2 and 4 first, then one grade apart twice, and 11 against 8 mm.
    expect(await panel.getByRole('link').count()).toBe(4);
    expect(await panel.getByText('2 grades apart').count()).toBe(1);
    expect(await panel.getByText('1 grade apart').count()).toBe(2);
    await panel.screenshot({ path: fileURLToPath(new URL(`bench-${name}.png`, SCREENS)) });
    await panel.getByRole('link', { name: /^Left front brake pipe/ }).click();
    const check = page.locator('[id="graders-outside-rust-fitted"]');
    await check.waitFor();
    await expect.poll(() => check.evaluate((element) => element === document.activeElement)).toBe(true);
    // The photos above it come in later and push it down.
    await page.locator('img').first().waitFor();
    await page.waitForTimeout(300);
    const { top, bottom } = await check.evaluate((element) => element.getBoundingClientRect().toJSON());
    expect(top).toBeGreaterThanOrEqual(0);
    expect(bottom).toBeLessThanOrEqual(viewport.height);
    await expect.poll(() => check.locator('.who li').allTextContents()).toHaveLength(2);
    const [low, high] = await check.locator('.who li').allTextContents();
    expect(low).toMatch(/Wilmot.*2/);
    expect(high).toMatch(/Hesper.*4/);
    await page.screenshot({ path: fileURLToPath(new URL(`component-${name}.png`, SCREENS)) });
    await page.context().close();
  });

  test('from both answers it goes to the check itself, and once they agree it is off the list', async () => {
    const page = await (await browser.newContext({ viewport: DESK })).newPage();
    await page.goto(`${server.url}/a/heron-front/c/spring-left#graders-stance-fitted`);
    await page.getByRole('link', { name: /^Answer it again together/ }).click();
    await page.waitForURL(/\/round\?check=spring-left/);
    await page.locator('.ask h1').waitFor();
    await page.goto(`${server.url}/a/heron-front`);
    await expect.poll(() => panelOf(page).getByRole('link').count()).toBe(4);
    const observation = { check: 'stance', value: 11, stage: 'fitted', grader: 'Hesper', date: '2026-11-25' };
    const change = { id: 'agreed-0001', type: 'observe', component: 'spring-left', observation };
    const sent = await fetch(`${server.url}/api/assessments/heron-front/changes`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ changes: [change] }),
    });
    expect(sent.status).toBe(200);
    await expect.poll(() => panelOf(page).getByRole('link').count(), { timeout: 10_000 }).toBe(3);
    await page.context().close();
  });
});
