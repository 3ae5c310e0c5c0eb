import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lengthOf, networkOf, schedule, type Task } from '../../src/planning/network.ts';

const task = (id: string, days: number, after: string[] = []): Task => ({ id, days, after });

describe('schedule()', () => {
  // Worked by hand: A 3, B 4 after A, C 2 after A, D 5 after B and C. A B D is 12 days, C can slip by 2.
  it('finds the critical path and the slack of a small network', () => {
    const { times, length } = schedule([
      task('d', 5, ['b', 'c']),
      task('a', 3),
      task('b', 4, ['a']),
      task('c', 2, ['a']),
    ]);
    const of = (id: string) => times.find((time) => time.id === id)!;
    expect(length).toBe(12);
    expect(of('d')).toMatchObject({ start: 7, finish: 12, critical: true });
    expect(of('c')).toMatchObject({ start: 3, finish: 5, slack: 2, critical: false });
    expect(times.filter((time) => time.critical).map((time) => time.id)).toEqual(['a', 'b', 'd']);
  });

  it('refuses a circle, with its path, what was wanted and what was found', () => {
    const circle = [task('strip', 1), task('clean', 1, ['fit']), task('fit', 1, ['clean'])];
    expect(() => schedule(circle)).toThrow(/activities\.1\.after: wanted no circle, found clean after fit after clean/);
  });

  it('refuses an activity that waits for one that is not there, a repeated id, and days that cannot be', () => {
    expect(() => schedule([task('fit', 1, ['coat'])])).toThrow(
      /activities\.0\.after: wanted the id of an activity, found coat/,
    );
    expect(() => schedule([task('fit', 1), task('fit', 2)])).toThrow(/activities\.1\.id: wanted an id of its own/);
    expect(() => schedule([task('fit', -1)])).toThrow(/activities\.0\.days: wanted 0 or more days for fit, found -1/);
    expect(() => schedule([task('fit', Number.NaN)])).toThrow(/activities\.0\.days/);
  });

  const networks = fc
    .array(fc.tuple(fc.nat(20), fc.array(fc.nat(30), { maxLength: 4 })), { minLength: 1, maxLength: 20 })
    .map((drawn) =>
      drawn.map(([days, after], i) => task(`t${i}`, days, i === 0 ? [] : [...new Set(after.map((k) => `t${k % i}`))])),
    );

  it('is never shortened by a longer lead time', () => {
    fc.assert(
      fc.property(networks, fc.nat(19), fc.nat(10), (tasks, which, more) => {
        const longer = tasks.map((t, i) => (i === which % tasks.length ? { ...t, days: t.days + more } : t));
        expect(schedule(longer).length).toBeGreaterThanOrEqual(schedule(tasks).length);
      }),
      { seed: 7 },
    );
  });

  it('gives the same length and critical path as the lean form that the draws use', () => {
    fc.assert(
      fc.property(networks, (tasks) => {
        const network = networkOf(tasks);
        const days = Float64Array.from(network.ids, (id) => tasks.find((t) => t.id === id)!.days);
        const critical = new Uint8Array(days.length);
        const { times, length } = schedule(tasks);
        expect(lengthOf(network, days, new Float64Array(2 * days.length), critical)).toBe(length);
        expect([...critical].map(Boolean)).toEqual(times.map((time) => time.critical));
      }),
      { seed: 8 },
    );
  });
});
