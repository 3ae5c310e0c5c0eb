import {
  ASSESSMENT_FORMAT,
  Assessment,
  type Check,
  type Component,
  enteredUnit,
  type Fault,
  faultsOf,
  inUnit,
  type Kind,
  type Observation,
  type Rubric,
  STAGES,
  showFound,
} from '../../shared/index.ts';
import { parseThread } from '../standards/index.ts';
import { checkFastening } from './check-fastening.ts';
import { isFastenerClass } from './check-joints.ts';
import { type Add, array, checkIds, checkReferences } from './check-references.ts';

/** Where and when an assessment is checked. */
export interface CheckOptions {
  /** ISO date; nothing may be dated after it. */
  today: string;
  /** File as the user named it; stands in every fault. */
  file?: string;
}

/**
 * Checks an assessment against its contract and against the rubric that is to judge it.
 *
 * @param raw plain data as read from a file or a request
 * @returns the assessment, or every fault at once with its path
 */
export function checkAssessment(
  raw: unknown,
  rubric: Rubric,
  { today, file = '' }: CheckOptions,
): { assessment: Assessment; faults?: undefined } | { assessment?: undefined; faults: Fault[] } {
  const format = (raw as { format?: unknown } | null)?.format;
  if (typeof format === 'string' && format !== ASSESSMENT_FORMAT) {
    return { faults: [{ file, path: 'format', wanted: ASSESSMENT_FORMAT, found: showFound(format) }] };
  }
  const parsed = Assessment.safeParse(raw);
  const faults: Fault[] = parsed.success ? [] : faultsOf(parsed.error, raw, file);
  const components = (raw as { components?: unknown } | null)?.components;
  const list = Array.isArray(components)
    ? (components as Partial<Component>[]).map((c) => (c && typeof c === 'object' ? c : {}))
    : [];
  const broken = new Set(faults.map((fault) => fault.path));
  const add = (path: string, wanted: string, found: unknown) => {
    if (!broken.has(path)) faults.push({ file, path, wanted, found: showFound(found) });
  };
  const whole = (raw && typeof raw === 'object' ? raw : {}) as Partial<Assessment>;
  checkWhole(whole, rubric, today, add);
  const kinds = new Map<unknown, Kind>(rubric.kinds.map((kind) => [kind.id, kind]));
  const areas = new Set(array(whole.areas).map((area) => area?.id));
  const ids = new Set(list.map((component) => component.id));
  const lengthUnit = whole.units === 'in' ? 'in' : 'mm';
  checkIds(list, 'components', add);
  checkReferences(list, whole, rubric, today, add);
  checkFastening(list, whole, rubric, today, add);
  list.forEach((component, i) => {
    const kind = kinds.get(component.kind);
    if (typeof component.kind === 'string' && !kind)
      add(`components.${i}.kind`, 'a kind of the rubric', component.kind);
    checkComponent(component, `components.${i}`, kind, { areas, ids, today, lengthUnit, add });
  });
  checkCycles(list, add);
  if (faults.length > 0 || !parsed.success) return { faults };
  return { assessment: parsed.data };
}

function checkWhole(whole: Partial<Assessment>, rubric: Rubric, today: string, add: Add): void {
  if (typeof whole.date === 'string' && whole.date > today) add('date', `a date not after ${today}`, whole.date);
  const { currency } = whole;
  const { base, exchange } = rubric.prices;
  if (
    typeof currency === 'string' &&
    currency !== base &&
    !exchange.some((e) => e.currency === currency) &&
    whole.rates?.exchange === undefined
  ) {
    add('rates.exchange', `how much ${currency} one ${base} buys, since the rubric has no rate for it`, undefined);
  }
  for (const [i, process] of array(whole.batchesGoing).entries()) {
    if (!rubric.charges.processes.some((p) => p.id === process))
      add(`batchesGoing.${i}`, `one of ${rubric.charges.processes.map((p) => p.id).join(', ')}`, process);
  }
}

/** What a component's answers are checked against, beside its kind. */
interface Surroundings {
  areas: ReadonlySet<unknown>;
  ids: ReadonlySet<unknown>;
  today: string;
  lengthUnit: string;
  add: Add;
}

function checkComponent(
  component: Partial<Component>,
  path: string,
  kind: Kind | undefined,
  { areas, ids, today, lengthUnit, add }: Surroundings,
): void {
  const isComponent = (id: unknown) => id !== component.id && ids.has(id);
  for (const field of ['sitsIn', 'pair'] as const) {
    if (typeof component[field] === 'string' && !isComponent(component[field]))
      add(`${path}.${field}`, 'the id of another component', component[field]);
  }
  array(component.mates).forEach((mate, i) => {
    if (!isComponent(mate)) add(`${path}.mates.${i}`, 'the id of another component', mate);
  });
  if (typeof component.area === 'string' && !areas.has(component.area))
    add(`${path}.area`, 'an area of the assessment', component.area);
  const { thread, class: classId } = component.properties ?? {};
  checkProperties(component.properties, `${path}.properties`, kind, add);
  const parsed = typeof thread === 'string' ? parseThread(thread) : null;
  if (thread !== undefined && !parsed)
    add(`${path}.properties.thread`, 'a thread such as M10x1.5 or 3/8-24 UNF', thread);
  if (classId !== undefined && !isFastenerClass(String(classId), parsed?.diameterMm ?? 10))
    add(`${path}.properties.class`, 'a property class or grade such as 8.8 or S', classId);
  if (kind) {
    array(component.observations).forEach((o, i) => {
      if (o && typeof o === 'object')
        checkObservation(o, `${path}.observations.${i}`, component, kind, { today, lengthUnit, add });
    });
    array(component.photos).forEach((photo, i) => {
      if (photo?.check !== undefined && !kind.checks.some((check) => check.id === photo.check && check.photo))
        add(`${path}.photos.${i}.check`, 'a check of this kind that takes photos', photo.check);
    });
  }
}

// What the fastener standards read of any component.
const FASTENER_PROPERTIES = ['thread', 'class', 'hardnessHV', 'lengthMm'];

/** A misspelled property would be a missing one, and a size in words a missing size: neither is passed over. */
function checkProperties(properties: Component['properties'], path: string, kind: Kind | undefined, add: Add): void {
  if (!kind || properties === null || typeof properties !== 'object') return;
  const sizes = (kind.derived ?? []).flatMap((derived) => Object.keys(derived.sizes ?? {}));
  const known = [...new Set([...Object.keys(kind.properties ?? {}), ...FASTENER_PROPERTIES, ...sizes])];
  for (const [name, value] of Object.entries(properties)) {
    if (!known.includes(name)) add(`${path}.${name}`, `one of ${known.join(', ')}`, value);
    else if (/(?:Mm|HV)$/.test(name) && !(typeof value === 'number' && value > 0))
      add(`${path}.${name}`, 'a figure above 0', value);
  }
}

function checkObservation(
  o: Observation,
  path: string,
  component: Partial<Component>,
  kind: Kind,
  { today, lengthUnit, add }: { today: string; lengthUnit: string; add: Add },
): void {
  if (typeof o.date === 'string' && o.date > today) add(`${path}.date`, `a date not after ${today}`, o.date);
  const check = kind.checks.find((c) => c.id === o.check);
  if (!check) {
    if (typeof o.check === 'string')
      add(`${path}.check`, `a check of ${kind.id}: ${kind.checks.map((c) => c.id).join(', ')}`, o.check);
    return;
  }
  const stage = STAGES.indexOf(o.stage ?? component.stage ?? 'fitted');
  if (o.none === undefined && stage >= 0 && stage < STAGES.indexOf(check.earliestStage)) {
    add(`${path}.stage`, `${check.earliestStage} or later, since it cannot be seen before`, STAGES[stage]);
  }
  if (o.value !== undefined) checkValue(o.value, o, check, `${path}.value`, { lengthUnit, add });
  if (Array.isArray(o.split)) {
    o.split.forEach((share, i) => {
      checkValue(share?.value, o, check, `${path}.split.${i}.value`, { lengthUnit, add });
    });
    const sum = o.split.reduce((total, share) => total + (share?.count ?? 0), 0);
    if (sum !== (component.count ?? 1)) add(`${path}.split`, `counts that add up to ${component.count ?? 1}`, sum);
  }
}

function checkValue(
  value: unknown,
  o: Observation,
  check: Check,
  path: string,
  { lengthUnit, add }: { lengthUnit: string; add: Add },
): void {
  const { answer } = check;
  if (answer.type === 'choice') {
    if (!answer.options.some((option) => option.id === value))
      add(path, `one of ${answer.options.map((option) => option.id).join(', ')}`, value);
    return;
  }
  if (answer.type === 'grade') {
    if (!(typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 5))
      add(path, 'a whole grade from 0 to 5', value);
    if (o.unit !== undefined) add(path.replace(/value$/, 'unit'), 'no unit beside a grade', o.unit);
    return;
  }
  const isLength = (unit: string) => unit === 'mm' || unit === 'in';
  if (o.unit !== undefined && o.unit !== answer.unit && !(isLength(o.unit) && isLength(answer.unit))) {
    add(path.replace(/(split\.\d+\.)?value$/, 'unit'), `the unit ${answer.unit}`, o.unit);
    return;
  }
  const [low, high] = answer.range;
  const entered = enteredUnit(answer, o.unit, lengthUnit);
  const figure = typeof value === 'number' ? inUnit(value, entered, answer.unit) : Number.NaN;
  if (!(figure >= low && figure <= high))
    add(
      path,
      `a figure from ${low} to ${high} ${answer.unit}`,
      entered === answer.unit ? value : `${value} ${entered}`,
    );
}

function checkCycles(list: readonly Partial<Component>[], add: Add): void {
  const byId = new Map(list.map((component) => [component.id, component] as const));
  list.forEach((component, i) => {
    const seen = new Set<unknown>();
    let here: Partial<Component> | undefined = component;
    while (here?.sitsIn !== undefined && !seen.has(here.id)) {
      seen.add(here.id);
      here = byId.get(here.sitsIn);
      if (here === component) {
        add(`components.${i}.sitsIn`, 'no circle: a part cannot sit in what sits in it', component.sitsIn);
        return;
      }
    }
  });
}
