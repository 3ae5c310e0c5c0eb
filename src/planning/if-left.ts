import { type ComponentOut, type IfLeft, type ScoreOut, WHEN_NEEDED, type WhenNeeded } from '../../shared/index.ts';
import { cents, leftAloneOf, MOST_YEARS, meanOf, type PreparedJob, stepsLeft } from '../engine/index.ts';
import { zincLifeYears } from '../standards/index.ts';
import { madeBy, method, settingsOf } from './circumstances.ts';
import { type ChosenJob, COMES_WITH } from './decide-job.ts';
import { namedPlan, nameOfShared } from './names.ts';
import { lineQuantiles, round } from './quantiles.ts';
import { fallbackOf } from './shared-costs.ts';
import type { Simulation } from './simulate.ts';
import { nameOfNeed, needsOf } from './when-needed.ts';

/** What happens if nothing is done, the life of the zinc that is put on, and the order of work if the money runs out. */
export function ifLeftOf(chosen: ChosenJob, simulation: Simulation, score: ScoreOut, job: PreparedJob): IfLeft {
  const outs = new Map(score.components.map((component) => [component.id, component] as const));
  return {
    parts: partsOf(chosen, outs, job),
    zinc: zincOf(chosen, job),
    order: orderOf(chosen, simulation, needsOf(score, job), outs, job),
    caution:
      'Years are for open faces by ISO 9223 and 9224; crevices, box sections and mud traps are faster. A part past its limit today has no years left.',
  };
}

function partsOf(chosen: ChosenJob, outs: ReadonlyMap<string, ComponentOut>, job: PreparedJob): IfLeft['parts'] {
  const seen = new Set<string>();
  return chosen.units
    .flatMap((unit): IfLeft['parts'] => {
      const { id } = unit.part.component;
      const out = outs.get(id);
      const left = leftAloneOf(unit.part.groups);
      if (!out || !left || seen.has(id)) return [];
      seen.add(id);
      const { low, high, check, because } = left.years;
      const groups = chosen.units.filter((other) => other.part === unit.part);
      const costThen = groups.reduce((sum, group) => {
        const bought = fallbackOf(group.ways);
        return (
          sum + (bought ? bought.stretches.reduce((all, s) => all + meanOf(s.price) + meanOf(s.consumables), 0) : 0)
        );
      }, 0);
      return [
        {
          component: id,
          name: unit.part.component.name,
          years: { low: round(low, 1), high: round(high, 1) },
          check,
          because,
          from: madeBy(job.rubric, `${out.kind}.${check}.growth`, left.growth.from),
          safetyCritical: out.safetyCritical,
          costThen: cents(costThen),
          withinHorizon: round(Math.max(...groups.map((group) => group.prepared.c.failsLater)), 3),
        },
      ];
    })
    .sort(
      (a, b) =>
        a.years.low - b.years.low ||
        Number(b.safetyCritical) - Number(a.safetyCritical) ||
        a.years.high - b.years.high ||
        (a.component < b.component ? -1 : 1),
    );
}

function zincOf(chosen: ChosenJob, job: PreparedJob): IfLeft['zinc'] {
  const { zincProcesses } = settingsOf(job);
  return chosen.units.flatMap((unit, u) => {
    const way = chosen.ways[u]!;
    const route = way === COMES_WITH ? null : unit.ways[way]!.option.route;
    if (route === null) return [];
    return stepsLeft(job.tables.route(route), unit.part.component).flatMap((step) => {
      if (!('do' in step)) return [];
      const { id, process, addsUm } = job.tables.operation(step.do);
      if (!process || !addsUm || !zincProcesses.value.includes(process)) return [];
      const [low, high] = zincLifeYears(addsUm, job.assessment.atmosphere);
      return [
        {
          component: unit.part.component.id,
          name: unit.part.component.name,
          operation: id,
          um: addsUm,
          years: { low: round(low, 1), high: round(Math.min(MOST_YEARS, high ?? MOST_YEARS), 1) },
          because: madeBy(job.rubric, 'settings.planning.zincProcesses', zincProcesses.from),
        },
      ];
    });
  });
}

/** Order of work: when it is needed, what is known to be done for, then fewest years left, then what is cheapest, with the running sum of money and hours. */
function orderOf(
  chosen: ChosenJob,
  simulation: Simulation,
  needs: ReadonlyMap<string, WhenNeeded>,
  outs: ReadonlyMap<string, ComponentOut>,
  job: PreparedJob,
): IfLeft['order'] {
  const likely = simulation.lines.map((line) => ({
    money: lineQuantiles(line.money).p50,
    hours: lineQuantiles(line.hours).p50,
  }));
  const entries = chosen.units.map((unit, u) => {
    const out = outs.get(unit.part.component.id)!;
    return {
      unit,
      u,
      need: needs.get(out.id)!,
      fired: out.knockOuts.some(({ state }) => state === 'fired'),
      years: out.yearsLeft?.low ?? 1000,
      named: namedPlan(chosen, u),
      ...likely[u]!,
    };
  });
  const work = entries.filter(
    ({ named, unit, money, hours }) => named.action !== 'reuse' || unit.held || money + hours > 0,
  );
  work.sort(
    (a, b) =>
      WHEN_NEEDED.indexOf(a.need) - WHEN_NEEDED.indexOf(b.need) ||
      Number(b.fired) - Number(a.fired) ||
      a.years - b.years ||
      a.money - b.money ||
      (a.unit.key < b.unit.key ? -1 : 1),
  );
  const paid = new Set<number>();
  let moneySoFar = 0;
  let hoursSoFar = 0;
  return work.map(({ unit, need, named, money, hours, years, fired }) => {
    const { id, name } = unit.part.component;
    moneySoFar += money;
    hoursSoFar += hours;
    const brought: string[] = [];
    // A batch or a charge is paid when its first part is done.
    simulation.lines.forEach((line, i) => {
      if (line.unit !== null || paid.has(i) || !line.components.includes(id)) return;
      paid.add(i);
      moneySoFar += likely[i]!.money;
      hoursSoFar += likely[i]!.hours;
      if (likely[i]!.money >= 1) brought.push(nameOfShared(line.id, job));
    });
    const state = fired
      ? named.action === 'replace'
        ? 'known to be done for'
        : 'known to need it'
      : unit.held
        ? 'not looked at yet'
        : null;
    const left =
      years <= 0 ? 'may be past its limit' : years < MOST_YEARS ? `${round(years, 1)} years at worst if left` : null;
    const reason = [nameOfNeed(need), ...(need === 'looks' ? [] : [state, fired ? null : left])]
      .filter(Boolean)
      .join('; ');
    return {
      component: id,
      name: unit.prepared.member.count > 1 ? `${unit.prepared.member.count} x ${name}` : name,
      action: named.action,
      money: cents(money),
      moneySoFar: cents(moneySoFar),
      hours: cents(hours),
      hoursSoFar: cents(hoursSoFar),
      why: brought.length > 0 ? `${reason}; first to need ${brought.join(', ')}` : reason,
      because: method('order-when-money-runs-out'),
    };
  });
}
