import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import type { Assessment } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { grown } from '../planning/grown.ts';
import { DESK, findChromium, openBrowser } from '../web/browser.ts';
import { demoPhotosIn, startRealServer } from '../web/real-server.ts';
import { atMost, type BenchLine, median } from './bench-line.ts';

const COMPONENTS = 500;
const ID = 'large';
const INTERACTIVE_MS = 1000;
const FRAME_MS = 16;
const ODDS_MS = 200;
const MOVES = 24;

/**
 * Measures the bench page in a browser, over a real server: from a visit to rows and sliders that answer, by what the server
 * has ready; the page's own script for each move of a slider, and how long the odds take to follow.
 *
 * @param root folder of the repository
 */
export async function pageBench(root: string): Promise<BenchLine[]> {
  if (findChromium() === null) {
    process.stderr.write('No Chromium on PATH: the page is not measured\n');
    return [];
  }
  const assessment = largeAssessment(root);
  const data = mkdtempSync(join(tmpdir(), 'keepworthy-bench-'));
  const browser = await openBrowser();
  let server = await startRealServer({ data });
  try {
    // Measuring the demos' photos behind the first start would take the processors.
    await demoPhotosIn(server.url);
    await bringIn(server.url, assessment);
    const broughtIn = await firstVisit(browser, server.url);
    await judged(server.url);
    const ahead = await least(3, () => firstVisit(browser, server.url));
    const changed = await least(3, async () => {
      await changeElsewhere(server.url);
      return firstVisit(browser, server.url);
    });
    const restart = async (isKept: boolean) => {
      await judged(server.url);
      await server.stop();
      if (!isKept) rmSync(join(data, 'cache'), { recursive: true });
      server = await startRealServer({ data });
      return firstVisit(browser, server.url);
    };
    const kept = await least(2, () => restart(true));
    const nothing = await least(2, () => restart(false));
    await judged(server.url);
    const page = await newPage(browser);
    const visits: Visit[] = [];
    for (let visit = 0; visit < 6; visit++) visits.push(await visitOf(page, server.url));
    const { script, whole, odds } = await slide(page);
    const of = `bench of ${COMPONENTS} components`;
    return [
      visitLine(`${of}, visited again`, middle(visits.slice(1))),
      visitLine(`${of}, first visit, judged ahead`, ahead),
      visitLine(`${of}, first visit right after a change elsewhere`, changed),
      visitLine(`${of}, first visit right after a restart`, kept),
      visitLine(`${of}, first visit right after it was brought in`, broughtIn),
      visitLine(`${of}, first visit right after a start with nothing judged`, nothing),
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
    rmSync(data, { recursive: true, force: true });
  }
}

/** What a visit takes from its start, ms. */
interface Visit {
  /** Rows and sliders are there. */
  rows: number;
  /** The last row of the list is in the document. */
  all: number;
  /** The verdicts are those of the newest version: nothing is being updated. */
  newest: number;
}

function visitLine(name: string, { rows, all, newest }: Visit): BenchLine {
  const beside = `all rows ${all.toFixed(0)} ms, newest verdicts ${newest.toFixed(0)} ms`;
  return atMost(`${name}, from the visit until rows and sliders answer, ms`, rows, INTERACTIVE_MS, beside);
}

/** The visit of the middle time. */
function middle(visits: readonly Visit[]): Visit {
  return [...visits].sort((a, b) => a.rows - b.rows)[Math.floor(visits.length / 2)]!;
}

/** The quickest of so many visits: whatever else the machine does only ever adds to a time. */
async function least(turns: number, visit: () => Promise<Visit>): Promise<Visit> {
  const visits: Visit[] = [];
  for (let turn = 0; turn < turns; turn++) visits.push(await visit());
  return visits.sort((a, b) => a.rows - b.rows)[0]!;
}

function largeAssessment(root: string): Assessment {
  const text = readFileSync(join(root, 'demo-data/corner.yaml'), 'utf8');
  const demo = valueRead(parseDocumentText(text, 'corner.yaml')) as Assessment;
  const large = grown(demo, COMPONENTS);
  // Joints name each other across components; the bench does not show them.
  const components = large.components.map(({ joints: _joints, fastens: _fastens, ...rest }) => rest);
  return { ...large, components, id: ID, name: 'Large' };
}

async function bringIn(url: string, assessment: Assessment): Promise<void> {
  const made = await fetch(`${url}/api/import`, { method: 'POST', body: JSON.stringify(assessment) });
  if (!made.ok) throw new Error(`Cannot bring the large assessment in: ${(await made.text()).slice(0, 500)}`);
}

/** Waits until the server has judged the newest version. */
async function judged(url: string): Promise<void> {
  const answer = await fetch(`${url}/api/assessments/${ID}/score`);
  if (!answer.ok) throw new Error(`Cannot judge the large assessment: ${(await answer.text()).slice(0, 500)}`);
  await answer.arrayBuffer();
}

let changes = 0;

/** One more answer, as another device gives it. */
async function changeElsewhere(url: string): Promise<void> {
  await judged(url);
  const value = changes++ % 2 === 0 ? 4 : 2;
  const observation = { check: 'face-rust', value, stage: 'fitted', grader: 'Teale', date: '2026-11-25' };
  const change = { id: `elsewhere-${changes}`, type: 'observe', component: 'arm-right-0', observation };
  const sent = await fetch(`${url}/api/assessments/${ID}/changes`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ changes: [change] }),
  });
  if (!sent.ok) throw new Error(`Cannot change the large assessment: ${(await sent.text()).slice(0, 500)}`);
}

async function newPage(browser: Browser): Promise<Page> {
  const page = await (await browser.newContext({ viewport: DESK })).newPage();
  await page.addInitScript(() => {
    const seen: Partial<Visit> = {};
    Object.assign(window, { seen });
    const see = (what: keyof Visit, is: boolean) => {
      if (is) seen[what] ??= performance.now();
    };
    const watch = new MutationObserver(() => {
      const rows = document.querySelectorAll('.bench .item').length;
      const sliders = document.querySelector('.whatif input[type=range]');
      const all = [...document.querySelectorAll('.bench .group .quiet')].map((count) =>
        Number.parseInt(count.textContent!, 10),
      );
      see('rows', rows > 0 && sliders !== null);
      see('all', rows > 0 && rows === all.reduce((sum, count) => sum + count, 0));
      see('newest', rows > 0 && !document.querySelector('.title p')!.textContent!.includes('updating'));
      // What is measured later is the page's own work alone.
      if (seen.rows && seen.all && seen.newest) watch.disconnect();
    });
    watch.observe(document, { childList: true, subtree: true, characterData: true });
  });
  return page;
}

/** A visit with nothing of the page at hand. */
async function firstVisit(browser: Browser, url: string): Promise<Visit> {
  const page = await newPage(browser);
  try {
    return await visitOf(page, url);
  } finally {
    await page.context().close();
  }
}

async function visitOf(page: Page, url: string): Promise<Visit> {
  await page.goto(`${url}/a/${ID}`, { waitUntil: 'commit' });
  const seen = await page.waitForFunction(() => {
    const { seen } = window as unknown as { seen?: Partial<Visit> };
    return seen?.rows && seen.all && seen.newest ? seen : null;
  });
  return (await seen.jsonValue()) as Visit;
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
