import type { OfferOut, ScoreOut, WhenNeeded } from '../../shared/index.ts';
import { WHEN_NEEDED } from '../../shared/index.ts';
import { cents, type PreparedJob } from '../engine/index.ts';
import { method } from './circumstances.ts';
import type { ChosenJob } from './decide-job.ts';
import { quantile, quantilesOf, round, sorted } from './quantiles.ts';
import type { Simulation } from './simulate.ts';
import { nameOfNeed, needsOf } from './when-needed.ts';

const MOST_LOOKS = 5;

/** What to offer for a car looked at before buying; null when the assessment gives no purchase. */
export function offerOf(chosen: ChosenJob, simulation: Simulation, score: ScoreOut, job: PreparedJob): OfferOut | null {
  const { purchase, currency } = job.assessment;
  if (!purchase) return null;
  const toPutRight = quantilesOf(simulation.money);
  const { ceiling = null, asking = null, worthDone = null } = purchase;
  const startsFrom =
    ceiling === null && worthDone === null
      ? null
      : ceiling === null || (worthDone !== null && worthDone < ceiling)
        ? 'worthDone'
        : 'ceiling';
  const start = startsFrom === null ? null : startsFrom === 'ceiling' ? ceiling! : worthDone!;
  const offerLessP50 = start === null ? null : cents(start - toPutRight.p50);
  const offerLessP80 = start === null ? null : cents(start - toPutRight.p80);
  const notSeen = notSeenOf(score);
  return {
    asking,
    ceiling,
    worthDone,
    toPutRight,
    hours: quantilesOf(simulation.hours),
    split: splitOf(simulation, score, job),
    offerLessP50,
    offerLessP80,
    startsFrom,
    notSeen,
    looks: looksOf(chosen, simulation, score, job),
    text: wordsOf({
      asking,
      start,
      startsFrom,
      offerLessP50,
      offerLessP80,
      worthDone,
      p50: toPutRight.p50,
      currency,
      unseen: notSeen.length,
    }),
  };
}

/** Money by when it is needed. What several parts share belongs to the one that needs it first. */
function splitOf(simulation: Simulation, score: ScoreOut, job: PreparedJob): OfferOut['split'] {
  const needs = needsOf(score, job);
  const hardware = new Map(score.alwaysNew.map((part) => [part.component, 'within-year' as WhenNeeded] as const));
  const sums = new Map(WHEN_NEEDED.map((when) => [when, new Float64Array(simulation.draws)] as const));
  const members = new Map(WHEN_NEEDED.map((when) => [when, new Set<string>()] as const));
  for (const line of simulation.lines) {
    const own = line.components.map((id) => needs.get(id) ?? hardware.get(id) ?? 'within-year');
    const when = WHEN_NEEDED.find((need) => own.includes(need)) ?? 'within-year';
    const sum = sums.get(when)!;
    for (let d = 0; d < simulation.draws; d++) sum[d]! += line.money[d]!;
    if (line.what === 'part' && line.money.some((value) => value > 0)) members.get(when)!.add(line.components[0]!);
  }
  return WHEN_NEEDED.map((when) => ({
    when,
    name: nameOfNeed(when),
    money: quantilesOf(sums.get(when)!),
    components: [...members.get(when)!],
    because: method('when-the-money-is-needed'),
  }));
}

function notSeenOf(score: ScoreOut): OfferOut['notSeen'] {
  return score.components
    .map((component) => ({
      component,
      checks: component.facts.filter(({ state }) => state === 'unknown').map(({ check }) => check),
    }))
    .filter(({ component, checks }) => checks.length > 0 && component.verdict.firmness !== 'settled')
    .sort(
      (a, b) =>
        Number(b.component.safetyCritical) - Number(a.component.safetyCritical) ||
        b.component.atStake - a.component.atStake ||
        (a.component.id < b.component.id ? -1 : 1),
    )
    .map(({ component, checks }) => ({
      component: component.id,
      name: component.name,
      checks,
      text: `${checks.length} of ${component.facts.length} checks not seen${component.safetyCritical ? '; a part that guards life' : ''}`,
    }));
}

/** The figures if one look comes out best, and if it comes out worst: the draws in which it does. */
function looksOf(chosen: ChosenJob, simulation: Simulation, score: ScoreOut, job: PreparedJob): OfferOut['looks'] {
  const least = job.rubric.settings.smallestGroup.value;
  const picked = [...score.nextLooks, ...score.looksLeft].slice(0, 4 * MOST_LOOKS);
  return picked
    .flatMap((look): OfferOut['looks'] => {
      const unit = chosen.units.find(({ part }) => part.component.id === look.component);
      const variable = unit?.prepared.c.compiled.indexOfCheck.get(look.check);
      if (!unit || variable === undefined) return [];
      const values = unit.prepared.drawn.valuesOf(variable);
      const groups = new Map<number, number[]>();
      for (let d = 0; d < simulation.draws; d++) {
        const group = groups.get(values[d]!);
        if (group) group.push(d);
        else groups.set(values[d]!, [d]);
      }
      const ordered = [...groups.keys()].sort((a, b) => a - b).map((value) => groups.get(value)!);
      const best = gather(ordered, least);
      const worst = gather([...ordered].reverse(), least);
      if (best.length + worst.length > simulation.draws || best.length < least || worst.length < least) return [];
      return [
        {
          component: look.component,
          check: look.check,
          ask: look.ask,
          minutes: look.minutes,
          value: look.value,
          best: figuresOf(simulation, best),
          worst: figuresOf(simulation, worst),
        },
      ];
    })
    .sort((a, b) => b.worst.p80 - b.best.p80 - (a.worst.p80 - a.best.p80) || (a.component < b.component ? -1 : 1))
    .slice(0, MOST_LOOKS);
}

/** Draws of the first groups, as many groups as it takes to have enough. */
function gather(groups: readonly number[][], least: number): number[] {
  const out: number[] = [];
  for (const group of groups) {
    if (out.length >= least) break;
    out.push(...group);
  }
  return out;
}

function figuresOf(simulation: Simulation, draws: readonly number[]): OfferOut['looks'][number]['best'] {
  const rising = sorted(Float64Array.from(draws, (d) => simulation.money[d]!));
  return {
    chance: round(draws.length / simulation.draws, 3),
    p50: cents(quantile(rising, 0.5)),
    p80: cents(quantile(rising, 0.8)),
  };
}

function wordsOf(known: {
  asking: number | null;
  start: number | null;
  startsFrom: 'ceiling' | 'worthDone' | null;
  offerLessP50: number | null;
  offerLessP80: number | null;
  worthDone: number | null;
  p50: number;
  currency: string;
  unseen: number;
}): string[] {
  const { asking, start, startsFrom, offerLessP50, offerLessP80, worthDone, p50, currency, unseen } = known;
  const money = (value: number) => `${Math.round(value)} ${currency}`;
  if (start === null || offerLessP50 === null || offerLessP80 === null)
    return ['No offer without the most you will have in the car, or what it is worth when done.'];
  const text = [
    `Starts from ${startsFrom === 'ceiling' ? 'the most you will have in it' : 'what it is worth when done, which is the lower figure or the only one'}, ${money(start)}.`,
  ];
  if (offerLessP80 <= 0 && offerLessP50 <= 0)
    text.push('Putting it right is likely to take all of that: walk away, or take it as a gift.');
  else if (offerLessP80 <= 0)
    text.push(
      `Offer at most ${money(offerLessP50)}, and know that one time in five the work takes more than the whole sum.`,
    );
  else
    text.push(`Offer ${money(offerLessP80)}; go to ${money(offerLessP50)} only if you can bear the work going badly.`);
  if (asking !== null) {
    if (asking <= offerLessP80) text.push(`The asking price of ${money(asking)} is under that.`);
    else if (asking <= offerLessP50) text.push(`The asking price of ${money(asking)} lies between the two.`);
    else
      text.push(
        `The asking price of ${money(asking)} is ${money(asking - Math.max(0, offerLessP50))} above the higher of the two.`,
      );
  }
  if (worthDone !== null && asking !== null) {
    const margin = worthDone - asking - p50;
    text.push(
      `At the asking price it would stand you in ${money(asking + p50)} when done, ${margin >= 0 ? `${money(margin)} under` : `${money(-margin)} over`} what it is then worth; your own hours not counted.`,
    );
  }
  if (unseen > 0)
    text.push(`${unseen} parts have something that nobody has seen; it is priced in at its odds, not as sound.`);
  return text;
}
