import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DESK, findChromium, openBrowser } from './browser.ts';
import { type FixtureServer, startFixtureServer } from './fixture-server.ts';
import { PAGES } from './page-list.ts';
import { smallTargets } from './targets.ts';

const PHONES = [
  { width: 320, height: 640 },
  { width: 360, height: 740 },
  { width: 390, height: 844 },
];
const ROUND = '/a/halvern-tern/round';
/** Sides of a target: gloves and dirty fingers round the car; a finger elsewhere. */
const [GLOVE, FINGER] = [56, 44];

const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: the size of targets is not tried');

describe.skipIf(!hasBrowser)('what a finger has to hit', () => {
  let server: FixtureServer;
  let browser: Browser;
  beforeAll(async () => {
    server = await startFixtureServer();
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.close();
  });

  async function open(path: string, options: BrowserContextOptions): Promise<Page> {
    const page = await (await browser.newContext({ serviceWorkers: 'block', ...options })).newPage();
    // The invented verdicts come from the server.
    await page.route('**/{judge,plan}-worker*', (route) => route.abort());
    await goTo(page, path);
    return page;
  }

  async function goTo(page: Page, path: string): Promise<void> {
    await page.goto(server.url + path);
    await page.locator('h1').first().waitFor({ state: 'attached' });
    await page.waitForTimeout(150);
  }

  /** Every state in which the round can stand: how to get there. */
  const STATES: readonly (readonly [name: string, check: string, reach: (page: Page) => Promise<unknown>])[] = [
    ['a grade', 'arm-left/web-rust', (page) => page.locator('.key').first().waitFor()],
    ['a grade given', 'arm-left/front-toe', (page) => page.getByRole('button', { name: /^3/ }).click()],
    [
      'pictures to match',
      'arm-left/web-rust',
      async (page) => {
        const match = page.getByRole('button', { name: 'Match' });
        if (await match.isVisible()) await match.click();
      },
    ],
    ['a figure', 'sill-left/web-wall', (page) => page.getByLabel('Measured, mm').waitFor()],
    ['a figure that cannot be', 'sill-left/web-wall', (page) => page.getByLabel('Measured, mm').fill('1I8')],
    ['one of two', 'sill-left/rear-crack', (page) => page.locator('.keys.choice .key').nth(1).waitFor()],
    ['the other hand', 'sill-left/rear-toe', (page) => page.locator('.hnd').click()],
    ['minutes there', 'sill-left/rear-toe', (page) => page.getByRole('combobox').first().selectOption('30')],
    [
      'the whole area',
      'upright/web-rust',
      async (page) => {
        await page.getByRole('button', { name: 'Whole area' }).click();
        await page.getByRole('dialog').waitFor();
      },
    ],
    [
      'each piece by itself',
      'bolts/web-rust',
      async (page) => {
        await page.locator('.splitb').click();
        await page.locator('.split').waitFor();
      },
    ],
    [
      'a photo just taken',
      'arm-left/web-rust',
      async (page) => {
        const picture = Buffer.from(
          await (await fetch(`${server.url}/api/assessments/x/photos/p1/file`)).arrayBuffer(),
        );
        await page
          .locator('input[type=file]')
          .setInputFiles({ name: 'a.jpg', mimeType: 'image/jpeg', buffer: picture });
        await expect.poll(() => page.locator('.photosay').textContent()).not.toBe('');
      },
    ],
  ];

  for (const viewport of [...PHONES, DESK]) {
    test(`round the car everything is ${GLOVE} px or more at ${viewport.width} px`, async () => {
      const page = await open('/', { viewport, hasTouch: viewport !== DESK });
      for (const [name, check, reach] of STATES) {
        await goTo(page, `${ROUND}?check=${check}`);
        await page.locator('.ask').waitFor();
        await reach(page);
        expect(await smallTargets(page, { least: GLOVE }), name).toEqual([]);
        const { inner, wide } = await page.evaluate(() => ({
          inner: innerWidth,
          wide: document.documentElement.scrollWidth,
        }));
        expect(wide, `${name}: width`).toBeLessThanOrEqual(inner);
      }
      await page.context().close();
    }, 60_000);
  }

  test(`at the end of the round everything is ${GLOVE} px or more`, async () => {
    for (const viewport of [...PHONES, DESK]) {
      const page = await open('/', { viewport });
      await page.route('**/api/assessments/halvern-tern', async (route) => {
        await route.fulfill({ json: { ...server.assessment, components: [] } });
      });
      await goTo(page, ROUND);
      await page.getByRole('heading', { name: 'Nothing left to look at' }).last().waitFor();
      expect(await smallTargets(page, { least: GLOVE }), `${viewport.width} px`).toEqual([]);
      await page.context().close();
    }
  }, 60_000);

  /** What opens on a page only when asked for. */
  const OPENED: Partial<Record<(typeof PAGES)[number][0], (page: Page) => Promise<unknown>>> = {
    assessments: (page) => page.getByRole('button', { name: /One front corner.*parts/ }).click(),
    bench: async (page) => {
      await page.getByRole('button', { name: 'Add a part' }).click();
      const whatIf = page.getByRole('button', { name: 'What if' });
      if (await whatIf.isVisible()) await whatIf.click();
    },
    component: (page) => page.getByRole('button', { name: 'Override with a reason' }).click(),
    share: (page) => page.getByRole('button', { name: 'New link' }).click(),
  };

  for (const viewport of [...PHONES, { width: 768, height: 1024 }]) {
    test(`on every other page everything is ${FINGER} px or more for a finger at ${viewport.width} px`, async () => {
      const page = await open('/', { viewport, hasTouch: true });
      const small: string[] = [];
      for (const [name, path] of PAGES) {
        await goTo(page, path);
        await OPENED[name]?.(page);
        await page.locator('details').evaluateAll((all) => {
          for (const details of all) (details as HTMLDetailsElement).open = true;
        });
        small.push(...(await smallTargets(page, { least: FINGER, inTextFree: true })).map((one) => `${name}: ${one}`));
      }
      expect(small).toEqual([]);
      await page.context().close();
    }, 60_000);
  }
});
