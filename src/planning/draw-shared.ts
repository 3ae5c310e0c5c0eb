import type { ThreePoint } from '../../shared/index.ts';
import { type PreparedJob, plus } from '../engine/index.ts';
import { paidCharges, priced, processOf, sharedCharge } from './circumstances.ts';
import type { Dice } from './dice.ts';
import { type DrawnParts, type Needed, neededOf } from './draw-parts.ts';
import { at, figureOf } from './figure.ts';
import { ordersOf } from './shared-costs.ts';
import type { Line } from './simulate.ts';

/** Draws what several parts share, each once in the draws that need it: batches, trips, charges, hardware, looks. */
export function drawShared(
  drawn: DrawnParts,
  job: PreparedJob,
  dice: Dice,
  lookHours: number,
): { lines: Line[]; away: Map<string, Float64Array> } {
  const lines: Line[] = [];
  const add = (id: string, what: Line['what'], users: ReadonlySet<string>): Line => {
    const line = {
      id,
      what,
      unit: null,
      components: [...users],
      money: new Float64Array(dice.draws),
      hours: new Float64Array(dice.draws),
    };
    lines.push(line);
    return line;
  };
  const away = drawBatches(drawn, job, dice, add);
  drawCharges(drawn, job, dice, add);
  if (job.alwaysNew.length > 0) {
    const line = add('always-new', 'hardware', new Set());
    const own = dice.normal('hardware', dice.rooms[0]);
    const figure = figureOf(
      plus(...job.alwaysNew.map(({ out: { money } }): ThreePoint => [money.low, money.usual, money.high])),
    );
    for (let d = 0; d < dice.draws; d++) line.money[d] = dice.moneyFactor[d]! * at(figure, own[d]!);
  }
  if (lookHours > 0) {
    const line = add('looks', 'charge', new Set());
    for (let d = 0; d < dice.draws; d++) {
      line.hours[d] = dice.hoursFactor[d]! * lookHours;
      drawn.work.decide[d]! += line.hours[d]!;
    }
  }
  return { lines, away };
}

type Add = (id: string, what: Line['what'], users: ReadonlySet<string>) => Line;

/** Bills of the batches that go in each draw, and one trip a shop. */
function drawBatches(drawn: DrawnParts, job: PreparedJob, dice: Dice, add: Add): Map<string, Float64Array> {
  const { draws, moneyFactor, hoursFactor, jobScores, together, apart } = dice;
  const going = new Set(job.assessment.batchesGoing ?? []);
  const away = new Map<string, Float64Array>();
  const trips = new Map<string, Needed>();
  for (const id of [...drawn.batches.keys()].sort()) {
    const batch = drawn.batches.get(id)!;
    const process = processOf(job, id.split('.')[0]!);
    const shop = dice.shopOf(process.id);
    const line = add(id, 'batch', batch.users);
    const goes = going.has(process.id);
    const minimum = figureOf(priced(job, process.minimum));
    const setUp = figureOf(priced(job, process.setUpPerColour));
    const lead = figureOf(process.leadDays);
    const days = new Float64Array(draws);
    away.set(id, days);
    const trip = neededOf(trips, process.id, draws);
    for (const user of batch.users) trip.users.add(user);
    for (let d = 0; d < draws; d++) {
      if (batch.reached[d] === 0) continue;
      trip.reached[d] = 1;
      const z = shop[d]!;
      days[d] = at(lead, z);
      const bill = goes ? batch.work[d]! : Math.max(at(minimum, z), batch.work[d]!) + at(setUp, z);
      line.money[d] = moneyFactor[d]! * bill;
    }
  }
  for (const [process, { reached, users }] of trips) {
    if (going.has(process)) continue;
    const line = add(`trip.${process}`, 'batch', users);
    const handling = figureOf(processOf(job, process).handlingHours);
    const own = dice.normal(`trip|${process}`, dice.rooms[0]);
    for (let d = 0; d < draws; d++) {
      if (reached[d] === 0) continue;
      line.hours[d] = hoursFactor[d]! * at(handling, together * jobScores[d]! + apart * own[d]!);
      drawn.work.decide[d]! += line.hours[d]!;
    }
  }
  return away;
}

/** Charges that are not paid already; half of their hours fall to stripping, half to fitting. */
function drawCharges(drawn: DrawnParts, job: PreparedJob, dice: Dice, add: Add): void {
  const { draws, moneyFactor, hoursFactor, jobScores, together, apart } = dice;
  const paid = paidCharges(job);
  if (job.alwaysNew.length > 0)
    for (const id of ordersOf('new', job)) neededOf(drawn.charges, id, draws).reached.fill(1);
  for (const id of [...drawn.charges.keys()].sort()) {
    const charge = sharedCharge(job.rubric, id.split('@')[0]!);
    if (paid.has(charge.id)) continue;
    const { reached, users } = drawn.charges.get(id)!;
    const line = add(id, 'charge', users);
    const own = dice.normal(`charge|${id}`, dice.rooms[0]);
    const hours = figureOf(charge.hours);
    const money = figureOf(priced(job, charge.money));
    for (let d = 0; d < draws; d++) {
      if (reached[d] === 0) continue;
      const z = together * jobScores[d]! + apart * own[d]!;
      line.hours[d] = hoursFactor[d]! * at(hours, z);
      line.money[d] = moneyFactor[d]! * at(money, z);
      drawn.work.strip[d]! += line.hours[d]! / 2;
      drawn.work.fit[d]! += line.hours[d]! / 2;
    }
  }
}
