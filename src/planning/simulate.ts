import type { Range, ThreePoint } from '../../shared/index.ts';
import { type PreparedJob, plus, thresholds, valueAt } from '../engine/index.ts';
import { normalQuantile } from '../standards/index.ts';
import { priced, processOf, sharedCharge } from './circumstances.ts';
import { type ChosenJob, ordersOf } from './decide-job.ts';
import { at, type Figure, figureOf } from './figure.ts';
import { type Outcomes, outcomesOf } from './outcomes.ts';
import { scoresOf, timesHappened, uniformsOf } from './scores.ts';

/** One line of the budget over all draws. */
export interface Line {
  id: string;
  what: 'part' | 'batch' | 'charge' | 'hardware';
  /** Index of the unit, for a part. */
  unit: number | null;
  money: Float64Array;
  hours: Float64Array;
  /** Components it belongs to. */
  components: string[];
}

/** Something that moves many lines at once: a score a draw. */
export interface Cause {
  id: string;
  name: string;
  text: string;
  values: Float64Array;
}

/** Everything that the joint draws give; arrays have one entry a draw. */
export interface Simulation {
  draws: number;
  lines: Line[];
  money: Float64Array;
  hours: Float64Array;
  causes: Cause[];
  outcomes: Outcomes[];
  /** Own hours of each stretch of the job, whoever does the work. */
  work: { strip: Float64Array; before: Float64Array; decide: Float64Array; after: Float64Array; fit: Float64Array };
  /** Days at each shop, 0 where nothing goes there in this draw; by batch. */
  away: Map<string, Float64Array>;
  /** Days on order, from the start and once it is known that they are needed; by sort of supply. */
  orderedNow: Map<string, Float64Array>;
  orderedLater: Map<string, Float64Array>;
  /** Names of the random streams, normal and uniform. */
  streams: { normal: string[]; uniform: string[] };
}

/** What the draws need beside the job: the estimator's optimism as it stands, and what looking again takes. */
export interface SimulationInput {
  optimism: { hours: Range; money: Range };
  lookHours: number;
}

/**
 * Draws the whole job: rustiness, hours, prices, one level a shop, the estimator's optimism, events, and hold points that
 * fail, all together, with each shared charge priced again in each draw.
 *
 * Hours of different parts rise and fall together by the rubric's correlation; taking off goes with the car's rustiness.
 */
export function simulate(chosen: ChosenJob, job: PreparedJob, input: SimulationInput): Simulation {
  const { seed, rubric, assessment } = job;
  const draws = chosen.units[0]?.prepared.drawn.draws ?? rubric.settings.draws.value;
  const streams: Simulation['streams'] = { normal: [], uniform: [] };
  const normal = (name: string, into?: Float64Array): Float64Array => {
    streams.normal.push(`plan|${name}`);
    return scoresOf(seed, `plan|${name}`, draws, into);
  };
  const uniform = (name: string, into?: Float64Array): Float64Array => {
    streams.uniform.push(name);
    return uniformsOf(seed, name, draws, into);
  };
  // Scores of one unit are read before those of the next are drawn.
  const rooms = [0, 1, 2].map(() => new Float64Array(draws)) as [Float64Array, Float64Array, Float64Array];
  const zero = () => new Float64Array(draws);

  const together = Math.sqrt(rubric.settings.correlation.value);
  const apart = Math.sqrt(1 - rubric.settings.correlation.value);
  const jobScores = normal('job');
  const optimismHours = normal('optimism|hours');
  const optimismMoney = normal('optimism|money');
  const hoursFactor = factors(input.optimism.hours, optimismHours);
  const moneyFactor = factors(input.optimism.money, optimismMoney);
  const byShop = assessment.rates.labour === 'shop';
  const labour = byShop ? normal('labour') : zero();
  const rate = labourRates(job, labour, byShop);

  // The same draws of the car's rustiness as the verdicts have: the stream of that name.
  const steps = uniform('rustiness');
  const limits = thresholds(job.rustiness);
  const rust = Uint8Array.from(steps, (u) => valueAt(u * 4294967296, limits));
  const rustScores = scoresOfSteps(rubric.settings.rustiness.prior);

  const lines: Line[] = [];
  const work = { strip: zero(), before: zero(), decide: zero(), after: zero(), fit: zero() };
  const away = new Map<string, Float64Array>();
  const orderedNow = new Map<string, Float64Array>();
  const orderedLater = new Map<string, Float64Array>();
  const events = zero();
  const unseen = zero();
  const shopScores = new Map<string, Float64Array>();
  const shopOf = (process: string): Float64Array => {
    let scores = shopScores.get(process);
    if (!scores) {
      scores = normal(`shop|${process}`);
      shopScores.set(process, scores);
    }
    return scores;
  };
  const addLine = (line: Omit<Line, 'money' | 'hours'>): Line => {
    const made = { ...line, money: zero(), hours: zero() };
    lines.push(made);
    return made;
  };

  const batches = new Map<string, { work: Float64Array; reached: Uint8Array; users: Set<string> }>();
  const due = new Map<string, { reached: Uint8Array; users: Set<string> }>();
  const dueOf = (id: string) => {
    let entry = due.get(id);
    if (!entry) {
      entry = { reached: new Uint8Array(draws), users: new Set() };
      due.set(id, entry);
    }
    return entry;
  };

  const outcomes = chosen.units.map((_, u) => outcomesOf(chosen, u, job));
  const pairs = pairedUnits(chosen, job);
  chosen.units.forEach((unit, u) => {
    const { list, ofEffect } = outcomes[u]!;
    const { effectOf } = unit.prepared.drawn;
    const id = unit.part.component.id;
    const line = addLine({ id: unit.key, what: 'part', unit: u, components: [id] });
    const which = new Uint8Array(draws);
    for (let d = 0; d < draws; d++) which[d] = ofEffect[effectOf[d]!]!;
    const reached = list.map(() => 0);
    for (let d = 0; d < draws; d++) reached[which[d]!]!++;
    const moves = list.some((o) => o.work.usual > 0 || o.removal.usual > 0 || o.consumables.usual > 0);
    const own = moves ? normal(`${unit.key}|hours`, rooms[0]) : null;
    const price = list.some((o) => o.price.usual > 0) ? normal(`${unit.key}|price`, rooms[1]) : null;
    const meanCost = list.map(() => 0);
    if (own) {
      const shares = list.map((o) => sharesOf(o.before.usual, o.after.usual, o.refit.usual));
      const scores = mixed(jobScores, own, together, apart);
      list.forEach((o, k) => {
        if (reached[k] === 0) return;
        const [before, after, fit] = shares[k] as [number, number, number];
        const all = reached[k] === draws;
        if (o.removal.usual > 0) {
          for (let d = 0; d < draws; d++) {
            if (!all && which[d] !== k) continue;
            const removal = hoursFactor[d]! * at(o.removal, together * rustScores[rust[d]!]! + apart * own[d]!);
            line.hours[d]! += removal;
            work.strip[d]! += removal;
          }
        }
        if (o.work.usual > 0) {
          for (let d = 0; d < draws; d++) {
            if (!all && which[d] !== k) continue;
            const rest = hoursFactor[d]! * at(o.work, scores[d]!);
            line.hours[d]! += rest;
            work.before[d]! += rest * before;
            work.after[d]! += rest * after;
            work.fit[d]! += rest * fit;
          }
        }
        if (o.consumables.usual > 0) {
          for (let d = 0; d < draws; d++)
            if (all || which[d] === k) line.money[d]! += moneyFactor[d]! * at(o.consumables, scores[d]!);
        }
      });
    }
    if (price) {
      list.forEach(({ price: figure }, k) => {
        if (reached[k] === 0 || figure.usual === 0) return;
        for (let d = 0; d < draws; d++) if (which[d] === k) line.money[d]! += moneyFactor[d]! * at(figure, price[d]!);
      });
    }
    drawEvents(
      unit.key,
      list,
      which,
      reached,
      rust,
      hoursFactor,
      moneyFactor,
      (name) => uniform(name, rooms[2]),
      (d, hours, money) => {
        line.hours[d]! += hours;
        line.money[d]! += money;
        work.fit[d]! += hours;
        // The cause is the mishap itself; what optimism makes of its hours is another.
        events[d]! += money / moneyFactor[d]! + (hours / hoursFactor[d]!) * job.sliders.hourRate;
      },
    );
    if (list.length > 1)
      for (let d = 0; d < draws; d++) meanCost[which[d]!]! += line.money[d]! + line.hours[d]! * job.sliders.hourRate;
    if (list.length > 1) for (let d = 0; d < draws; d++) unseen[d]! += meanCost[which[d]!]! / reached[which[d]!]!;

    list.forEach((o, k) => {
      if (reached[k] === 0) return;
      for (const visit of o.visits) {
        let batch = batches.get(visit.batch);
        if (!batch) {
          batch = { work: zero(), reached: new Uint8Array(draws), users: new Set() };
          batches.set(visit.batch, batch);
        }
        batch.users.add(id);
        const figure = figureOf(visit.work);
        const shop = shopOf(visit.process);
        for (let d = 0; d < draws; d++) {
          if (which[d] !== k) continue;
          batch.reached[d] = 1;
          batch.work[d]! += at(figure, shop[d]!);
        }
      }
      const charges = o.touched ? unit.charges : [];
      const orders = o.order === null ? [] : ordersOf(o.order, job);
      for (const charge of [...charges, ...orders]) {
        const entry = dueOf(charge);
        entry.users.add(id);
        for (let d = 0; d < draws; d++) if (which[d] === k) entry.reached[d] = 1;
      }
      if (o.order !== null) {
        const lead = o.ordersLater ? orderedLater : orderedNow;
        let days = lead.get(o.order);
        if (!days) {
          days = zero();
          lead.set(o.order, days);
        }
        const supplier = shopOf(`lead-${o.order}`);
        for (let d = 0; d < draws; d++) if (which[d] === k) days[d] = Math.max(days[d]!, at(o.leadDays, supplier[d]!));
      }
    });
  });
  // What pairs with a part that turned out to be replaced is replaced too.
  for (const { members } of pairs) drawPairs(members, chosen, outcomes, lines, moneyFactor, draws, normal);

  const going = new Set(assessment.batchesGoing ?? []);
  const trips = new Map<string, { reached: Uint8Array; users: Set<string> }>();
  for (const id of [...batches.keys()].sort()) {
    const batch = batches.get(id)!;
    const process = processOf(job, id.split('.')[0]!);
    const shop = shopOf(process.id);
    const line = addLine({ id, what: 'batch', unit: null, components: [...batch.users] });
    const goes = going.has(process.id);
    const minimum = figureOf(priced(job, process.minimum));
    const setUp = figureOf(priced(job, process.setUpPerColour));
    const lead = figureOf(process.leadDays);
    const days = zero();
    away.set(id, days);
    let trip = trips.get(process.id);
    if (!trip) {
      trip = { reached: new Uint8Array(draws), users: new Set() };
      trips.set(process.id, trip);
    }
    for (const user of batch.users) trip.users.add(user);
    for (let d = 0; d < draws; d++) {
      if (batch.reached[d] === 0) continue;
      trip.reached[d] = 1;
      days[d] = at(lead, shop[d]!);
      const z = shop[d]!;
      const bill = goes ? batch.work[d]! : Math.max(at(minimum, z), batch.work[d]!) + at(setUp, z);
      line.money[d] = moneyFactor[d]! * bill;
    }
  }
  for (const [process, { reached, users }] of trips) {
    if (going.has(process)) continue;
    const line = addLine({ id: `trip.${process}`, what: 'batch', unit: null, components: [...users] });
    const handling = figureOf(processOf(job, process).handlingHours);
    const own = normal(`trip|${process}`, rooms[0]);
    for (let d = 0; d < draws; d++) {
      if (reached[d] === 0) continue;
      line.hours[d] = hoursFactor[d]! * at(handling, together * jobScores[d]! + apart * own[d]!);
      work.decide[d]! += line.hours[d]!;
    }
  }

  const paid = new Set(assessment.chargesPaid ?? []);
  if (job.alwaysNew.length > 0) for (const id of ordersOf('new', job)) dueOf(id).reached.fill(1);
  for (const id of [...due.keys()].sort()) {
    const charge = sharedCharge(rubric, id.split('@')[0]!);
    if (paid.has(charge.id)) continue;
    const { reached, users } = due.get(id)!;
    const line = addLine({ id, what: 'charge', unit: null, components: [...users] });
    const own = normal(`charge|${id}`, rooms[0]);
    const hours = figureOf(charge.hours);
    const money = figureOf(priced(job, charge.money));
    for (let d = 0; d < draws; d++) {
      if (reached[d] === 0) continue;
      const z = together * jobScores[d]! + apart * own[d]!;
      line.hours[d] = hoursFactor[d]! * at(hours, z);
      line.money[d] = moneyFactor[d]! * at(money, z);
      work.strip[d]! += line.hours[d]! / 2;
      work.fit[d]! += line.hours[d]! / 2;
    }
  }
  if (job.alwaysNew.length > 0) {
    const line = addLine({ id: 'always-new', what: 'hardware', unit: null, components: [] });
    const own = normal('hardware', rooms[0]);
    const points = job.alwaysNew.map(({ out }): ThreePoint => [out.money.low, out.money.usual, out.money.high]);
    const figure = figureOf(plus(...points));
    for (let d = 0; d < draws; d++) line.money[d] = moneyFactor[d]! * at(figure, own[d]!);
  }
  if (input.lookHours > 0) {
    const line = addLine({ id: 'looks', what: 'charge', unit: null, components: [] });
    for (let d = 0; d < draws; d++) {
      line.hours[d] = hoursFactor[d]! * input.lookHours;
      work.decide[d]! += line.hours[d]!;
    }
  }

  const money = zero();
  const hours = zero();
  for (const line of lines) {
    if (byShop) {
      for (let d = 0; d < draws; d++) {
        line.money[d]! += line.hours[d]! * rate[d]!;
        line.hours[d] = 0;
      }
    }
    for (let d = 0; d < draws; d++) {
      money[d]! += line.money[d]!;
      hours[d]! += line.hours[d]!;
    }
  }
  const rustValues = Float64Array.from(rust);
  const causes: Cause[] = [
    {
      id: 'optimism',
      name: "The estimator's own optimism",
      text: 'Narrows with each entry of what was really spent',
      values: optimismHours,
    },
    {
      id: 'optimism-money',
      name: 'Small things nobody listed',
      text: 'Narrows with each entry of what was really paid',
      values: optimismMoney,
    },
    { id: 'job', name: 'How well the work goes', text: 'Common to all hours of one job', values: jobScores },
    { id: 'unseen', name: 'What has not been seen yet', text: 'Narrows with the next looks', values: unseen },
    { id: 'rustiness', name: 'How rusty the car is', text: 'Narrows with every graded answer', values: rustValues },
    {
      id: 'events',
      name: 'Mishaps: shears, seized bushes, lost pieces, misfits',
      text: 'Soak early, count pieces out and in',
      values: events,
    },
    ...[...shopScores]
      .filter(([id]) => !id.startsWith('lead-'))
      .map(([id, values]) => {
        const { name } = processOf(job, id);
        return { id: `shop.${id}`, name: `Prices at: ${name}`, text: 'Ask for a quotation', values };
      }),
    ...(byShop ? [{ id: 'labour', name: 'Labour rate', text: 'Ask for a quotation', values: labour }] : []),
  ];
  return { draws, lines, money, hours, causes, outcomes, work, away, orderedNow, orderedLater, streams };
}

function factors({ low, usual, high }: Range, scores: Float64Array): Float64Array {
  const figure = figureOf([low, usual, high]);
  return scores.map((z) => at(figure, z));
}

function labourRates(job: PreparedJob, scores: Float64Array, byShop: boolean): Float64Array {
  if (!byShop) return scores;
  const { shop } = job.assessment.rates;
  const figure = figureOf(shop ?? priced(job, job.rubric.prices.shopRate.value));
  return scores.map((z) => at(figure, z));
}

/** Standard score of each step of rustiness among all cars: the middle of its share. */
function scoresOfSteps(prior: readonly number[]): number[] {
  const total = prior.reduce((a, b) => a + b, 0);
  let below = 0;
  return prior.map((p) => {
    const middle = (below + p / 2) / total;
    below += p;
    return p > 0 ? normalQuantile(middle) : 0;
  });
}

/** Scores that are partly common, partly a part's own; into one room, since each is read before the next is made. */
function mixed(common: Float64Array, own: Float64Array, together: number, apart: number): Float64Array {
  if (room.length !== own.length) room = new Float64Array(own.length);
  for (let d = 0; d < own.length; d++) room[d] = together * common[d]! + apart * own[d]!;
  return room;
}

let room = new Float64Array(0);

function sharesOf(...parts: number[]): number[] {
  const sum = parts.reduce((a, b) => a + b, 0);
  return sum === 0 ? parts.map(() => 0) : parts.map((part) => part / sum);
}

function drawEvents(
  key: string,
  list: Outcomes['list'],
  which: Uint8Array,
  reached: readonly number[],
  rust: Uint8Array,
  hoursFactor: Float64Array,
  moneyFactor: Float64Array,
  uniform: (name: string) => Float64Array,
  happened: (draw: number, hours: number, money: number) => void,
): void {
  const ids = new Set(list.flatMap((o, k) => (reached[k]! > 0 ? o.events.map((event) => event.id) : [])));
  for (const id of ids) {
    const byOutcome = list.map((o) => o.events.find((event) => event.id === id));
    const ready = byOutcome.map((event) =>
      event ? { hours: figureOf(event.hours), money: figureOf(event.money) } : null,
    );
    const u = uniform(`plan|${key}|event|${id}`);
    for (let d = 0; d < which.length; d++) {
      const k = which[d]!;
      const event = byOutcome[k];
      if (!event) continue;
      const probability = event.probability[event.probability.length === 1 ? 0 : rust[d]!]!;
      // Most draws have none: the chance of none is asked first.
      const times =
        event.trials === 1 ? Number(u[d]! > 1 - probability) : timesHappened(u[d]!, event.trials, probability);
      if (times === 0) continue;
      const { hours, money }: { hours: Figure; money: Figure } = ready[k]!;
      happened(d, times * hoursFactor[d]! * hours.usual, times * moneyFactor[d]! * money.usual);
    }
  }
}

/** Pairs and sets, by units. */
function pairedUnits(chosen: ChosenJob, job: PreparedJob): { members: number[] }[] {
  return job.together.flatMap(({ parts }) => {
    const members = chosen.units.flatMap((unit, u) => (parts.some((p) => job.parts[p] === unit.part) ? [u] : []));
    return members.length > 1 ? [{ members }] : [];
  });
}

/** Buys for the members of a pair that would be kept in the draws in which another one is replaced after all. */
function drawPairs(
  members: readonly number[],
  chosen: ChosenJob,
  outcomes: readonly Outcomes[],
  lines: readonly Line[],
  moneyFactor: Float64Array,
  draws: number,
  normal: (name: string) => Float64Array,
): void {
  const replacedIn = (u: number, d: number): boolean => {
    const { list, ofEffect } = outcomes[u]!;
    return list[ofEffect[chosen.units[u]!.prepared.drawn.effectOf[d]!]!]!.replaced;
  };
  const split = new Uint8Array(draws);
  for (let d = 0; d < draws; d++) {
    const some = members.some((u) => replacedIn(u, d));
    if (some && !members.every((u) => replacedIn(u, d))) split[d] = 1;
  }
  if (!split.includes(1)) return;
  for (const u of members) {
    const unit = chosen.units[u]!;
    const bought = unit.ways
      .filter((way) => way.option.action === 'replace' && !way.isRefused && way.afterRemoval)
      .sort((a, b) => a.afterRemoval!.price[1] - b.afterRemoval!.price[1])[0];
    if (!bought?.afterRemoval) continue;
    const figure = figureOf(bought.afterRemoval.price);
    const scores = normal(`${unit.key}|pair`);
    const line = lines.find((other) => other.unit === u)!;
    for (let d = 0; d < draws; d++)
      if (split[d] === 1 && !replacedIn(u, d)) line.money[d]! += moneyFactor[d]! * at(figure, scores[d]!);
  }
}
