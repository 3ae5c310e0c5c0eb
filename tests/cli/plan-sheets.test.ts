import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { StripOut } from '../../shared/index.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const car = join(root, 'demo-data/corner.yaml');

function plan(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [join(root, '.build/keepworthy.mjs'), 'plan', car, ...args],
    { encoding: 'utf8', maxBuffer: 1 << 28 },
  );
  return { status, stdout, stderr };
}

// Each run starts the whole program and plans the whole job.
describe('keepworthy plan --sheet', { timeout: 60_000 }, () => {
  test.each([
    ['strip', 'WHILE IT STANDS ON ITS WHEELS'],
    ['shopping', 'MOTOR FACTOR'],
    ['tickets', 'REFUSE AT THE COUNTER'],
    ['refit', 'BEFORE IT IS DRIVEN'],
  ])('%s prints one sheet within 80 columns', (sheet, words) => {
    const { status, stdout, stderr } = plan('--sheet', sheet);
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toContain(words);
    expect(Math.max(...stdout.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    expect(stdout).not.toContain('\u001b');
  });

  test('with --json prints that sheet alone, in its contract', () => {
    const strip = StripOut.parse(JSON.parse(plan('--sheet', 'strip', '--json').stdout));
    expect(strip.steps[0]?.where).toBe('on-wheels');
  });

  test('an unknown sheet is wrong usage', () => {
    const { status, stderr } = plan('--sheet', 'soup');
    expect(status).toBe(2);
    expect(stderr).toContain('wanted one of strip, shopping, tickets, refit');
  });
});
