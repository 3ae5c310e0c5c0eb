import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { Assessment } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { grown } from '../planning/grown.ts';
import { DESK, findChromium, openBrowser } from '../web/browser.ts';
import { demoPhotosIn, startRealServer } from '../web/real-server.ts';
import { atMost, type BenchLine, median } from './bench-line.ts';

const COMPONENTS = 500;
const INTERACTIVE_MS = 1000;
const FRAME_MS = 16;
const ODDS_MS = 200;
const MOVES = 24;

/**
 * Measures the bench page in a browser, over a real server: from a visit to rows and sliders that answer, the page's own
 * script for each move of a slider, and how long the odds take to follow.
 *
 * @param root folder of the repository
 */
export async function pageBench(root: string): Promise<BenchLine[]> {
  if (findChromium() === null) {
    process.stderr.write('No Chromium on PATH: the page is not measured\n');
    return [];
  }
  const text = readFileSync(join(root, 'demo-data/corner.yaml'), 'utf8');
  const demo = valueRead(parseDocumentText(text, 'corner.yaml')) as Assessment;
  const large = grown(demo, COMPONENTS);
  // Joints name each other across components; the bench does not show them.
  const components = large.components.map(({ joints: _joints, fastens: _fastens, ...rest }) => rest);
  const assessment = { ...large, components, id: 'large', name: 'Large' };
  const server = await startRealServer();
  const browser = await openBrowser();
  try {
    // Measuring the demos' photos behind the first start would take the processors.
    await demoPhotosIn(server.url);
    const made = await fetch(`${server.url}/api/import`, { method: 'POST', body: JSON.stringify(assessment) });
    if (!made.ok) throw new Error(`Cannot bring the large assessment in: ${(await made.text()).slice(0, 500)}`);
    const context = await browser.newContext({ viewport: DESK });
    const page = await context.newPage();
    const visits: number[] = [];
    for (let visit = 0; visit < 6; visit++) visits.push(await visitMs(page, `${server.url}/a/large`));
    // The first visit fetches the page itself; a bench is opened again and again.
    const [first, ...again] = visits as [number, ...number[]];
    const { script, whole, odds } = await slide(page);
    return [
      atMost(
        `bench of ${COMPONENTS} components, from the visit until rows and sliders answer, ms`,
        median(again),
        INTERACTIVE_MS,
        `first visit ${first.toFixed(0)} ms`,
      ),
      atMost(
        `script on the page's own thread for each move of a slider, ${COMPONENTS} components, ms`,
        median(script),
        FRAME_MS,
        `until the rows show it ${median(whole).toFixed(0)} ms`,
      ),
      atMost('odds after the last move of a slider, ms', median(odds), ODDS_MS),
    ];
  } finally {
    await browser.close();
    await server.stop();
  }
}

async function visitMs(page: Page, url: string): Promise<number> {
  await page.goto(url, { waitUntil: 'commit' });
  await page.locator('.item').first().waitFor();
  await page.locator('.whatif input[type=range]').first().waitFor();
  return page.evaluate(() => performance.now());
}

/** Moves the slider of one's own time step by step, as a finger does, and tells what each step took. */
async function slide(page: Page): Promise<{ script: number[]; whole: number[]; odds: number[] }> {
  const session = await page.context().newCDPSession(page);
  // The thread's own time: what other work on the machine takes is not the page's.
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  const scriptMs = async () => {
    const { metrics } = await session.send('Performance.getMetrics');
    return 1000 * metrics.find(({ name }) => name === 'ScriptDuration')!.value;
  };
  // The rows are made ready beside the page's thread once; only then are moves comparable.
  await page.waitForTimeout(3000);
  const script: number[] = [];
  const whole: number[] = [];
  const odds: number[] = [];
  for (let move = 0; move < MOVES + 4; move++) {
    const before = await scriptMs();
    const value = String(4 + ((move * 7) % 30));
    const started = await page.evaluate((to) => {
      const input = document.querySelectorAll<HTMLInputElement>('.whatif input[type=range]')[1]!;
      Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!.call(input, to);
      const now = performance.now();
      input.dispatchEvent(new Event('input', { bubbles: true }));
      return now;
    }, value);
    // What is shown now belongs to this very setting when the page says so.
    const shown = async (what: string) => {
      const handle = await page.waitForFunction(
        ([name, to]) => (document.querySelector('.whatif')!.getAttribute(name!) === to ? performance.now() : undefined),
        [what, value],
      );
      return ((await handle.jsonValue()) as number) - started;
    };
    const rows = await shown('data-added');
    const after = await scriptMs();
    const weighed = await shown('data-weighed');
    if (move < 4) continue;
    script.push(after - before);
    whole.push(rows);
    odds.push(weighed);
  }
  return { script, whole, odds };
}
