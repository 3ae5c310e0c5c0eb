import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build as esbuild } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openKeeping } from '../../src/adapters/store/index.ts';
import { HERE, smallAssessment } from '../adapters/store/small-assessment.ts';
import { EMPTY_DATABASE } from './test-app.ts';

const folder = mkdtempSync(join(tmpdir(), 'keepworthy-phones-'));
const program = fileURLToPath(new URL(`../../.build/test-serve-${process.pid}.mjs`, import.meta.url));
beforeAll(async () => {
  await esbuild({
    entryPoints: [fileURLToPath(new URL('../../src/cli/main.ts', import.meta.url))],
    outfile: program,
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'error',
  });
  const keeping = await openKeeping(folder, { emptyDatabase: EMPTY_DATABASE });
  await keeping.store.create({
    assessment: smallAssessment(),
    rubricVersion: null,
    demo: null,
    photos: [],
    author: HERE,
  });
  await keeping.close();
}, 120_000);
afterAll(() => {
  rmSync(program, { force: true });
  rmSync(folder, { recursive: true, force: true });
});

const PHONES = 200;

describe('two hundred phones at once', () => {
  it('killed amid their writes, the server has every acknowledged answer after the restart', async () => {
    const port = await freePort();
    const child = spawn(process.execPath, [program, 'serve', '--port', String(port), '--data', folder], {
      stdio: 'ignore',
    });
    const gone = new Promise((resolve) => child.once('exit', resolve));
    try {
      await until(() => fetch(`http://localhost:${port}/api/me`).then((answer) => answer.ok));
      const acknowledged: string[] = [];
      let isOver = false;
      const phone = async (number: number) => {
        for (let n = 0; !isOver; n++) {
          const id = `phone-${number}-${n}`;
          const observation = { check: 'face-rust', value: n % 6, date: '2026-11-25', grader: `phone ${number}` };
          const body = JSON.stringify({ changes: [{ id, type: 'observe', component: 'arm-left', observation }] });
          const headers = { 'Content-Type': 'application/json' };
          const answer = await fetch(`http://localhost:${port}/api/assessments/front-end/changes`, {
            method: 'POST',
            headers,
            body,
          });
          const { results } = (await answer.json()) as { results: { outcome: string }[] };
          if (results[0]!.outcome === 'kept') acknowledged.push(id);
        }
      };
      const phones = Array.from({ length: PHONES }, (_, number) => phone(number).catch(() => undefined));
      await until(async () => acknowledged.length >= 3 * PHONES);
      child.kill('SIGKILL');
      isOver = true;
      await Promise.all([...phones, gone]);
      const keeping = await openKeeping(folder);
      try {
        const kept = new Set(
          (await keeping.store.read('front-end'))!.assessment.components[0]!.observations!.map((o) => o.id),
        );
        expect(acknowledged.filter((id) => !kept.has(id))).toEqual([]);
      } finally {
        await keeping.close();
      }
    } finally {
      child.kill('SIGKILL');
    }
  }, 180_000);
});

async function until(isDone: () => Promise<boolean>): Promise<void> {
  for (const end = Date.now() + 90_000; ; ) {
    if (await isDone().catch(() => false)) return;
    if (Date.now() > end) throw new Error('Not done within 90 seconds');
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer();
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => resolve(typeof address === 'object' && address ? address.port : 0));
    });
  });
}
