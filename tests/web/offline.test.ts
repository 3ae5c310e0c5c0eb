import { createHash, X509Certificate } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { takeOrMakeCertificate } from '../../src/adapters/serve/certificate.ts';
import { networkAddresses, networkNames } from '../../src/adapters/serve/network.ts';
import { openKeeping } from '../../src/adapters/store/index.ts';
import { findChromium, openBrowser, PHONE } from './browser.ts';
import { type RealServer, startRealServer } from './real-server.ts';

const hasBrowser = findChromium() !== null;
if (!hasBrowser) console.warn('No Chromium on PATH: reloading while offline is not tried');

const ROUND = '/a/heron-front/round';

describe.skipIf(!hasBrowser)('a reload with the network down', () => {
  const data = mkdtempSync(join(tmpdir(), 'keepworthy-https-'));
  let port = 0;
  let browser: Browser;
  let phone: Page;
  let server: RealServer;
  const start = async () => {
    server = await startRealServer({ args: ['--share', '--tls'], data, port });
  };
  beforeAll(async () => {
    const { cert } = await takeOrMakeCertificate(
      join(data, 'certificate'),
      ['localhost', ...networkNames()],
      ['127.0.0.1', ...networkAddresses()],
    );
    port = await freePort();
    await start();
    browser = await openBrowser([`--ignore-certificate-errors-spki-list=${keyHashOf(cert)}`]);
    phone = await (await browser.newContext({ viewport: PHONE, hasTouch: true })).newPage();
  });
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
    rmSync(data, { recursive: true, force: true });
  });

  const badge = () => phone.locator('.badge.wait').first().textContent();
  const answers = async () => {
    const keeping = await openKeeping(data);
    const kept = await keeping.store.read('heron-front');
    await keeping.close();
    return kept!.assessment.components.flatMap(({ observations = [] }) => observations);
  };
  async function answerOne(): Promise<void> {
    const title = () => phone.locator('.ask h1').textContent();
    const before = `${await title()} ${await phone.locator('.bar b').textContent()}`;
    await phone.getByRole('button', { name: 'Not seen' }).tap();
    await phone.getByRole('button', { name: 'Next' }).tap();
    await expect.poll(async () => `${await title()} ${await phone.locator('.bar b').textContent()}`).not.toBe(before);
  }

  test('over https that it trusts, a paired phone keeps the page, and says so', async () => {
    const link = /https:\/\/\S+\/pair#\S+/.exec(server.said())![0];
    await phone.goto(link);
    await phone.getByLabel('What shall it be called?').fill('Phone under the car');
    await phone.getByRole('button', { name: 'Pair', exact: true }).tap();
    await phone.getByRole('heading', { name: 'Assessments', level: 1 }).waitFor();
    await phone.goto(new URL('/share', link).href);
    await phone.getByText('This is https: nobody in between can read what passes.').waitFor();
    await phone.getByText('This device keeps the page').waitFor();
    const cookies = await phone.context().cookies();
    expect(cookies.map(({ secure, httpOnly, sameSite }) => ({ secure, httpOnly, sameSite }))).toEqual([
      { secure: true, httpOnly: true, sameSite: 'Strict' },
    ]);
    await phone.goto(new URL(ROUND, link).href);
    await phone.locator('.ask h1').waitFor();
    await expect.poll(() => phone.evaluate(() => navigator.serviceWorker.controller !== null)).toBe(true);
  });

  test('with the server gone it reloads, goes on, reloads again, and what was answered arrives once', async () => {
    await server.stop();
    const before = await answers();
    await phone.reload();
    await phone.locator('.ask h1').waitFor();
    await answerOne();
    await answerOne();
    await expect.poll(badge).toBe('2 waiting');
    await phone.reload();
    await phone.locator('.ask h1').waitFor();
    await expect.poll(badge).toBe('2 waiting');
    // A page that was never opened on this phone is there too, with what waits already in it.
    await phone.getByRole('link', { name: 'Back to the bench' }).tap();
    await phone.locator('.item').first().waitFor();
    await start();
    await expect.poll(() => phone.locator('.badge.wait').count(), { timeout: 40_000 }).toBe(0);
    await server.stop();
    const added = (await answers()).filter(({ id }) => !before.some((old) => old.id === id));
    expect(added.map(({ none, grader }) => [none, grader])).toEqual([
      ['not-seen', 'Phone under the car'],
      ['not-seen', 'Phone under the car'],
    ]);
  }, 90_000);

  test('with a certificate that was only waved through the page says that a reload would not work', async () => {
    await start();
    const plain = await openBrowser();
    try {
      const page = await (await plain.newContext({ ignoreHTTPSErrors: true })).newPage();
      await page.goto(`${server.url}/share`);
      await page.getByText('This browser does not keep the page, most often').waitFor();
    } finally {
      await plain.close();
      await server.stop();
    }
  }, 60_000);

  test('over plain http the page says which of the two it is, and who can listen', async () => {
    server = await startRealServer({ args: ['--share'], data });
    const page = await (await browser.newContext({ viewport: PHONE })).newPage();
    await page.goto(/http:\/\/\S+\/pair#\S+/.exec(server.said())![0]);
    await page.getByLabel('What shall it be called?').fill('A phone');
    await page.getByRole('button', { name: 'Pair', exact: true }).click();
    await page.getByRole('heading', { name: 'Assessments', level: 1 }).waitFor();
    await page.getByRole('link', { name: 'Share on the local network' }).click();
    await page.getByText('This is plain http. Anyone on this network can read and copy what passes').waitFor();
    await page.getByText('This browser does not keep the page here').waitFor();
  }, 60_000);
});

/** SHA-256 of a certificate's key, base64: how Chromium is told to trust this one and no other. */
function keyHashOf(cert: string): string {
  const key = new X509Certificate(cert).publicKey.export({ type: 'spki', format: 'der' });
  return createHash('sha256').update(key).digest('base64');
}

async function freePort(): Promise<number> {
  const probe = createServer();
  await new Promise<void>((done) => probe.listen(0, () => done()));
  const { port } = probe.address() as { port: number };
  await new Promise<void>((done) => probe.close(() => done()));
  return port;
}
