import type { Range } from '../../shared/index.ts';
import type { PreparedJob } from '../engine/index.ts';
import { processOf } from './circumstances.ts';
import type { ChosenJob } from './decide-job.ts';
import { type Dice, diceOf } from './dice.ts';
import { type DrawnParts, drawParts } from './draw-parts.ts';
import { drawShared } from './draw-shared.ts';
import type { Outcomes } from './outcomes.ts';

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
  const draws = chosen.units[0]?.prepared.drawn.draws ?? job.rubric.settings.draws.value;
  const dice = diceOf(job, draws, input.optimism);
  const drawn = drawParts(chosen, job, dice);
  const shared = drawShared(drawn, job, dice, input.lookHours);
  const lines = [...drawn.lines, ...shared.lines];
  const money = new Float64Array(draws);
  const hours = new Float64Array(draws);
  for (const line of lines) {
    // A workshop's hours are money.
    if (dice.labour) {
      for (let d = 0; d < draws; d++) line.money[d]! += line.hours[d]! * dice.labour.rate[d]!;
      line.hours.fill(0);
    }
    for (let d = 0; d < draws; d++) {
      money[d]! += line.money[d]!;
      hours[d]! += line.hours[d]!;
    }
  }
  const { outcomes, work, orderedNow, orderedLater } = drawn;
  return {
    draws,
    lines,
    money,
    hours,
    causes: causesOf(drawn, dice, job),
    outcomes,
    work,
    away: shared.away,
    orderedNow,
    orderedLater,
    streams: dice.streams,
  };
}

function causesOf(drawn: DrawnParts, dice: Dice, job: PreparedJob): Cause[] {
  const cause = (id: string, name: string, text: string, values: Float64Array): Cause => ({ id, name, text, values });
  return [
    cause(
      'optimism',
      "The estimator's own optimism",
      'Narrows with each entry of what was really spent',
      dice.optimismHours,
    ),
    cause(
      'optimism-money',
      'Small things nobody listed',
      'Narrows with each entry of what was really paid',
      dice.optimismMoney,
    ),
    cause('job', 'How well the work goes', 'Common to all hours of one job', dice.jobScores),
    cause('unseen', 'What has not been seen yet', 'Narrows with the next looks', drawn.unseen),
    cause('rustiness', 'How rusty the car is', 'Narrows with every graded answer', Float64Array.from(dice.rust)),
    cause(
      'events',
      'Mishaps: shears, seized bushes, lost pieces, misfits',
      'Soak early, count pieces out and in',
      drawn.events,
    ),
    ...[...dice.shops]
      .filter(([id]) => !id.startsWith('lead-'))
      .map(([id, values]) =>
        cause(`shop.${id}`, `Prices at: ${processOf(job, id).name}`, 'Ask for a quotation', values),
      ),
    ...(dice.labour ? [cause('labour', 'Labour rate', 'Ask for a quotation', dice.labour.scores)] : []),
  ];
}
