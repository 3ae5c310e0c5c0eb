import type { Batch, DaysOut, NextAction, NextFive, ScoreOut } from '../../shared/index.ts';
import { cents, meanOf, type PreparedJob, stepsLeft } from '../engine/index.ts';
import { method, settingsOf } from './circumstances.ts';
import { type ChosenJob, COMES_WITH } from './decide-job.ts';
import { lower, namedPlan } from './names.ts';
import { round } from './quantiles.ts';
import { touches, type Unit } from './units.ts';

const MOST = 5;
const MOST_FINISH = 8;
const RUSTS = new Set(['steel', 'spring-steel', 'forged-steel', 'cast-iron']);

interface Known {
  chosen: ChosenJob;
  score: ScoreOut;
  batches: readonly Batch[];
  days: DaysOut;
  job: PreparedJob;
}

/** Five things to do next, each with its reason: what spoils while it waits, what holds everything up, what is cheap to know. */
export function nextFiveOf(known: Known): NextFive {
  const { chosen, job } = known;
  const finishOne = finishOf(chosen, job);
  const candidates = [
    ...barePartsOf(known),
    ...looksFirst(known),
    ...longLeads(known),
    ...batchesToFill(known),
    ...finishOne.slice(0, 1).map(
      (part): NextAction => ({
        sort: 'finish',
        text: `Finish ${part.name}: ${part.steps.join(', ')}`,
        why: `Nearest to done, ${round(part.hoursLeft, 1)} hours away; a finished part clears the bench`,
        components: [part.component],
        minutes: Math.round(part.hoursLeft * 60),
        because: method('finish-one'),
      }),
    ),
    ...looksLater(known),
    ...cleanNext(known),
    ...stripNext(known),
  ];
  const used = new Set<string>();
  const actions = candidates.filter(({ text }) => (used.has(text) ? false : used.add(text))).slice(0, MOST);
  return { actions, warning: warningOf(job), finishOne };
}

function nameOf(unit: Unit): string {
  const { name, count = 1 } = unit.part.component;
  return count > 1 ? `${count} x ${name}` : name;
}

function list(names: readonly string[]): string {
  const shown = [...new Set(names)];
  if (shown.length <= 3) return shown.join(', ');
  return `${shown.slice(0, 3).join(', ')} and ${shown.length - 3} more`;
}

/** Bare steel rusts within days. */
function barePartsOf({ chosen }: Known): NextAction[] {
  const bare = chosen.units.filter((unit, u) => {
    const { component } = unit.part;
    const material = component.material ?? unit.prepared.c.compiled.kind.material;
    return component.stage === 'bare' && RUSTS.has(material) && namedPlan(chosen, u).action === 'refinish';
  });
  if (bare.length === 0) return [];
  return [
    {
      sort: 'coat',
      text: `Coat what is stripped to metal: ${list(bare.map(nameOf))}`,
      why: 'Bare steel rusts within days, within hours in damp air; then it is stripped again',
      components: bare.map((unit) => unit.part.component.id),
      minutes: Math.round(60 * bare.reduce((sum, unit) => sum + workHours(unit, chosen), 0)),
      because: { rule: 'method.bare-needs-a-coat', source: null, basis: 'common-practice' },
    },
  ];
}

function workHours(unit: Unit, chosen: ChosenJob): number {
  const way = chosen.ways[chosen.units.indexOf(unit)]!;
  if (way === COMES_WITH) return 0;
  return unit.ways[way]!.stretches.reduce((sum, stretch) => sum + meanOf(stretch.work), 0);
}

/** Looks that guard life or save most a minute, those that ask the same thing of several parts together. */
function looksFirst(known: Known): NextAction[] {
  return lookActions(known).slice(0, 2);
}

function looksLater(known: Known): NextAction[] {
  return lookActions(known).slice(2, MOST);
}

function lookActions({ score, chosen }: Known): NextAction[] {
  const nameOfPart = new Map(chosen.units.map((unit) => [unit.part.component.id, nameOf(unit)] as const));
  const together = new Map<string, ScoreOut['nextLooks']>();
  for (const look of score.nextLooks) together.set(look.ask, [...(together.get(look.ask) ?? []), look]);
  return [...together].map(([ask, looks]): NextAction => {
    const [look] = looks;
    const value = looks.reduce((sum, { value: one }) => sum + one, 0);
    const minutes = looks.reduce((sum, { minutes: one }) => sum + one, 0);
    const guards = looks.some(({ compulsory }) => compulsory);
    return {
      sort: 'look',
      text: `Look at ${list(looks.map(({ component }) => nameOfPart.get(component) ?? component))}: ${ask}`,
      why: guards
        ? look!.why
        : `Worth ${Math.round(value)} ${score.assessment.currency} for ${round(minutes, 1)} minutes: ${lower(look!.why)}`,
      components: looks.map(({ component }) => component),
      minutes,
      because: method('value-of-the-answer'),
    };
  });
}

/** What is surely bought and takes longest to come. */
function longLeads({ chosen, days }: Known): NextAction[] {
  const surely = chosen.units
    .map((unit, u) => ({ unit, u }))
    .filter(({ unit, u }) => {
      const way = chosen.ways[u]!;
      if (way === COMES_WITH || unit.held) return false;
      const { firmness } = unit.judged.verdict;
      return unit.ways[way]!.option.action === 'replace' && firmness === 'settled' && !bought(unit);
    })
    .map(({ unit, u }) => ({ unit, lead: unit.ways[chosen.ways[u]!]!.leadDays }))
    .sort((a, b) => b.lead[1] - a.lead[1]);
  if (surely.length === 0) return [];
  const longest = surely[0]!.lead;
  const isCritical = days.activities.some((activity) => activity.id.startsWith('order.') && activity.critical);
  return [
    {
      sort: 'order',
      text: `Order what is settled: ${list(surely.map(({ unit }) => nameOf(unit)))}`,
      why: `The slowest takes ${Math.round(longest[1])} days, up to ${Math.round(longest[2])}${isCritical ? ', and the job waits for it' : '; ordered now it holds nothing up'}. Keep the old one until the new one fits`,
      components: [...new Set(surely.map(({ unit }) => unit.part.component.id))],
      minutes: null,
      because: method('longest-lead-first'),
    },
  ];
}

function bought(unit: Unit): boolean {
  const supplies = (unit.part.component.supplies ?? unit.prepared.c.compiled.kind.supplies).map(({ id }) => id);
  return (unit.part.component.actuals ?? []).some(({ on }) => supplies.includes(on));
}

/** A batch that pays its minimum: fill it before it goes, or let it go. */
function batchesToFill({ batches, job }: Known): NextAction[] {
  const { currency } = job.assessment;
  return batches
    .filter((batch) => batch.parts.some((part) => part.chance >= 0.5))
    .map((batch): NextAction => {
      const [joiner] = batch.couldJoin;
      const room = batch.paysMinimum && batch.slack >= 1;
      return {
        sort: 'send',
        text: `Make up the batch for ${batch.name.charAt(0).toLowerCase()}${batch.name.slice(1)}${batch.colour ? `, ${batch.colour}` : ''}: ${list(batch.parts.map(({ name }) => name))}`,
        why: batch.goesAnyway
          ? `It goes anyway: these ${batch.pieces} pieces add ${Math.max(1, Math.round(batch.bill.usual))} ${currency} to it`
          : room
            ? `It pays the minimum of ${Math.round(batch.minimum.usual)} ${currency} with room for ${Math.round(batch.slack)} more${joiner ? `; ${joiner.name} would add ${Math.round(joiner.adds)}, alone ${Math.round(joiner.alone)}` : ''}`
            : `${Math.round(batch.leadDays.usual)} days away, and one trip for ${batch.pieces} pieces`,
        components: batch.parts.map(({ component }) => component),
        minutes: null,
        because: batch.because,
      };
    });
}

function cleanNext({ chosen }: Known): NextAction[] {
  const dirty = chosen.units.filter(
    (unit, u) => unit.part.component.stage === 'off' && namedPlan(chosen, u).action === 'refinish',
  );
  if (dirty.length === 0) return [];
  return [
    {
      sort: 'clean',
      text: `Clean what is off: ${list(dirty.map(nameOf))}`,
      why: 'Most of what decides cannot be seen under dirt',
      components: dirty.map((unit) => unit.part.component.id),
      minutes: null,
      because: method('clean-before-deciding'),
    },
  ];
}

function stripNext({ chosen }: Known): NextAction[] {
  const fitted = chosen.units.filter((unit, u) => {
    const way = chosen.ways[u]!;
    return unit.part.component.stage === 'fitted' && (unit.held !== null || way === COMES_WITH || touches(unit, way));
  });
  if (fitted.length === 0) return [];
  return [
    {
      sort: 'strip',
      text: `Soak and take off: ${list(fitted.map(nameOf))}`,
      why: 'They have to come off whatever the looks say; a day of soaking saves a sheared bolt',
      components: fitted.map((unit) => unit.part.component.id),
      minutes: null,
      because: { rule: 'method.soak-first', source: null, basis: 'common-practice' },
    },
  ];
}

function warningOf(job: PreparedJob): string | null {
  const { manyOff } = settingsOf(job);
  const { components } = job.assessment;
  const off = components.filter(({ stage }) => stage === 'off' || stage === 'cleaned' || stage === 'bare').length;
  const finished = components.filter(({ stage }) => stage === 'finished').length;
  if (off < manyOff.value || finished > 0) return null;
  return `${off} parts are off and none is finished. Take one to the end before the next comes off: order, bolts and heart are lost in boxes.`;
}

/** Parts that are off, by the own hours that are left in them. */
function finishOf(chosen: ChosenJob, job: PreparedJob): NextFive['finishOne'] {
  return chosen.units
    .flatMap((unit, u): NextFive['finishOne'] => {
      const { component } = unit.part;
      const way = chosen.ways[u]!;
      if (component.stage === 'fitted' || way === COMES_WITH) return [];
      const taken = unit.ways[unit.held ? unit.held.fired : way]!;
      const { option, stretches } = taken;
      const hoursLeft = stretches.reduce((sum, s) => sum + meanOf(s.work) + meanOf(s.refit), 0);
      const moneyLeft = stretches.reduce((sum, s) => sum + meanOf(s.consumables) + meanOf(s.price), 0);
      const steps: string[] =
        option.route === null
          ? option.action === 'replace' && !bought(unit)
            ? [`buy (${option.name.toLowerCase()})`]
            : []
          : stepsLeft(job.tables.route(option.route), component).map((step) =>
              'do' in step ? lower(job.tables.operation(step.do).name) : `look: ${lower(step.name)}`,
            );
      const visits = stretches.flatMap((stretch) => stretch.visits);
      const waitsFor =
        visits.length > 0
          ? job.tables.process(visits[0]!.process).name
          : option.action === 'replace' && !bought(unit)
            ? `${Math.round(option.leadDays[1])} days on order`
            : null;
      return [
        {
          component: component.id,
          name: nameOf(unit),
          stage: component.stage,
          hoursLeft: cents(hoursLeft),
          moneyLeft: cents(moneyLeft),
          steps: [...steps, 'fit'],
          waitsFor,
        },
      ];
    })
    .sort(
      (a, b) =>
        Number(a.waitsFor !== null) - Number(b.waitsFor !== null) ||
        a.hoursLeft - b.hoursLeft ||
        (a.component < b.component ? -1 : 1),
    )
    .slice(0, MOST_FINISH);
}
