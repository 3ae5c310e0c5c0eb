/** One activity of a network: days it takes, and what must be finished before it starts. */
export interface Task {
  id: string;
  days: number;
  after: readonly string[];
}

/** When an activity runs, days from now, and by how much it can slip without making the job longer. */
export interface Timed {
  id: string;
  start: number;
  finish: number;
  slack: number;
  critical: boolean;
}

const SAME = 1e-9;

/** A network put in an order in which each activity comes after all that it waits for. */
export interface Network {
  ids: readonly string[];
  after: readonly (readonly number[])[];
}

/**
 * Orders a network for `timesOf`.
 *
 * @throws RangeError when an activity waits for one that is not there, when two share an id, or when the network has a circle;
 * the message gives the path (`activities.3.after`), what was wanted and what was found
 */
export function networkOf(tasks: readonly Pick<Task, 'id' | 'after'>[]): Network {
  const place = new Map<string, number>();
  tasks.forEach(({ id }, i) => {
    if (place.has(id))
      throw new RangeError(`Cannot plan at activities.${i}.id: wanted an id of its own, found ${id} twice`);
    place.set(id, i);
  });
  const order: number[] = [];
  const state = tasks.map(() => 0);
  const path: string[] = [];
  const visit = (i: number): void => {
    if (state[i] === 2) return;
    const { id, after } = tasks[i]!;
    if (state[i] === 1) {
      const circle = [...path.slice(path.indexOf(id)), id].join(' after ');
      throw new RangeError(`Cannot plan at activities.${i}.after: wanted no circle, found ${circle}`);
    }
    state[i] = 1;
    path.push(id);
    for (const before of after) {
      const next = place.get(before);
      if (next === undefined)
        throw new RangeError(`Cannot plan at activities.${i}.after: wanted the id of an activity, found ${before}`);
      visit(next);
    }
    path.pop();
    state[i] = 2;
    order.push(i);
  };
  for (let i = 0; i < tasks.length; i++) visit(i);
  const placed = new Map(order.map((i, k) => [tasks[i]!.id, k] as const));
  return {
    ids: order.map((i) => tasks[i]!.id),
    after: order.map((i) => tasks[i]!.after.map((id) => placed.get(id)!)),
  };
}

/**
 * Earliest times, slack and critical path of a network.
 *
 * @param days one figure an activity, in the order of `network.ids`, 0 or more
 * @returns one entry an activity in that order, and the days of the whole
 */
export function timesOf(network: Network, days: ArrayLike<number>): { times: Timed[]; length: number } {
  const n = network.ids.length;
  const start = new Float64Array(n);
  const finish = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let from = 0;
    for (const before of network.after[i]!) from = Math.max(from, finish[before]!);
    start[i] = from;
    finish[i] = from + days[i]!;
  }
  let length = 0;
  for (let i = 0; i < n; i++) length = Math.max(length, finish[i]!);
  const latest = new Float64Array(n).fill(length);
  for (let i = n - 1; i >= 0; i--) {
    for (const before of network.after[i]!) latest[before] = Math.min(latest[before]!, latest[i]! - days[i]!);
  }
  const times = network.ids.map((id, i) => {
    const slack = Math.max(0, latest[i]! - finish[i]!);
    return { id, start: start[i]!, finish: finish[i]!, slack, critical: slack <= SAME && days[i]! > 0 };
  });
  return { times, length };
}

/**
 * Days of the whole and which activities are on the critical path, for many draws one after the other: writes into `critical`
 * instead of making anything new.
 */
export function lengthOf(network: Network, days: Float64Array, room: Float64Array, critical: Uint8Array): number {
  const n = days.length;
  let length = 0;
  // The first half of the room holds finishing times, the second the latest ones.
  for (let i = 0; i < n; i++) {
    let from = 0;
    const before = network.after[i]!;
    for (let k = 0; k < before.length; k++) if (room[before[k]!]! > from) from = room[before[k]!]!;
    room[i] = from + days[i]!;
    if (room[i]! > length) length = room[i]!;
    room[n + i] = Number.POSITIVE_INFINITY;
  }
  for (let i = n - 1; i >= 0; i--) {
    if (room[n + i]! > length) room[n + i] = length;
    const start = room[n + i]! - days[i]!;
    const before = network.after[i]!;
    for (let k = 0; k < before.length; k++) if (start < room[n + before[k]!]!) room[n + before[k]!] = start;
    critical[i] = days[i]! > 0 && room[n + i]! - room[i]! <= SAME ? 1 : 0;
  }
  return length;
}

/** Plans a few activities at once: `networkOf` and `timesOf` together. @throws RangeError as `networkOf` */
export function schedule(tasks: readonly Task[]): { times: Timed[]; length: number } {
  tasks.forEach(({ days, id }, i) => {
    if (!(days >= 0 && days <= 1e6))
      throw new RangeError(`Cannot plan at activities.${i}.days: wanted 0 or more days for ${id}, found ${days}`);
  });
  const network = networkOf(tasks);
  const daysOf = new Map(tasks.map((task) => [task.id, task.days] as const));
  return timesOf(
    network,
    network.ids.map((id) => daysOf.get(id)!),
  );
}
