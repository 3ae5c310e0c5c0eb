import type { Range } from '../../shared/index.ts';
import { type PreparedJob, TWO_TO_32, thresholds, valueAt } from '../engine/index.ts';
import { normalQuantile } from '../standards/index.ts';
import { priced } from './circumstances.ts';
import { at, figureOf } from './figure.ts';
import { scoresOf, uniformsOf } from './scores.ts';

/** What moves every line of a job in each draw, and the named streams from which the rest is drawn. */
export interface Dice {
  draws: number;
  /** Normal scores of a stream; written into a room that is read before the next is drawn, where one is given. */
  normal: (name: string, into?: Float64Array) => Float64Array;
  uniform: (name: string, into?: Float64Array) => Float64Array;
  rooms: readonly [Float64Array, Float64Array, Float64Array];
  streams: { normal: string[]; uniform: string[] };
  /** Weights of what is common to all hours and of what is a line's own: their squares add up to 1. */
  together: number;
  apart: number;
  jobScores: Float64Array;
  optimismHours: Float64Array;
  optimismMoney: Float64Array;
  hoursFactor: Float64Array;
  moneyFactor: Float64Array;
  /** Step of the car's rustiness, 0 to 4, in each draw, and the standard score of each step among all cars. */
  rust: Uint8Array;
  rustScores: readonly number[];
  /** Workshop's rate an hour in each draw and its scores, or null where the owner does the work. */
  labour: { rate: Float64Array; scores: Float64Array } | null;
  /** One level of prices (and of patience) a shop. */
  shopOf: (shop: string) => Float64Array;
  shops: ReadonlyMap<string, Float64Array>;
}

/** Draws what is common to a whole job. */
export function diceOf(job: PreparedJob, draws: number, optimism: { hours: Range; money: Range }): Dice {
  const { seed, rubric, assessment } = job;
  const streams: Dice['streams'] = { normal: [], uniform: [] };
  const normal: Dice['normal'] = (name, into) => {
    streams.normal.push(`plan|${name}`);
    return scoresOf(seed, `plan|${name}`, draws, into);
  };
  const uniform: Dice['uniform'] = (name, into) => {
    streams.uniform.push(name);
    return uniformsOf(seed, name, draws, into);
  };
  const optimismHours = normal('optimism|hours');
  const optimismMoney = normal('optimism|money');
  const shops = new Map<string, Float64Array>();
  // The same draws of the car's rustiness as the verdicts have: the stream of that name.
  const limits = thresholds(job.rustiness);
  const rust = Uint8Array.from(uniform('rustiness'), (u) => valueAt(u * TWO_TO_32, limits));
  return {
    draws,
    normal,
    uniform,
    rooms: [new Float64Array(draws), new Float64Array(draws), new Float64Array(draws)],
    streams,
    together: Math.sqrt(rubric.settings.correlation.value),
    apart: Math.sqrt(1 - rubric.settings.correlation.value),
    jobScores: normal('job'),
    optimismHours,
    optimismMoney,
    hoursFactor: factors(optimism.hours, optimismHours),
    moneyFactor: factors(optimism.money, optimismMoney),
    rust,
    rustScores: scoresOfSteps(rubric.settings.rustiness.prior),
    labour: assessment.rates.labour === 'shop' ? labourOf(job, normal('labour')) : null,
    shops,
    shopOf: (shop) => {
      let scores = shops.get(shop);
      if (!scores) {
        scores = normal(`shop|${shop}`);
        shops.set(shop, scores);
      }
      return scores;
    },
  };
}

function factors({ low, usual, high }: Range, scores: Float64Array): Float64Array {
  const figure = figureOf([low, usual, high]);
  return scores.map((z) => at(figure, z));
}

function labourOf(job: PreparedJob, scores: Float64Array): Dice['labour'] {
  const figure = figureOf(job.assessment.rates.shop ?? priced(job, job.rubric.prices.shopRate.value));
  return { rate: scores.map((z) => at(figure, z)), scores };
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
