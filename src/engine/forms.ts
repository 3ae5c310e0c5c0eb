import { ACTIONS } from '../../shared/index.ts';
import { once } from './once.ts';
import type { Bill, Option, Priced } from './options.ts';

/**
 * The costs of a case's options as linear forms in the sliders, laid out flat so that adding them up again is quick.
 *
 * There are `2 x count + holds` lines: first what each option costs when nothing bars it, then what each replacement costs
 * once the part is off, then what each refinishing has cost at each of its hold points. A line has three coefficients:
 * money, hours, and the part of the money that is the price of a supply. What the owner would pay to keep the original
 * counts as money of every replacement.
 */
export interface Forms {
  count: number;
  /** Index into `ACTIONS` of each option. */
  action: Uint8Array;
  /** Best finish each option reaches, -1 when it is refused. */
  reach: Int8Array;
  money: readonly number[];
  hours: readonly number[];
  supply: readonly number[];
  /** Line of the first hold point of each option; one more entry than there are options. */
  firstHold: Int32Array;
  /** Effect bits known at each hold point. */
  holdBits: Int32Array;
  /** How often one item stands in each line. */
  linesWith(item: string): readonly number[];
}

/** Lays out the costs of options, with the batch shared by others or not. */
export function formsOf(options: readonly Option[], isShared: (option: Option) => boolean): Forms {
  const priced = options.map((option) => (isShared(option) ? option.shared : option.alone));
  const count = options.length;
  const firstHold = Int32Array.from([...priced, null], () => 0);
  let line = 2 * count;
  priced.forEach(({ holds }, i) => {
    firstHold[i] = line;
    line += holds.length;
  });
  firstHold[count] = line;
  const bills = billsOf(priced);
  const kept = (k: number) => (options[k]?.action === 'replace' ? options[k].keepOriginal : 0);
  const known = new Map<string, number[]>();
  return {
    count,
    action: Uint8Array.from(options, ({ action }) => ACTIONS.indexOf(action)),
    reach: Int8Array.from(options, ({ refused, reaches }) => (refused.length > 0 ? -1 : reaches)),
    money: bills.map((own, k) => sumOf(own, 'money') + (k < 2 * count ? kept(k % count) : 0)),
    hours: bills.map((own) => sumOf(own, 'hours')),
    supply: bills.map((own) => sumOf(own, 'supply')),
    firstHold,
    holdBits: Int32Array.from(priced.flatMap(({ holds }) => holds.map((hold) => hold.knownBits))),
    linesWith: (item) => {
      let times = known.get(item);
      if (!times) {
        times = bills.map((own) =>
          own.reduce((sum, bill) => sum + bill.items.filter(({ id }) => id === item).length, 0),
        );
        known.set(item, times);
      }
      return times;
    },
  };
}

/** Bills that each line adds up. */
function billsOf(priced: readonly Priced[]): Bill[][] {
  return [
    ...priced.map(({ holds, rest }) => [...holds.map((hold) => hold.bill), rest]),
    ...priced.map(({ afterRemoval }) => [afterRemoval]),
    ...priced.flatMap(({ holds }) => holds.map((_, k) => holds.slice(0, k + 1).map((hold) => hold.bill))),
  ];
}

function sumOf(bills: readonly Bill[], what: 'money' | 'hours' | 'supply'): number {
  return bills.reduce((sum, bill) => sum + bill[what], 0);
}

/** The three ways in which a case is priced, each laid out when it is first asked for. */
export function allForms(
  options: readonly Option[],
  isShared: (option: Option) => boolean,
): { now: () => Forms; alone: () => Forms; shared: () => Forms } {
  const alone = once(() => formsOf(options, () => false));
  const goes = options.some(isShared);
  return {
    now: goes ? once(() => formsOf(options, isShared)) : alone,
    alone,
    shared: once(() => formsOf(options, () => true)),
  };
}
