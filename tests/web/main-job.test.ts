import { mkdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { strFromU8, unzipSync } from 'fflate';
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Assessment, ScoreOut } from '../../shared/index.ts';
import { DESK, findChromium, openBrowser, PHONE } from './browser.ts';
import { type RealServer, startRealServer } from './real-server.ts';

const SCREENS = new URL('../../.artifacts/main-job/', import.meta.url);
const photo = (name: string) => fileURLToPath(new URL(`../../demo-data/photos/${name}`, import.meta.url));
const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: the main job by hand is skipped');

describe.skipIf(!hasBrowser)('the main job by hand, on the real server', () => {
  let server: RealServer;
  let browser: Browser;
  let desk: Page;
  const faults: string[] = [];
  beforeAll(async () => {
    mkdirSync(SCREENS, { recursive: true });
    server = await startRealServer({ args: ['--share'] });
    browser = await openBrowser();
    desk = await newPage({ viewport: DESK });
  });
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
  });

  async function newPage(options: BrowserContextOptions): Promise<Page> {
    const context: BrowserContext = await browser.newContext(options);
    const page = await context.newPage();
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('console', (message) => {
      if (/Content Security Policy/.test(message.text())) faults.push(message.text());
    });
    return page;
  }

  async function shoot(page: Page, name: string, fullPage = true): Promise<void> {
    await page.screenshot({ path: fileURLToPath(new URL(`${name}.png`, SCREENS)), fullPage });
  }

  const kept = async () => (await (await fetch(`${server.url}/api/assessments/halvern-front`)).json()) as Assessment;
  const answers = async () => (await kept()).components.flatMap((component) => component.observations ?? []);

  test('a new assessment from an assembly, at the desk', async () => {
    await desk.goto(server.url);
    await desk.getByRole('heading', { name: 'Assessments', level: 1 }).waitFor();
    await shoot(desk, '01-list');
    await desk.getByRole('button', { name: /^One front corner/ }).click();
    await desk.getByLabel('What is it called?').fill('Halvern front');
    await desk.getByLabel('Years you mean to keep it').fill('7,5');
    await shoot(desk, '02-new');
    await desk.getByRole('button', { name: 'Start, and go round the car' }).click();
    await desk.waitForURL('**/a/halvern-front/round');
    await desk.locator('.ask h1').waitFor();
    await shoot(desk, '03-round-desk', false);
    expect((await kept()).horizonYears).toBe(7.5);
  });

  let phone: Page;

  test('a phone is paired by the link that the desk shows; the link works once', async () => {
    await desk.goto(`${server.url}/share`);
    await desk.getByRole('button', { name: 'New link' }).click();
    await desk.getByText('works once').waitFor();
    await shoot(desk, '04-share');
    const shown = (await desk.locator('.lnk').textContent())!;
    const [, address, token] = /^(.*)\/pair(.*)$/.exec(shown)!;
    const link = `http://${address}/pair#${token}`;
    phone = await newPage({ viewport: PHONE, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
    await phone.goto(link);
    expect(new URL(phone.url()).hash).toBe('');
    await shoot(phone, '05-pair');
    await phone.getByLabel('What shall it be called?').fill('Phone in the garage');
    await phone.getByRole('button', { name: 'Pair', exact: true }).tap();
    await phone.getByRole('heading', { name: 'Assessments', level: 1 }).waitFor();
    await phone.getByRole('link', { name: /Halvern front/ }).waitFor();
    await shoot(phone, '06-list-phone');
    await expect.poll(() => desk.getByText('Phone in the garage').count()).toBe(1);
    const second = await newPage({ viewport: PHONE });
    await second.goto(link);
    await second.getByLabel('What shall it be called?').fill('Somebody else');
    await second.getByRole('button', { name: 'Pair', exact: true }).click();
    await expect.poll(() => second.getByRole('alert').count()).toBe(1);
    await shoot(second, '07-link-spent');
    await second.context().close();
  });

  const title = () => phone.locator('.ask h1');
  const state = async () => `${await phone.locator('.bar b').textContent()} ${await title().textContent()}`;

  /** One answer as a thumb gives it: a key of whatever the check asks for, then Next. */
  async function tapAnswer(n: number): Promise<void> {
    const before = await state();
    const measure = phone.locator('.measure input');
    if (await measure.count()) {
      const [low, high] = (await phone.locator('.measure').textContent())!.match(/-?[\d.]+/g)!.map(Number) as [
        number,
        number,
      ];
      await measure.fill(String((low + high) / 2).replace('.', ','));
    } else {
      const key =
        n % 5 === 4
          ? phone.getByRole('button', { name: 'Not seen' })
          : phone.locator('.keys:not(.uns) .key').nth(n % 2);
      // A person looks whether the key has gone down, and taps again when it has not.
      const isDown = async () => (await phone.locator('.key[aria-pressed="true"]').count()) > 0;
      await expect
        .poll(async () => (await isDown()) || (await key.tap().then(isDown)), { interval: 500, timeout: 10_000 })
        .toBe(true);
    }
    await phone.getByRole('button', { name: 'Next' }).tap();
    await expect.poll(state, { timeout: 10_000 }).not.toBe(before);
  }

  test('twelve checks and two photos by phone, the network cut in the middle: all arrive once', async () => {
    await phone.getByRole('link', { name: /Halvern front/ }).tap();
    await phone.locator('.item').first().waitFor();
    await shoot(phone, '08-bench-phone-empty');
    await phone.getByRole('navigation', { name: 'Main, 2' }).getByRole('link', { name: 'Round the car' }).tap();
    await title().waitFor();
    await shoot(phone, '09-round-phone', false);
    for (let n = 0; n < 4; n++) await tapAnswer(n);
    await phone.locator('input[type=file]').setInputFiles(photo('lower-arm-heavy.jpg'));
    await expect.poll(() => phone.locator('.photosay').textContent()).toMatch(/^(Fit|Not fit) to measure/);
    await shoot(phone, '10-round-photo', false);
    await expect.poll(async () => (await answers()).length).toBe(4);
    // The photo too is on the server before the network goes, however busy the server is.
    await expect.poll(() => phone.locator('.bar .badge').count(), { timeout: 20_000 }).toBe(0);

    await phone.context().setOffline(true);
    for (let n = 4; n < 8; n++) await tapAnswer(n);
    await phone.locator('input[type=file]').setInputFiles(photo('coil-spring.jpg'));
    await expect.poll(() => phone.locator('.photosay').textContent()).toMatch(/to measure/);
    await expect.poll(() => phone.locator('.bar .badge').textContent()).toBe('5 waiting');
    await shoot(phone, '11-round-offline', false);
    expect((await answers()).length).toBe(4);
    await phone.context().setOffline(false);
    for (let n = 8; n < 12; n++) await tapAnswer(n);
    await expect.poll(async () => (await answers()).length, { timeout: 20_000 }).toBe(12);
    const all = await answers();
    expect(new Set(all.map((observation) => observation.id)).size).toBe(12);
    expect(new Set(all.map((observation) => observation.grader))).toEqual(new Set(['Phone in the garage']));
    const photos = async () =>
      (await (await fetch(`${server.url}/api/assessments/halvern-front/photos`)).json()) as { component: string }[];
    await expect.poll(async () => (await photos()).length, { timeout: 20_000 }).toBe(2);
    await expect.poll(() => phone.locator('.bar .badge').count()).toBe(0);
  }, 120_000);

  test('verdicts at the desk, without loading anew', async () => {
    await desk.goto(`${server.url}/a/halvern-front`);
    await desk.locator('.item').first().waitFor();
    await desk.getByText(/12 of \d+ checks answered/).waitFor();
    await shoot(desk, '12-bench-desk');
    const score = (await (await fetch(`${server.url}/api/assessments/halvern-front/score`)).json()) as ScoreOut;
    // The page judges with the engine itself: the same verdicts, in the same order.
    const rows = await desk.locator('.item').evaluateAll((all) => all.map((row) => row.getAttribute('data-id')));
    expect(rows).toEqual(score.components.map((component) => component.id));
    await desk.locator('.item').first().click();
    await desk.locator('h1').first().waitFor();
    await desk.waitForTimeout(500);
    await shoot(desk, '13-component-desk');
    await desk.goto(`${server.url}/a/halvern-front/photos`);
    await expect.poll(() => desk.locator('img').count()).toBeGreaterThan(1);
    await desk.waitForTimeout(500);
    await shoot(desk, '14-photos-desk');
    await desk.goto(`${server.url}/a/halvern-front/plan`);
    await desk.locator('h1').first().waitFor();
    await desk.waitForTimeout(1500);
    await shoot(desk, '15-plan-desk');
  }, 60_000);

  test('the export carries all of it away, and comes back', async () => {
    await desk.goto(`${server.url}/a/halvern-front`);
    await desk.locator('.item').first().waitFor();
    const coming = desk.waitForEvent('download');
    await desk.getByRole('link', { name: 'Export (.zip)' }).click();
    const file = await (await coming).path();
    const inside = unzipSync(new Uint8Array(readFileSync(file)));
    const assessment = JSON.parse(strFromU8(inside['assessment.json']!)) as Assessment;
    expect(assessment.components.flatMap((component) => component.observations ?? []).length).toBe(12);
    expect(Object.keys(inside).filter((name) => /\.(jpe?g|png|webp)$/.test(name)).length).toBe(2);
    await desk.goto(server.url);
    await desk.getByLabel('Choose a file').setInputFiles({
      name: 'again.zip',
      mimeType: 'application/zip',
      buffer: readFileSync(file),
    });
    await desk
      .getByText(/halvern-front-2/)
      .first()
      .waitFor();
    await shoot(desk, '16-imported');
    expect(faults).toEqual([]);
  }, 60_000);
});
