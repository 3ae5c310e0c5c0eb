import type { Activity, DaysOut } from '../../shared/index.ts';
import type { PreparedJob } from '../engine/index.ts';
import { madeBy, method, processOf, settingsOf } from './circumstances.ts';
import { lengthOf, networkOf, timesOf } from './network.ts';
import { pointsOf, quantilesOf, round } from './quantiles.ts';
import type { Simulation } from './simulate.ts';

interface Draft {
  id: string;
  name: string;
  sort: Activity['sort'];
  after: string[];
  days: Float64Array;
  hours: Float64Array | null;
  components: string[];
  because: Activity['because'];
}

const DAYS_IN_WEEK = 7;

/**
 * Elapsed days: strip, clean, send, decide again at the hold points, order what failed, coat or send on, fit. One pair of
 * hands does the own work one thing after another; shops and suppliers work at the same time.
 */
export function daysOf(simulation: Simulation, job: PreparedJob): DaysOut {
  const planning = settingsOf(job);
  const hoursPerWeek = job.assessment.hoursPerWeek ?? planning.hoursPerWeek.value;
  const drafts = draftsOf(simulation, job, hoursPerWeek);
  const used = drafts.filter(({ days }) => days.some((d) => d > 0));
  const kept = new Set(used.map(({ id }) => id));
  const byId = new Map(drafts.map((draft) => [draft.id, draft] as const));
  // What is left out hands on what it waited for.
  const afterOf = (draft: Draft): string[] => [
    ...new Set(draft.after.flatMap((id) => (kept.has(id) ? [id] : afterOf(byId.get(id)!)))),
  ];
  const tasks = used.map((draft) => ({ id: draft.id, after: afterOf(draft) }));
  const network = networkOf(tasks);
  const ordered = network.ids.map((id) => byId.get(id)!);
  const { draws } = simulation;
  const length = new Float64Array(draws);
  const critical = ordered.map(() => 0);
  const days = new Float64Array(ordered.length);
  const room = new Float64Array(2 * ordered.length);
  const isCritical = new Uint8Array(ordered.length);
  for (let d = 0; d < draws; d++) {
    for (let i = 0; i < ordered.length; i++) days[i] = ordered[i]!.days[d]!;
    length[d] = lengthOf(network, days, room, isCritical);
    for (let i = 0; i < ordered.length; i++) critical[i]! += isCritical[i]!;
  }
  const points = ordered.map((draft) => pointsOf(draft.days, [0.9, 0.5, 0.1]) as [number, number, number]);
  const usual = timesOf(
    network,
    points.map(([, middle]) => middle),
  );
  const activities = ordered.map((draft, i): Activity => {
    const time = usual.times[i]!;
    return {
      id: draft.id,
      name: draft.name,
      sort: draft.sort,
      after: tasks.find(({ id }) => id === draft.id)!.after,
      start: round(time.start, 1),
      finish: round(time.finish, 1),
      days: {
        low: round(points[i]![2], 1),
        usual: round(points[i]![1], 1),
        high: round(points[i]![0], 1),
      },
      hours: draft.hours ? round(pointsOf(draft.hours, [0.5])[0]!, 1) : 0,
      slack: round(time.slack, 1),
      critical: time.critical,
      oftenCritical: round(critical[i]! / draws, 3),
      components: draft.components,
      because: draft.because,
    };
  });
  const path = activities.filter((activity) => activity.critical);
  const [first, ...rest] = path.map(({ name }) => name);
  const { p10, p50, p80 } = quantilesOf(length);
  return {
    p10: round(p10, 1),
    p50: round(p50, 1),
    p80: round(p80, 1),
    hoursPerWeek,
    hoursAssumed: job.assessment.hoursPerWeek === undefined,
    activities,
    criticalPath: path.map(({ id }) => id),
    text:
      first === undefined
        ? 'Nothing is left to do'
        : [first, ...rest.map((name) => `then ${name.charAt(0).toLowerCase()}${name.slice(1)}`)].join(', '),
  };
}

function draftsOf(simulation: Simulation, job: PreparedJob, hoursPerWeek: number): Draft[] {
  const { work, away, orderedNow, orderedLater, lines } = simulation;
  const inDays = (hours: Float64Array) => hours.map((h) => (h * DAYS_IN_WEEK) / hoursPerWeek);
  const own = (id: string, name: string, after: string[], hours: Float64Array): Draft => ({
    id,
    name,
    sort: 'own',
    after,
    days: inDays(hours),
    hours,
    components: [],
    because: method('own-hours-a-week'),
  });
  const users = new Map(lines.map((line) => [line.id, line.components] as const));
  const early: Draft[] = [];
  const late: Draft[] = [];
  for (const [id, days] of away) {
    const process = processOf(job, id.split('.')[0]!);
    const isEarly = goesBeforeHold(simulation, id);
    (isEarly ? early : late).push({
      id: `send.${id}`,
      name: `Wait for ${process.name.charAt(0).toLowerCase()}${process.name.slice(1)}`,
      sort: 'away',
      after: [isEarly ? 'clean' : 'decide'],
      days,
      hours: null,
      components: users.get(id) ?? [],
      because: madeBy(job.rubric, `charges.${process.id}`, process.from),
    });
  }
  const waits = (from: Map<string, Float64Array>, word: string, name: string, after: string[]): Draft[] =>
    [...from].map(([order, days]) => ({
      id: `${word}.${order}`,
      name: `${name} ${WORDS[order] ?? order}`,
      sort: 'wait',
      after,
      days,
      hours: null,
      components: [],
      because: method('lead-days-of-supplies'),
    }));
  const now = waits(orderedNow, 'order', 'On order from now:', []);
  const later = waits(orderedLater, 'order-later', 'On order after looking again:', ['decide']);
  return [
    own('strip', 'Strip', [], work.strip),
    ...now,
    own('clean', 'Clean and strip to metal', ['strip'], work.before),
    ...early,
    own('decide', 'Look again, decide, pack and take', ['clean', ...early.map(({ id }) => id)], work.decide),
    ...later,
    ...late,
    own('coat', 'Coat and finish', ['decide'], work.after),
    own('fit', 'Fit', ['coat', ...[...now, ...later, ...late].map(({ id }) => id)], work.fit),
  ];
}

const WORDS: Record<string, string> = {
  new: 'new parts',
  pattern: 'pattern parts',
  used: 'used parts',
  made: 'parts made to order',
};

/** Does this batch go out before its parts are looked at again? */
function goesBeforeHold(simulation: Simulation, batch: string): boolean {
  return simulation.outcomes.some(({ list }) =>
    list.some((outcome) => outcome.visits.some((visit) => visit.batch === batch && visit.beforeHold)),
  );
}
