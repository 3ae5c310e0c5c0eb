import type { PreparedJob } from '../engine/index.ts';
import type { ChosenJob } from './decide-job.ts';
import type { Dice } from './dice.ts';
import { drawEvents } from './draw-events.ts';
import { drawPairs } from './draw-pairs.ts';
import { at, figureOf } from './figure.ts';
import { type Outcome, type Outcomes, outcomesOf } from './outcomes.ts';
import { ordersOf } from './shared-costs.ts';
import type { Line, Simulation } from './simulate.ts';

/** What several parts share, and in which draws it is needed. */
export interface Needed {
  reached: Uint8Array;
  users: Set<string>;
}

/** What the draws of the parts give. */
export interface DrawnParts {
  lines: Line[];
  outcomes: Outcomes[];
  work: Simulation['work'];
  /** Work at each batch's rates, money. */
  batches: Map<string, Needed & { work: Float64Array }>;
  charges: Map<string, Needed>;
  orderedNow: Map<string, Float64Array>;
  orderedLater: Map<string, Float64Array>;
  /** Cost of mishaps, and of what the open looks decide, in each draw. */
  events: Float64Array;
  unseen: Float64Array;
}

/** Draws every part: which outcome it has in each draw, and what that costs. */
export function drawParts(chosen: ChosenJob, job: PreparedJob, dice: Dice): DrawnParts {
  const { draws } = dice;
  const zero = () => new Float64Array(draws);
  const drawn: DrawnParts = {
    lines: [],
    outcomes: chosen.units.map((_, u) => outcomesOf(chosen, u, job)),
    work: { strip: zero(), before: zero(), decide: zero(), after: zero(), fit: zero() },
    batches: new Map(),
    charges: new Map(),
    orderedNow: new Map(),
    orderedLater: new Map(),
    events: zero(),
    unseen: zero(),
  };
  chosen.units.forEach((unit, u) => {
    const { list, ofEffect } = drawn.outcomes[u]!;
    const { effectOf } = unit.prepared.drawn;
    const line: Line = {
      id: unit.key,
      what: 'part',
      unit: u,
      components: [unit.part.component.id],
      money: zero(),
      hours: zero(),
    };
    drawn.lines.push(line);
    const which = new Uint8Array(draws);
    const reached = list.map(() => 0);
    for (let d = 0; d < draws; d++) {
      const k = ofEffect[effectOf[d]!]!;
      which[d] = k;
      reached[k]!++;
    }
    drawWork(line, list, which, reached, drawn, dice);
    drawEvents(unit.key, list, which, reached, dice, (d, hours, money) => {
      line.hours[d]! += hours * dice.hoursFactor[d]!;
      line.money[d]! += money * dice.moneyFactor[d]!;
      drawn.work.fit[d]! += hours * dice.hoursFactor[d]!;
      drawn.events[d]! += money + hours * job.sliders.hourRate;
    });
    if (list.length > 1) addUnseen(drawn.unseen, line, which, reached, job.sliders.hourRate);
    list.forEach((outcome, k) => {
      if (reached[k]! > 0) addNeeds(outcome, k, which, unit, drawn, job, dice);
    });
  });
  // What pairs with a part that turned out to be replaced is replaced too.
  drawPairs(chosen, job, drawn, dice);
  return drawn;
}

/** Own hours and money of a part, outcome by outcome. */
function drawWork(
  line: Line,
  list: readonly Outcome[],
  which: Uint8Array,
  reached: readonly number[],
  { work }: DrawnParts,
  dice: Dice,
): void {
  const { draws, together, apart, rust, rustScores, hoursFactor, moneyFactor, rooms } = dice;
  const moves = list.some((o) => o.work.usual > 0 || o.removal.usual > 0 || o.consumables.usual > 0);
  const own = moves ? dice.normal(`${line.id}|hours`, rooms[0]) : null;
  const price = list.some((o) => o.price.usual > 0) ? dice.normal(`${line.id}|price`, rooms[1]) : null;
  const scores = own ? mixed(dice.jobScores, own, together, apart, rooms[2]) : rooms[2];
  list.forEach((o, k) => {
    if (reached[k] === 0) return;
    const [before, after, fit] = sharesOf(o.before.usual, o.after.usual, o.refit.usual) as [number, number, number];
    const all = reached[k] === draws;
    if (own && o.removal.usual > 0) {
      for (let d = 0; d < draws; d++) {
        if (!all && which[d] !== k) continue;
        const removal = hoursFactor[d]! * at(o.removal, together * rustScores[rust[d]!]! + apart * own[d]!);
        line.hours[d]! += removal;
        work.strip[d]! += removal;
      }
    }
    if (own && o.work.usual > 0) {
      for (let d = 0; d < draws; d++) {
        if (!all && which[d] !== k) continue;
        const rest = hoursFactor[d]! * at(o.work, scores[d]!);
        line.hours[d]! += rest;
        work.before[d]! += rest * before;
        work.after[d]! += rest * after;
        work.fit[d]! += rest * fit;
      }
    }
    if (own && o.consumables.usual > 0) {
      for (let d = 0; d < draws; d++)
        if (all || which[d] === k) line.money[d]! += moneyFactor[d]! * at(o.consumables, scores[d]!);
    }
    if (price && o.price.usual > 0) {
      for (let d = 0; d < draws; d++)
        if (all || which[d] === k) line.money[d]! += moneyFactor[d]! * at(o.price, price[d]!);
    }
  });
}

/** Adds what the outcome alone makes of a part's cost: the mean of the draws that have it. */
function addUnseen(
  unseen: Float64Array,
  line: Line,
  which: Uint8Array,
  reached: readonly number[],
  hourRate: number,
): void {
  const sums = reached.map(() => 0);
  for (let d = 0; d < which.length; d++) sums[which[d]!]! += line.money[d]! + line.hours[d]! * hourRate;
  for (let d = 0; d < which.length; d++) unseen[d]! += sums[which[d]!]! / reached[which[d]!]!;
}

/** Notes which batches, charges and orders an outcome needs, in the draws that have it. */
function addNeeds(
  outcome: Outcome,
  k: number,
  which: Uint8Array,
  unit: ChosenJob['units'][number],
  drawn: DrawnParts,
  job: PreparedJob,
  dice: Dice,
): void {
  const { draws } = dice;
  const { id } = unit.part.component;
  for (const visit of outcome.visits) {
    let batch = drawn.batches.get(visit.batch);
    if (!batch) {
      batch = { work: new Float64Array(draws), reached: new Uint8Array(draws), users: new Set() };
      drawn.batches.set(visit.batch, batch);
    }
    batch.users.add(id);
    const figure = figureOf(visit.work);
    const shop = dice.shopOf(visit.process);
    for (let d = 0; d < draws; d++) {
      if (which[d] !== k) continue;
      batch.reached[d] = 1;
      batch.work[d]! += at(figure, shop[d]!);
    }
  }
  const orders = outcome.order === null ? [] : ordersOf(outcome.order, job);
  for (const charge of [...(outcome.touched ? unit.charges : []), ...orders]) {
    const needed = neededOf(drawn.charges, charge, draws);
    needed.users.add(id);
    for (let d = 0; d < draws; d++) if (which[d] === k) needed.reached[d] = 1;
  }
  if (outcome.order === null) return;
  const lead = outcome.ordersLater ? drawn.orderedLater : drawn.orderedNow;
  const days = lead.get(outcome.order) ?? new Float64Array(draws);
  lead.set(outcome.order, days);
  const supplier = dice.shopOf(`lead-${outcome.order}`);
  for (let d = 0; d < draws; d++) if (which[d] === k) days[d] = Math.max(days[d]!, at(outcome.leadDays, supplier[d]!));
}

/** The entry of what is needed, made when it is first asked for. */
export function neededOf(all: Map<string, Needed>, id: string, draws: number): Needed {
  const needed = all.get(id) ?? { reached: new Uint8Array(draws), users: new Set<string>() };
  all.set(id, needed);
  return needed;
}

/** Scores that are partly common, partly a part's own. */
function mixed(
  common: Float64Array,
  own: Float64Array,
  together: number,
  apart: number,
  into: Float64Array,
): Float64Array {
  for (let d = 0; d < own.length; d++) into[d] = together * common[d]! + apart * own[d]!;
  return into;
}

function sharesOf(...parts: number[]): number[] {
  const sum = parts.reduce((a, b) => a + b, 0);
  return sum === 0 ? parts.map(() => 0) : parts.map((part) => part / sum);
}
