import { type Assessment, InputError, type PlanOut, type Rubric } from '../../shared/index.ts';
import { judgeAll, type PreparedJob, prepare, scoreOf } from '../engine/index.ts';
import { actualsOut, checkActuals, entriesOf, optimismOf } from './actuals.ts';
import { batchesOf, sharedChargesOf } from './batches.ts';
import { daysOf } from './days.ts';
import { type ChosenJob, decideJob } from './decide-job.ts';
import { ifLeftOf } from './if-left.ts';
import { nextFiveOf } from './next-five.ts';
import { offerOf } from './offer.ts';
import { type Simulation, simulate } from './simulate.ts';
import { sheetsOf } from './strip.ts';
import { totalOut } from './totals.ts';
import { unitsOf } from './units.ts';
import { partsOf, verdictsOf } from './verdicts.ts';

/** How a plan is made again to the last byte. */
export interface PlanOptions {
  /** Whole number that names the draws. */
  seed: number;
  /** Joint draws; the rubric's number when left out. */
  draws?: number;
}

/** A plan with what it was made of, for the bench and the sheets. */
export interface PlanMade {
  plan: PlanOut;
  job: PreparedJob;
  chosen: ChosenJob;
  simulation: Simulation;
}

/**
 * The whole job in money and days: the options of all parts chosen together over what is paid once, one joint simulation
 * of the money and the hours, elapsed days, what happens if it is left, an offer, and what to do next.
 *
 * Pure: the same rubric, assessment, seed and draws give the same document. Both must have been checked before
 * (`checkRubric`, `checkAssessment`).
 *
 * @throws InputError when what was really spent names something that the estimate does not have
 * @throws RangeError when the currency has no rate or an id is unknown, which a checked input never has
 */
export function plan(rubric: Rubric, assessment: Assessment, options: PlanOptions): PlanOut {
  return planMade(rubric, assessment, options).plan;
}

/** `plan`, with the prepared job, the choice and the draws beside it. */
export function planMade(rubric: Rubric, assessment: Assessment, options: PlanOptions): PlanMade {
  const faults = checkActuals(assessment, rubric);
  if (faults.length > 0) throw new InputError(faults);
  const job = prepare(rubric, assessment, options);
  const judged = judgeAll(job);
  const score = scoreOf(job, undefined, judged);
  const chosen = decideJob(unitsOf(job, judged), job);
  const entries = entriesOf(job);
  const optimism = optimismOf(job, entries);
  const lookMinutes = [...score.nextLooks, ...score.looksLeft].reduce((sum, look) => sum + look.minutes, 0);
  const simulation = simulate(chosen, job, {
    optimism: { hours: optimism.hours.points, money: optimism.money.points },
    lookHours: lookMinutes / 60,
  });
  const total = totalOut(chosen, simulation, job);
  const batches = batchesOf(chosen, job);
  const days = daysOf(simulation, job);
  const { currency } = assessment;
  const parts = partsOf(chosen, job);
  const { perBase } = job.circumstances;
  const plan: PlanOut = {
    rubricVersion: rubric.version,
    seed: options.seed,
    assessment: {
      id: assessment.id,
      name: assessment.name,
      currency,
      wantedFinish: assessment.wantedFinish,
      date: assessment.date,
      purpose: assessment.purpose,
    },
    setAside: {
      money: total.money.p80,
      hours: total.hours.p80,
      text: `Set aside ${Math.round(total.money.p80)} ${currency} and ${Math.round(total.hours.p80)} hours: four jobs in five come in at or under each`,
    },
    total,
    batches,
    sharedCharges: sharedChargesOf(chosen, job),
    verdicts: verdictsOf(chosen, simulation, job),
    parts,
    days,
    ifLeft: ifLeftOf(chosen, simulation, score, job),
    offer: offerOf(chosen, simulation, score, job),
    actuals: actualsOut(job, entries, optimism, total),
    nextFive: nextFiveOf({ chosen, score, batches, days, job }),
    notes: notesOf(job, total.estimateClass.id, days.hoursAssumed),
    ...sheetsOf({ rubric, assessment, score, parts, batches, perBase }),
  };
  return { plan, job, chosen, simulation };
}

function notesOf(job: PreparedJob, estimateClass: string, hoursAssumed: boolean): string[] {
  const notes = [
    'Money is what is still to be paid out; own hours stand apart and are not in it. What has an entry of real spending counts as done.',
  ];
  if (job.assessment.rates.labour === 'shop') notes[0] = 'The workshop does the work: its hours are in the money.';
  if (estimateClass === 'first-look') notes.push('Little has been seen: look first, then plan again.');
  if (hoursAssumed) notes.push("Hours a week are the rubric's figure; say your own as hoursPerWeek.");
  return notes;
}
