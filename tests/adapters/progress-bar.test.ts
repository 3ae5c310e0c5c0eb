import { expect, test } from 'vitest';
import { progressBar } from '../../src/adapters/progress-bar.ts';

/** What a terminal shows after some writes: a line is begun afresh by carriage return and erase. */
function screen(written: readonly string[]): string[] {
  return written
    .join('')
    .split('\n')
    .map((line) => line.split('\r\u001b[K').at(-1)!);
}

test('progressBar() keeps lines apart from the bar and says how long the rest takes', () => {
  const written: string[] = [];
  let now = 0;
  const bar = progressBar(
    (text) => written.push(text),
    () => now,
  );
  bar.line('before');
  bar.step(1, 6);
  bar.line('broken.jpg: Cannot read');
  now = 10_000;
  bar.step(2, 6);
  // By hand: two in 10 s leave four for 20 s.
  expect(screen(written)).toEqual([
    'before',
    'broken.jpg: Cannot read',
    `[${'#'.repeat(10)}${' '.repeat(20)}] 2 of 6, about 20 s left`,
  ]);
  bar.step(6, 6);
  bar.line('after');
  expect(screen(written).slice(2)).toEqual([`[${'#'.repeat(30)}] 6 of 6`, 'after', '']);
});

test('progressBar() begins anew for a second folder', () => {
  const written: string[] = [];
  let now = 0;
  const bar = progressBar(
    (text) => written.push(text),
    () => now,
  );
  bar.step(1, 1);
  now = 60_000;
  bar.step(1, 2);
  expect(screen(written).at(-1)).toBe(`[${'#'.repeat(15)}${' '.repeat(15)}] 1 of 2`);
});
