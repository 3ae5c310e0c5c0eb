import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { StoredPhoto } from '../../shared/index.ts';
import { findChromium, openBrowser, PHONE } from './browser.ts';
import { demoPhotosIn, type RealServer, startRealServer } from './real-server.ts';

const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: a wall of photos is not tried');

const COUNT = 102;
const JOB = 'tern';

describe.skipIf(!hasBrowser)('a wall of over a hundred photos', () => {
  const folder = mkdtempSync(join(tmpdir(), 'keepworthy-wall-'));
  const files: string[] = [];
  let browser: Browser;
  let page: Page;
  let server: RealServer;
  const photos = async () =>
    (await (await fetch(`${server.url}/api/assessments/${JOB}/photos`)).json()) as StoredPhoto[];
  const shownPercents = async () =>
    (await page.locator('.wall .cap .num').allTextContents()).map((text) => Number(text.replace(/[^\d.]/g, '')));

  beforeAll(async () => {
    // Small pieces of the demos' renders, each another; three are black.
    const renders = ['lower-arm-heavy', 'brake-disc', 'coil-spring', 'sub-frame-end', 'hub'];
    for (let n = 0; n < COUNT; n++) {
      const file = join(folder, `piece-${n}.jpg`);
      const inset = 4 * Math.floor(n / renders.length);
      await sharp(`demo-data/photos/${renders[n % renders.length]}.jpg`)
        .resize(480, 360, { fit: 'fill' })
        .extract({ left: inset, top: inset, width: 480 - inset, height: 360 - inset })
        .linear(n % 40 === 20 ? 0.02 : 1, 0)
        .jpeg({ quality: 85 })
        .toFile(file);
      files.push(file);
    }
    for (const name of ['text.jpg', 'nothing.jpg']) {
      writeFileSync(join(folder, name), name === 'text.jpg' ? 'a shopping list' : '');
      files.push(join(folder, name));
    }
    server = await startRealServer();
    await demoPhotosIn(server.url);
    browser = await openBrowser();
    page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
    rmSync(folder, { recursive: true, force: true });
  });

  test('all come in with a bar, the bad ones by name with why, the wall worst first', async () => {
    await page.goto(`${server.url}/a/${JOB}/photos`);
    await page.locator('input[type=file]').setInputFiles(files);
    await expect.poll(() => page.locator('progress').count()).toBe(1);
    await expect.poll(async () => (await photos()).length, { timeout: 100_000, interval: 250 }).toBe(COUNT);
    await expect.poll(() => page.locator('progress').count()).toBe(0);
    await expect.poll(() => page.locator('.wall .ph').count()).toBe(COUNT);

    const refused = await page.locator('.refusedlist li').allTextContents();
    expect(refused.find((line) => line.includes('text.jpg'))).toContain('starts like none of them');
    expect(refused.find((line) => line.includes('nothing.jpg'))).toContain('0 bytes');

    const percents = await shownPercents();
    expect(percents).toEqual([...percents].sort((a, b) => b - a));
    expect(percents[0]).toBeGreaterThan(percents.at(-1)!);
    const declined = page.getByRole('region', { name: 'Declined' });
    expect(await declined.locator('.ph').count()).toBe(COUNT - percents.length);
    expect(await declined.locator('.todo', { hasText: 'Too dark' }).count()).toBe(3);
  }, 150_000);

  test('pictures out of sight are not fetched, and are once scrolled to', async () => {
    await page.reload();
    await expect.poll(() => page.locator('.wall .ph').count()).toBe(COUNT);
    const fetched = () =>
      page
        .locator('.wall img')
        .evaluateAll((all) => all.filter((img) => (img as HTMLImageElement).naturalWidth > 0).length);
    await expect.poll(fetched).toBeGreaterThan(0);
    expect(await fetched()).toBeLessThan(COUNT - 20);
    await page.locator('.wall img').last().scrollIntoViewIfNeeded();
    await expect
      .poll(() =>
        page
          .locator('.wall img')
          .last()
          .evaluate((img) => (img as HTMLImageElement).naturalWidth),
      )
      .toBeGreaterThan(0);
  });

  test('several are given to a part at once, far down on a phone too', async () => {
    await page.setViewportSize(PHONE);
    const choose = page.locator('.wall .nm');
    await choose.nth(60).click();
    await choose.nth(61).click();
    const bar = page.locator('.pbar');
    expect(await bar.textContent()).toContain('2 chosen');
    expect(await bar.evaluate((element) => element.getBoundingClientRect().bottom <= innerHeight)).toBe(true);
    await bar.getByRole('button', { name: 'Which part is it?' }).click();
    await page.locator('.assign .sug button').first().click();
    await page.locator('.assign .btn.main').click();
    await expect.poll(async () => (await photos()).filter((photo) => photo.component !== null).length).toBe(2);
    expect(await page.locator('.pbar').count()).toBe(0);
  });

  test('one is outlined by taps, given a length, corrected and measured again, and shows what the server keeps', async () => {
    const tapAt = async (across: number, down: number) => {
      const pic = page.locator('.opened .pic');
      const { width, height } = (await pic.boundingBox())!;
      await pic.click({ position: { x: across * width, y: down * height } });
    };
    const keep = page.locator('.opened .btn.main');
    const kept = async () => (await photos()).find(({ outline }) => outline !== null);
    await page.setViewportSize({ width: 1280, height: 900 });
    await page.locator('.wall .im').first().click();
    await page.locator('.opened .pic img').evaluate((img) => (img as HTMLImageElement).decode());
    for (const [across, down] of [
      [0.2, 0.2],
      [0.8, 0.2],
      [0.8, 0.8],
      [0.2, 0.8],
    ] as const)
      await tapAt(across, down);
    await page.getByRole('button', { name: 'Scale' }).click();
    await tapAt(0.2, 0.5);
    await tapAt(0.7, 0.5);
    await page.getByLabel('Length, mm').fill('150');
    await keep.click();
    await expect.poll(async () => (await kept())?.outline?.length).toBe(4);
    const first = (await kept())!;
    // Half the width lies between the two taps; corners land where they were put.
    expect(first.scale!.lengthMm).toBe(150);
    expect(first.scale!.lengthPx / first.width).toBeCloseTo(0.5, 1);
    expect(first.outline![0]![0] / first.width).toBeCloseTo(0.2, 1);
    expect(first.outline![2]![1] / first.height).toBeCloseTo(0.8, 1);
    // What was drawn is kept: nothing is left to keep, and the figure is the server's.
    await expect.poll(() => keep.count()).toBe(0);
    expect(await page.locator('.opened .meas').textContent()).toContain('nine in ten');

    await page.getByRole('button', { name: 'Not rust' }).click();
    await tapAt(0.5, 0.4);
    await keep.click();
    await expect.poll(async () => (await kept())?.measurement?.method).toBe('corrected');
    expect((await kept())!.scale).toEqual(first.scale);

    await page.getByLabel('Measured by').selectOption('colour');
    await page.getByRole('button', { name: 'Measure again' }).click();
    await expect.poll(() => keep.count()).toBe(0);
  }, 90_000);
});
