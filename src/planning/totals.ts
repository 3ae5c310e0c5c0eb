import type { BudgetLine, Driver, Made, Total, TotalOut } from '../../shared/index.ts';
import { cents, type PreparedJob, readFrom } from '../engine/index.ts';
import { madeBy, method, priced, processOf, settingsOf, sharedCharge } from './circumstances.ts';
import type { ChosenJob } from './decide-job.ts';
import { lower, namedPlan, ruleOf } from './names.ts';
import { lineQuantiles, meanOfDraws, round, shareOfCause, shareOfLine, spreadOf, varianceOf } from './quantiles.ts';
import type { Line, Simulation } from './simulate.ts';

const MOST_DRIVERS = 12;
const LEAST_SHARE = 0.005;

/** Totals with their drivers, contingency, class and lines. */
export function totalOut(chosen: ChosenJob, simulation: Simulation, job: PreparedJob): TotalOut {
  const { currency } = job.assessment;
  const lines = simulation.lines.map((line) => lineOut(line, chosen, job));
  const money = totalOf('money', simulation, lines);
  const hours = totalOf('hours', simulation, lines);
  const sum = (pick: (line: BudgetLine) => number) => cents(lines.reduce((total, line) => total + pick(line), 0));
  const sumOfLikely = { money: sum((line) => line.money.p50), hours: sum((line) => line.hours.p50) };
  const contingency = { money: cents(money.p80 - money.p50), hours: cents(hours.p80 - hours.p50) };
  return {
    money,
    hours,
    contingency: {
      ...contingency,
      text: 'Set aside less likely: what chance and the unseen may take beyond the likely sum. It is not for extras',
      because: method('contingency-p80-less-p50'),
    },
    estimateClass: classOf(chosen, job),
    statement: `The sum of the likely values is not the likely sum: the lines' likely values add up to ${whole(sumOfLikely.money)} ${currency} and ${round(sumOfLikely.hours, 1)} hours, the job is likely to take ${whole(money.p50)} ${currency} and ${round(hours.p50, 1)} hours, since dear and slow lines have further to go up than down and rise together`,
    sumOfLikely,
    lines,
    draws: simulation.draws,
  };
}

function whole(value: number): string {
  return String(Math.round(value));
}

function totalOf(side: 'money' | 'hours', simulation: Simulation, lines: readonly BudgetLine[]): Total {
  const values = simulation[side];
  const spread = spreadOf(values);
  const mean = meanOfDraws(values);
  const variance = varianceOf(values, mean);
  const drivers: Driver[] = [];
  if (variance > 0) {
    simulation.lines.forEach((line, i) => {
      const share = shareOfLine(line[side], values, mean, variance);
      drivers.push({
        id: line.id,
        what: line.what,
        name: lines[i]!.name,
        share: round(share, 3),
        text: lines[i]!.text,
      });
    });
    for (const cause of simulation.causes) {
      const share = shareOfCause(cause.values, values, mean, variance);
      drivers.push({ id: cause.id, what: 'cause', name: cause.name, share: round(share, 3), text: cause.text });
    }
  }
  drivers.sort((a, b) => b.share - a.share || (a.id < b.id ? -1 : 1));
  const kept = drivers.filter(({ share }) => share >= LEAST_SHARE).slice(0, MOST_DRIVERS);
  return { ...spread, drivers: kept };
}

function lineOut(line: Line, chosen: ChosenJob, job: PreparedJob): BudgetLine {
  const { name, because, text } = describe(line, chosen, job);
  return {
    id: line.id,
    what: line.what,
    name,
    money: lineQuantiles(line.money),
    hours: lineQuantiles(line.hours),
    because,
    text,
  };
}

function describe(line: Line, chosen: ChosenJob, job: PreparedJob): { name: string; because: Made; text: string } {
  const { rubric } = job;
  if (line.unit !== null) {
    const unit = chosen.units[line.unit]!;
    const named = namedPlan(chosen, line.unit);
    const { rule, from } = ruleOf(unit, named);
    const count = unit.prepared.member.count;
    return {
      name: count > 1 ? `${count} x ${unit.part.component.name}` : unit.part.component.name,
      because: madeBy(rubric, rule, from),
      text: unit.held
        ? `${named.name}, if a look goes badly (${Math.round(unit.held.chance * 100)} in 100); else ${lower(unit.ways[chosen.ways[line.unit]!]!.option.name)}`
        : `${named.name}${isInPair(chosen, line.unit) && named.action !== 'replace' ? '; bought after all where its pair has to be' : ''}`,
    };
  }
  if (line.id === 'always-new')
    return {
      name: 'Hardware that is used once',
      because: { rule: 'hardware', source: null, basis: 'common-practice' },
      text: `${job.alwaysNew.length} lines, bought new each time`,
    };
  if (line.id === 'looks')
    return {
      name: 'Looking before deciding',
      because: method('minutes-of-looks'),
      text: 'Minutes of the looks worth doing now',
    };
  if (line.id.startsWith('trip.')) {
    const process = processOf(job, line.id.slice('trip.'.length));
    return {
      name: `Trip: ${process.name}`,
      because: madeBy(rubric, `charges.${process.id}`, process.from),
      text: 'Pack, take there and fetch back, once',
    };
  }
  if (line.what === 'batch') {
    const process = processOf(job, line.id.split('.')[0]!);
    const goes = (job.assessment.batchesGoing ?? []).includes(process.id);
    const minimum = priced(job, process.minimum)[1];
    const setUp = priced(job, process.setUpPerColour)[1];
    return {
      name: `Bill: ${process.name}${line.id.includes('.') ? ` (${line.id.split('.').slice(1).join(', ')})` : ''}`,
      because: madeBy(rubric, `charges.${process.id}`, process.from),
      text: goes
        ? 'Goes anyway: only the work is paid'
        : `The greater of the minimum ${whole(minimum)} and the work${setUp > 0 ? `, and ${whole(setUp)} for the colour` : ''}`,
    };
  }
  const [id = '', where] = line.id.split('@');
  const charge = sharedCharge(rubric, id);
  return {
    name: where ? `${charge.name}, ${areaName(job, where)}` : charge.name,
    because: madeBy(rubric, `charges.${id}`, charge.from),
    text: `Once for ${line.components.length || 'the'} part${line.components.length === 1 ? '' : 's'}`,
  };
}

function isInPair(chosen: ChosenJob, u: number): boolean {
  return chosen.problem.together.some((group) => group.includes(chosen.parts[u]!.own));
}

function areaName(job: PreparedJob, id: string): string {
  return job.assessment.areas.find((area) => area.id === id)?.name ?? id;
}

/** Class of the estimate: by the share of the deciding checks that are known as fact. */
function classOf(chosen: ChosenJob, job: PreparedJob): TotalOut['estimateClass'] {
  const { finish } = job.sliders;
  let all = 0;
  let answered = 0;
  for (const { prepared } of chosen.units) {
    const deciding = new Set(prepared.outlook(finish).states.flatMap(({ barring }) => barring.condition.variables));
    for (const v of deciding) {
      const { state } = prepared.facts.facts[v]!;
      if (state === 'not-applicable') continue;
      all++;
      if (state === 'final') answered++;
    }
  }
  const known = all === 0 ? 1 : answered / all;
  const { value, from } = settingsOf(job).estimateClasses;
  const ordered = [...value].sort((a, b) => b.knownFrom - a.knownFrom);
  const found = ordered.find(({ knownFrom }) => known >= knownFrom) ?? ordered.at(-1)!;
  return {
    id: found.id,
    name: found.name,
    known: round(known, 3),
    text: `${answered} of ${all} checks that decide something are known as fact. ${found.text}`,
    because: { rule: 'settings.planning.estimateClasses', ...readFrom(job.rubric, from) },
  };
}
