import type {
  Assessment,
  Component,
  FixingRule,
  Joint,
  Kind,
  PlannedPart,
  Rubric,
  ThreadHole,
} from '../../shared/index.ts';
import { parseThread, type Thread } from '../standards/index.ts';

/** What the sheets are made from. Everything has been checked before. */
export interface SheetInput {
  rubric: Rubric;
  assessment: Assessment;
  parts: readonly PlannedPart[];
  /** Kind and planned groups of a component, looked up. */
  kindOf: (component: Component) => Kind;
  planned: (component: string) => readonly PlannedPart[];
  /** Components that are always bought new, by id, with the reason. */
  alwaysNew: ReadonlyMap<string, string>;
  /** Possible and seen grades of a check of a component: 0 to 5; null when nothing is known. */
  gradeOf: (component: string, check: string) => GradeSpan | null;
  /** Chance of each of the five steps of rustiness of the car. */
  rustiness: readonly number[];
  /** Units of the assessment's currency for one of the rubric's base currency. */
  perBase: number;
}

/** What is known of a grade: least, likeliest, worst. */
export interface GradeSpan {
  low: number;
  usual: number;
  high: number;
}

/** What becomes of a component. */
export interface Fate {
  comesOff: boolean;
  /** Every piece of it is bought new. */
  isScrap: boolean;
  /** In words, for the sheet. */
  why: string;
}

/** One joint of this car with all that hangs on it. */
export interface CarJoint {
  /** `component.joint`. */
  id: string;
  component: Component;
  kind: Kind;
  joint: Joint;
  thread: Thread | null;
  fixing: FixingRule | null;
  hole: ThreadHole | null;
  count: number;
  /** The component that is its bolt, nut or stud, and that one's kind. */
  fastener: Component | null;
  fastenerKind: Kind | null;
  /** Always-new hardware it takes, without what is bought as the fastener itself. */
  hardware: string[];
  /** The bolt, or its nut, is bought new whatever happens. */
  isBoltNew: boolean;
  isNutNew: boolean;
  /** Ids, of other components too, that are undone before it. */
  before: string[];
  /** Other names of the same joint. */
  aliases: string[];
}

/** Name of the joint that a fastener kind has by itself. */
const OWN = 'own';
const NUT_LOCKINGS: readonly string[] = ['nylon', 'all-metal', 'split-pin', 'staked'];
const NUT_HARDWARE: readonly (string | undefined)[] = ['nut'];

/** Every joint of the assessment, each once, in the order of its components. */
export function carJoints(input: SheetInput): CarJoint[] {
  const { assessment, kindOf } = input;
  const fasteners = new Map(
    assessment.components.flatMap((c) => [c.fastens ?? []].flat().map((id) => [id, c] as const)),
  );
  const all = assessment.components.flatMap((component) => {
    if (component.fastens) return [];
    const kind = kindOf(component);
    return jointsOn(component, kind).map((joint) => {
      const fastener = kind.fastener ? component : (fasteners.get(`${component.id}.${joint.id}`) ?? null);
      return carJoint(input, component, kind, joint, fastener, fastener ? kindOf(fastener) : null);
    });
  });
  return merged(all);
}

/** Joints of a component as they are on this car: its own take the place of those of the kind. */
function jointsOn(component: Component, kind: Kind): Joint[] {
  const own = component.joints ?? [];
  const ids = new Set(own.map((joint) => joint.id));
  const listed = [...kind.joints.filter((joint) => !ids.has(joint.id)), ...own];
  if (!kind.fastener) return listed;
  const { thread, class: classId, lengthMm, locking } = component.properties ?? {};
  const properties: Partial<Joint> = {
    ...(typeof thread === 'string' ? { thread } : {}),
    ...(classId === undefined ? {} : { class: String(classId) }),
    ...(typeof lengthMm === 'number' ? { lengthMm } : {}),
    ...(typeof locking === 'string' ? { locking: lockingOf(locking) } : {}),
  };
  const bare: Joint = { id: OWN, name: component.name, thread: 'size not stated', hand: 'right', locking: 'none' };
  return (listed.length > 0 ? listed : [bare]).map((joint) => {
    const isLockChanged = properties.locking !== undefined && properties.locking !== joint.locking;
    const { hardware: _, ...rest } = joint;
    return { ...(isLockChanged ? rest : joint), ...properties };
  });
}

function lockingOf(word: string): Joint['locking'] {
  if (word === 'deformed') return 'all-metal';
  if (word === 'torque-to-yield') return 'none';
  const known: readonly string[] = [...NUT_LOCKINGS, 'tab-washer', 'adhesive', 'spring-washer', 'lock-wire', 'flare'];
  return known.includes(word) ? (word as Joint['locking']) : 'none';
}

function carJoint(
  { rubric, alwaysNew, planned }: SheetInput,
  component: Component,
  kind: Kind,
  stated: Joint,
  fastener: Component | null,
  fastenerKind: Kind | null,
): CarJoint {
  const properties = fastener && fastener !== component ? (fastener.properties ?? {}) : {};
  const joint: Joint = {
    ...stated,
    ...(typeof properties.thread === 'string' ? { thread: properties.thread } : {}),
    ...(properties.class === undefined ? {} : { class: String(properties.class) }),
    ...(typeof properties.lengthMm === 'number' ? { lengthMm: properties.lengthMm } : {}),
  };
  const isNut =
    (fastenerKind?.fastener?.is === 'nut' || String(joint.class ?? '').startsWith('nut')) && fastener !== null;
  const isNewItself = fastener !== null && isReplaced(fastener, planned(fastener.id), alwaysNew);
  const listed = joint.hardware ?? rubric.release.lockings.find((l) => l.id === joint.locking)?.hardware ?? [];
  const sortOf = (id: string) => rubric.hardware.find((h) => h.id === id)?.is;
  const isBought = isNewItself || (fastener !== null && planned(fastener.id).some((part) => part.action === 'replace'));
  const hardware = listed.filter((id) => !(isBought && sortOf(id) === (isNut ? 'nut' : 'bolt')));
  const takesNut = listed.some((id) => NUT_HARDWARE.includes(sortOf(id)));
  const fixing = rubric.release.fixings.find((f) => joint.thread.toLowerCase().includes(f.word)) ?? null;
  const thread = parseThread(joint.thread);
  return {
    id: `${component.id}.${joint.id}`,
    component,
    kind,
    joint,
    thread,
    fixing: thread ? null : fixing,
    hole: joint.hole ?? holeOf(joint, takesNut, isNut),
    count: joint.count ?? (kind.fastener ? (component.count ?? 1) : countOf(fastener)),
    fastener,
    fastenerKind,
    hardware,
    isBoltNew: (isNewItself && !isNut) || listed.some((id) => sortOf(id) === 'bolt'),
    isNutNew: (isNewItself && isNut) || takesNut,
    before: (joint.undoBefore ?? []).map((id) => (id.includes('.') ? id : `${component.id}.${id}`)),
    aliases: [],
  };
}

// A set that fastens several joints is shared out among them; each joint then has the one it says, or one.
function countOf(fastener: Component | null): number {
  return fastener === null || Array.isArray(fastener.fastens) ? 1 : (fastener.count ?? 1);
}

function holeOf(joint: Joint, takesNut: boolean, isNut: boolean): ThreadHole | null {
  if (isNut) return 'stud';
  if (takesNut || NUT_LOCKINGS.includes(joint.locking)) return 'nut';
  return joint.into === undefined ? null : 'through';
}

function isReplaced(
  component: Component,
  own: readonly PlannedPart[],
  alwaysNew: ReadonlyMap<string, string>,
): boolean {
  if (alwaysNew.has(component.id)) return true;
  return own.length > 0 && own.every((part) => part.action === 'replace' && part.ifClear === null);
}

/**
 * Joints that two parts both name are one: the one that says so goes, and its name stands for the other. What must be
 * undone before either must be undone before the one that stays.
 */
function merged(all: readonly CarJoint[]): CarJoint[] {
  const nameOf = new Map<string, string>();
  const name = (id: string): string => (nameOf.has(id) ? name(nameOf.get(id)!) : id);
  for (const one of all) {
    const twin = (one.joint.sameAs ?? []).flatMap((other) => all.filter((two) => isTwin(two, other, one)))[0];
    // Two joints that each name the other must not both go.
    if (twin && name(twin.id) !== one.id) nameOf.set(one.id, twin.id);
  }
  const gone = all.filter(({ id }) => nameOf.has(id));
  return all
    .filter(({ id }) => !nameOf.has(id))
    .map((one) => {
      const others = gone.filter(({ id }) => name(id) === one.id);
      const before = [one, ...others].flatMap((joint) => joint.before.map(name)).filter((id) => id !== one.id);
      return { ...one, before: [...new Set(before)], aliases: others.map(({ id }) => id) };
    });
}

/** A bush is held by the bolt of what it sits in, not by any of its corner. */
function isTwin(two: CarJoint, other: string, one: CarJoint): boolean {
  const { sitsIn } = one.component;
  return two !== one && isNamed(two, other, one) && (sitsIn === undefined || two.component.id === sitsIn);
}

function isNamed({ id, kind, joint, component }: CarJoint, name: string, from: CarJoint): boolean {
  return id === name || (`${kind.id}.${joint.id}` === name && component.area === from.component.area);
}

/** What becomes of each component that is still on the car. */
export function fateOf(component: Component, { planned, alwaysNew }: SheetInput): Fate {
  if (alwaysNew.has(component.id)) return { comesOff: true, isScrap: true, why: 'always new' };
  const own = planned(component.id);
  const has = (action: PlannedPart['action']) => own.some((part) => part.action === action);
  const isScrap = own.length > 0 && own.every((part) => part.action === 'replace' && part.ifClear === null);
  const isOpen = own.some((part) => part.ifClear !== null);
  if (isScrap) return { comesOff: true, isScrap, why: 'comes off: replaced' };
  if (isOpen) return { comesOff: true, isScrap, why: 'comes off for a look: not decided before it' };
  if (has('replace')) return { comesOff: true, isScrap, why: 'comes off: some are replaced' };
  if (has('refinish')) return { comesOff: true, isScrap, why: 'comes off: refinished' };
  return { comesOff: false, isScrap: false, why: 'stays on: reused as it is' };
}

/** Where a joint is, as every sheet names it. */
export function placeOf(joint: CarJoint) {
  const { id, name, area = null } = joint.component;
  return { id: joint.id, component: id, componentName: name, area, name: jointName(joint) };
}

/** A joint in words: `Pivot bolt, right lower arm`. */
export function jointName({ component, kind, joint }: CarJoint): string {
  return kind.fastener && joint.id === OWN ? component.name : `${joint.name}, ${lowerFirst(component.name)}`;
}

function lowerFirst(text: string): string {
  return /^[A-Z][a-z]/.test(text) ? text[0]!.toLowerCase() + text.slice(1) : text;
}
