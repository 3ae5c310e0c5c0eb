import type { Dice } from './dice.ts';
import { figureOf } from './figure.ts';
import type { Outcome } from './outcomes.ts';
import { timesHappened } from './scores.ts';

/**
 * Draws the mishaps of one part: in each draw as many as the chances of its outcome there give, at their usual hours and money.
 *
 * @param happened told for each draw in which something happened: hours and money, before anybody's optimism
 */
export function drawEvents(
  key: string,
  list: readonly Outcome[],
  which: Uint8Array,
  reached: readonly number[],
  { rust, uniform, rooms }: Dice,
  happened: (draw: number, hours: number, money: number) => void,
): void {
  const ids = new Set(list.flatMap((o, k) => (reached[k]! > 0 ? o.events.map((event) => event.id) : [])));
  for (const id of ids) {
    const byOutcome = list.map((o) => {
      const event = o.events.find((one) => one.id === id);
      return event && { ...event, hours: figureOf(event.hours).usual, money: figureOf(event.money).usual };
    });
    const u = uniform(`plan|${key}|event|${id}`, rooms[2]);
    for (let d = 0; d < which.length; d++) {
      const event = byOutcome[which[d]!];
      if (!event) continue;
      const probability = event.probability[event.probability.length === 1 ? 0 : rust[d]!]!;
      // Most draws have none: the chance of none is asked first.
      const times =
        event.trials === 1 ? Number(u[d]! > 1 - probability) : timesHappened(u[d]!, event.trials, probability);
      if (times > 0) happened(d, times * event.hours, times * event.money);
    }
  }
}
