import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DESK, findChromium, openBrowser, PHONE } from './browser.ts';
import { type FixtureServer, startFixtureServer } from './fixture-server.ts';
import { PAGES } from './page-list.ts';

const SCREENS = new URL('../../.artifacts/screens/', import.meta.url);
const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: the tests of the page are skipped');

describe.skipIf(!hasBrowser)('the pages, with invented data behind them', () => {
  let server: FixtureServer;
  let browser: Browser;
  beforeAll(async () => {
    mkdirSync(SCREENS, { recursive: true });
    server = await startFixtureServer();
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function open(path: string, options: BrowserContextOptions = {}): Promise<{ page: Page; faults: string[] }> {
    const context = await browser.newContext({ viewport: PHONE, serviceWorkers: 'block', ...options });
    const page = await context.newPage();
    // The invented verdicts come from the server: what the pages draw is tried here, not how it is worked out.
    await page.route('**/{judge,plan}-worker*', (route) => route.abort());
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('console', (message) => {
      if (/Content Security Policy/.test(message.text())) faults.push(message.text());
    });
    await goTo(page, path);
    return { page, faults };
  }

  async function goTo(page: Page, path: string): Promise<void> {
    await page.goto(server.url + path);
    await page.locator('h1').first().waitFor({ state: 'attached' });
    await page.waitForLoadState('load');
  }

  for (const colorScheme of ['light', 'dark'] as const) {
    for (const [size, viewport] of [
      ['phone', PHONE],
      ['desk', DESK],
    ] as const) {
      test(`axe finds nothing wrong on any page, ${colorScheme}, ${size}; no page breaks the content policy`, async () => {
        const { page, faults } = await open('/', { colorScheme, viewport });
        for (const [name, path] of PAGES) {
          await goTo(page, path);
          await page.waitForTimeout(150);
          await page.screenshot({
            path: fileURLToPath(new URL(`${name}-${size}-${colorScheme}.png`, SCREENS)),
            fullPage: !name.startsWith('round'),
          });
          const { violations } = await new AxeBuilder({ page }).analyze();
          expect(
            violations.map((v) => `${name}: ${v.id} ${v.nodes.map((node) => node.html.slice(0, 140)).join(' | ')}`),
          ).toEqual([]);
          expect(faults, name).toEqual([]);
        }
        await page.context().close();
      }, 120_000);
    }
  }

  test('nothing scrolls sideways at 320 px, which is 1280 px at 400 %', async () => {
    const { page } = await open('/', { viewport: { width: 320, height: 640 } });
    for (const [name, path] of PAGES) {
      await goTo(page, path);
      await page.waitForTimeout(100);
      const { inner, wide } = await page.evaluate(() => ({
        inner: innerWidth,
        wide: document.documentElement.scrollWidth,
      }));
      expect(wide, name).toBeLessThanOrEqual(inner);
    }
    await page.context().close();
  }, 60_000);

  test('the bench fits every width between a tablet and a desk', async () => {
    for (const width of [720, 1000, 1181, 1240, 1280, 1366]) {
      const { page } = await open('/a/halvern-tern', { viewport: { width, height: 800 } });
      await page.locator('.item').first().waitFor();
      expect(await page.evaluate(() => document.documentElement.scrollWidth), String(width)).toBeLessThanOrEqual(width);
      await page.context().close();
    }
  }, 60_000);

  test('marks and ranges have spoken text', async () => {
    const { page } = await open('/a/halvern-tern', { viewport: DESK });
    const row = page.locator('[data-id="arm-left"]');
    await expect.poll(() => row.getByRole('img', { name: 'refinish, leaning' }).count()).toBe(1);
    expect(await row.locator('.strip').getAttribute('aria-label')).toMatch(/^index between 41 and 66 of 100/);
    // Other answers of the car narrow it; the bar inside shows by how much.
    expect(await row.locator('.strip').getAttribute('aria-label')).toContain('likely 43 to 64');
    const [inside, whole] = await Promise.all([
      row.locator('.strip b').boundingBox(),
      row.locator('.strip').boundingBox(),
    ]);
    expect(inside!.width / whole!.width).toBeCloseTo(0.21, 1);
    expect(await row.locator('.range').getAttribute('aria-label')).toBe('set aside £107, likely £74, low £48');
    const barred = page.locator('[data-id="disc-left"] .strip');
    expect(await barred.getAttribute('aria-label')).toBe('barred');
    await page.context().close();
  });

  test('the grade keys are 88 px high', async () => {
    const { page } = await open('/a/halvern-tern/round?check=arm-left/web-rust');
    await page.locator('.key').first().waitFor();
    const keys = await page
      .locator('.key:not(.un)')
      .evaluateAll((all) => all.map((key) => key.getBoundingClientRect().height));
    expect(keys.length).toBe(6);
    expect(Math.min(...keys)).toBeGreaterThanOrEqual(88);
    await page.context().close();
  });

  test('a measured figure reads with a comma or a point, and a wrong one is kept and explained', async () => {
    const { page } = await open('/a/halvern-tern/round?check=sill-left/web-wall');
    const field = page.getByLabel('Measured, mm');
    await field.fill('1I8');
    expect(await page.getByRole('alert').textContent()).toContain('Found “1I8”');
    expect(await field.inputValue()).toBe('1I8');
    await field.fill('9');
    expect(await page.getByRole('alert').textContent()).toContain('wanted between 0 and 3 mm');
    await field.fill('1,75');
    expect(await page.getByRole('alert').count()).toBe(0);
    await page.getByRole('button', { name: 'Next' }).click();
    await expect
      .poll(() => server.changes.filter((c) => c.type === 'observe').at(-1))
      .toMatchObject({
        component: 'sill-left',
        observation: { check: 'web-wall', value: 1.75, unit: 'mm', stage: 'fitted' },
      });
    await page.context().close();
  });

  test('twelve checks by number keys with the network cut in the middle: every answer arrives once', async () => {
    const { page } = await open('/a/halvern-tern/round', { viewport: DESK });
    const before = server.changes.length;
    const title = page.locator('.ask h1');
    const asked: string[] = [];
    const answer = async (key: string) => {
      const now = `${await page.locator('.bar b').textContent()} ${await title.textContent()}`;
      asked.push(now);
      await page.keyboard.press(key);
      await page.keyboard.press('Enter');
      await expect
        .poll(async () => `${await page.locator('.bar b').textContent()} ${await title.textContent()}`)
        .not.toBe(now);
    };
    await page.locator('body').click({ position: { x: 700, y: 500 } });
    for (const key of ['1', 'n', '2', 'p']) await answer(key);
    await expect.poll(() => server.changes.length - before).toBe(4);
    await page.context().setOffline(true);
    for (const key of ['1', 'n', 'a', '2', '1']) await answer(key);
    await expect.poll(() => page.locator('.bar .badge').textContent()).toBe('5 waiting');
    expect(server.changes.length - before).toBe(4);
    await page.context().setOffline(false);
    for (const key of ['n', 'n', '1']) await answer(key);
    await expect.poll(() => server.changes.length - before, { timeout: 15_000 }).toBe(12);
    const ids = server.changes.slice(before).map((change) => change.id);
    expect(new Set(ids).size).toBe(12);
    expect(new Set(asked).size).toBe(12);
    await page.context().close();
  }, 60_000);

  test('an answer is kept through a reload before the server has it', async () => {
    const { page } = await open('/a/halvern-tern/round?check=hub/web-rust', { viewport: DESK });
    await page.route('**/changes', (route) => route.abort());
    await page.getByRole('button', { name: /^3/ }).click();
    await page.waitForTimeout(200);
    await page.goto(`${server.url}/a/halvern-tern/c/hub`);
    await expect.poll(() => page.getByText('1 waiting').count()).toBe(1);
    await expect.poll(() => page.locator('.chip.wait[aria-label="grade 3"]').count()).toBe(1);
    await page.unroute('**/changes');
    await expect.poll(() => page.getByText('waiting').count(), { timeout: 15_000 }).toBe(0);
    expect(server.changes.at(-1)).toMatchObject({
      component: 'hub',
      observation: { check: 'web-rust', value: 3 },
    });
    await page.context().close();
  });

  test('one answer for a whole area asks first, and can be split later', async () => {
    const { page } = await open('/a/halvern-tern/round?check=upright/web-rust');
    const before = server.changes.length;
    await page.getByRole('button', { name: 'Whole area' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('What hides them?').fill('under sealer');
    await dialog.getByRole('button', { name: 'Not seen' }).click();
    await expect.poll(() => server.changes.slice(before).some((c) => c.type === 'add-cover')).toBe(true);
    const told = server.changes.slice(before);
    const observed = told.filter((change) => change.type === 'observe');
    expect(observed.length).toBeGreaterThan(5);
    expect(observed.every((change) => change.observation.none === 'not-seen')).toBe(true);
    const { cover } = told.find((change) => change.type === 'add-cover')!;
    expect(cover).toMatchObject({ id: 'under-sealer', name: 'under sealer' });
    expect(cover.hides?.length).toBe(observed.length);
    await page.context().close();
  });

  test('an override needs a reason and a name, and keeps what was typed', async () => {
    const { page } = await open('/a/halvern-tern/c/sill-left', { viewport: DESK });
    await page.getByRole('button', { name: 'Override with a reason' }).click();
    await page.getByRole('button', { name: 'Refinish', exact: true }).click();
    await page.getByRole('button', { name: 'Record it' }).click();
    expect(await page.getByText('A reason is wanted.').count()).toBe(1);
    expect(await page.getByText('pass over a knock-out').count()).toBe(1);
    await page.getByLabel('Why', { exact: true }).fill('Sound once cut back');
    await page.getByLabel('Your name').fill('R. Aldous');
    await page.getByRole('button', { name: 'Record it' }).click();
    await expect
      .poll(() => server.changes.at(-1))
      .toMatchObject({
        type: 'override',
        component: 'sill-left',
        override: { action: 'refinish', reason: 'Sound once cut back', by: 'R. Aldous' },
      });
    await page.context().close();
  });

  test('a form keeps what was typed when the server refuses it, and says what is wrong beside the field', async () => {
    const { page } = await open('/', { viewport: DESK });
    await page.getByRole('button', { name: /One front corner.*parts/ }).click();
    const name = page.getByLabel('What is it called?');
    await name.fill('taken');
    await page.getByLabel('Years you mean to keep it').fill('2,5');
    await page.getByRole('button', { name: 'Start, and go round the car' }).click();
    await expect.poll(() => page.getByRole('alert').textContent()).toContain('wanted another name');
    expect(await name.getAttribute('aria-invalid')).toBe('true');
    expect(await name.inputValue()).toBe('taken');
    expect(await page.getByLabel('Years you mean to keep it').inputValue()).toBe('2,5');
    await page.context().close();
  });

  test('an outline is drawn with the keyboard alone, and the mask follows', async () => {
    const { page } = await open('/a/halvern-tern/c/arm-left', { viewport: DESK });
    const picture = page.getByRole('application');
    await picture.focus();
    await page.getByRole('button', { name: 'Start again' }).waitFor({ state: 'detached' });
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Start again' }).click();
    await picture.focus();
    const steps: [string, number][] = [
      ['ArrowLeft', 6],
      ['ArrowUp', 4],
      ['ArrowRight', 12],
      ['ArrowDown', 8],
    ];
    for (const [key, times] of steps) {
      for (let n = 0; n < times; n++) await page.keyboard.press(`Shift+${key}`);
      await page.keyboard.press('Enter');
    }
    await expect.poll(() => page.getByText('4 corners').count()).toBe(1);
    await expect.poll(() => page.getByText('Quick measure').count()).toBe(1);
    const isStained = await page.locator('.maskc').evaluate((element) => {
      const canvas = element as HTMLCanvasElement;
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      return data.some((value, i) => i % 4 === 3 && value > 0);
    });
    expect(isStained).toBe(true);
    await page.context().close();
  });

  test('the pairing code leaves the address bar at once', async () => {
    const { page } = await open('/pair#7KQ4-M2XD');
    expect(new URL(page.url()).hash).toBe('');
    expect(await page.getByLabel('Pairing code').inputValue()).toBe('7KQ4-M2XD');
    await page.context().close();
  });

  test('the keyboard reaches every row of the bench, and opens it', async () => {
    const { page } = await open('/a/halvern-tern', { viewport: DESK });
    const first = page.locator('.item').first();
    await first.focus();
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('data-id'))).toBe('disc-left');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/c/disc-left');
    await page.context().close();
  });

  test('in forced colours the marks, bars and pressed keys are still there; with reduced motion nothing moves', async () => {
    const { page } = await open('/a/halvern-tern/round?check=arm-left/web-rust', {
      forcedColors: 'active',
      reducedMotion: 'reduce',
    });
    const key = page.getByRole('button', { name: /^2/ });
    await key.click();
    expect(await key.evaluate((element) => getComputedStyle(element).outlineStyle)).toBe('solid');
    await page.goto(`${server.url}/a/halvern-tern`);
    const bar = page.locator('[data-id="arm-left"] .strip');
    await bar.waitFor();
    const drawn = await bar.evaluate((element) => getComputedStyle(element, '::before').backgroundColor);
    expect(drawn).not.toBe(await bar.evaluate((element) => getComputedStyle(element).backgroundColor));
    const moving = await page.evaluate(
      () => [...document.querySelectorAll('*')].filter((e) => getComputedStyle(e).transitionDuration !== '0s').length,
    );
    expect(moving).toBe(0);
    await page.screenshot({ path: fileURLToPath(new URL('bench-phone-forced.png', SCREENS)) });
    await page.context().close();
  });

  test('print leaves out the controls', async () => {
    const { page } = await open('/a/halvern-tern', { viewport: DESK });
    await page.locator('.item').first().waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.whatif').isVisible()).toBe(false);
    expect(await page.locator('.menu').isVisible()).toBe(false);
    expect(await page.locator('.item').first().isVisible()).toBe(true);
    await page.context().close();
  });
});
