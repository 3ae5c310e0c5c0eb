import type { Assessment, Component, Kind, Operation, Rubric } from '../../shared/index.ts';
import { hydrogenRule } from '../standards/index.ts';
import { checkJoint, jointIdsOf, jointsOf } from './check-joints.ts';
import { type Add, array } from './check-references.ts';

/** Name of the joint that a fastener kind has by itself. */
export const OWN_JOINT = 'own';

type Parts = readonly Partial<Component>[];
type Kinds = ReadonlyMap<unknown, Kind>;

/** Joints and what hangs on them: sizes, fluids with amounts, order without a circle, what was found left, what went out. */
export function checkFastening(list: Parts, whole: Partial<Assessment>, rubric: Rubric, today: string, add: Add): void {
  const kinds: Kinds = new Map<unknown, Kind>(rubric.kinds.map((kind) => [kind.id, kind]));
  const joints = jointNames(list, kinds);
  list.forEach((component, c) => {
    const path = `components.${c}`;
    const ids = jointIdsOf(rubric, kinds.get(component.kind)?.checks ?? []);
    array(component.joints).forEach((joint, j) => {
      if (joint && typeof joint === 'object') checkJoint(joint, `${path}.joints.${j}`, ids, add);
    });
    for (const fastened of fastenedBy(component)) {
      if (fastened.startsWith(`${component.id}.`) || !joints.has(fastened))
        add(`${path}.fastens`, 'component.joint of another component', fastened);
    }
    array(component.foundLeft).forEach((left, i) => {
      const at = `${path}.foundLeft.${i}`;
      if (left?.joint !== undefined && !joints.has(`${component.id}.${left.joint}`))
        add(`${at}.joint`, 'a joint of this component', left.joint);
      if (left?.joint === undefined && !joints.has(`${component.id}.${OWN_JOINT}`))
        add(`${at}.joint`, 'a joint of this component', undefined);
      if (typeof left?.date === 'string' && left.date > today)
        add(`${at}.date`, `a date not after ${today}`, left.date);
    });
  });
  checkFastensTwice(list, add);
  checkUndoOrder(list, kinds, joints, add);
  checkSent(list, whole, rubric, kinds, today, add);
}

/** Every `component.joint` there is. */
function jointNames(list: Parts, kinds: Kinds): Set<string> {
  return new Set(
    list.flatMap((component) => {
      const kind = kinds.get(component.kind);
      const own = kind?.fastener && kind.joints.length === 0 ? [`${component.id}.${OWN_JOINT}`] : [];
      return [...own, ...jointsOf(component, kind?.joints ?? []).map((joint) => `${component.id}.${joint?.id}`)];
    }),
  );
}

function checkFastensTwice(list: Parts, add: Add): void {
  const first = new Map<string, number>();
  list.forEach((component, c) => {
    for (const fastened of fastenedBy(component)) {
      const before = first.get(fastened);
      if (before === undefined) first.set(fastened, c);
      else add(`components.${c}.fastens`, `a joint that components.${before} does not fasten`, fastened);
    }
  });
}

/** Joints that a component is the bolt, nut or stud of. */
function fastenedBy({ fastens }: Partial<Component>): string[] {
  return [fastens ?? []].flat().filter((id) => typeof id === 'string');
}

function checkUndoOrder(list: Parts, kinds: Kinds, joints: ReadonlySet<string>, add: Add): void {
  const before = new Map<string, readonly string[]>();
  const places = new Map<string, string>();
  list.forEach((component, c) => {
    for (const joint of jointsOf(component, kinds.get(component.kind)?.joints ?? [])) {
      if (!joint || typeof joint !== 'object') continue;
      const name = `${component.id}.${joint.id}`;
      const own = array(component.joints).indexOf(joint);
      const wanted = array(joint.undoBefore).map((id) =>
        String(id).includes('.') ? String(id) : `${component.id}.${id}`,
      );
      before.set(name, wanted);
      places.set(name, own < 0 ? `components.${c}.joints` : `components.${c}.joints.${own}.undoBefore`);
      if (own >= 0)
        wanted.forEach((other, k) => {
          if (!joints.has(other))
            add(`components.${c}.joints.${own}.undoBefore.${k}`, 'a joint of this assessment', joint.undoBefore![k]);
        });
    }
  });
  for (const [name, wanted] of before) {
    if (reaches(name, before))
      add(places.get(name)!, 'no circle: a joint cannot be undone before itself', wanted.join(', '));
  }
}

function reaches(name: string, before: ReadonlyMap<string, readonly string[]>): boolean {
  const seen = new Set<string>();
  const open = [...(before.get(name) ?? [])];
  for (let id = open.pop(); id !== undefined; id = open.pop()) {
    if (id === name) return true;
    if (seen.has(id)) continue;
    seen.add(id);
    open.push(...(before.get(id) ?? []));
  }
  return false;
}

/** A tally must add up, and nothing may have gone where it is refused. */
function checkSent(
  list: Parts,
  whole: Partial<Assessment>,
  rubric: Rubric,
  kinds: Kinds,
  today: string,
  add: Add,
): void {
  const away = new Map<string, number>();
  array(whole.sent).forEach((sent, i) => {
    if (!sent || typeof sent !== 'object') return;
    const path = `sent.${i}`;
    const process = rubric.charges.processes.find((p) => p.id === sent.process);
    const component = list.find((c) => c.id === sent.component);
    if (!process)
      add(`${path}.process`, `one of ${rubric.charges.processes.map((p) => p.id).join(', ')}`, sent.process);
    if (!component) add(`${path}.component`, 'a component of this assessment', sent.component);
    if (typeof sent.date === 'string' && sent.date > today) add(`${path}.date`, `a date not after ${today}`, sent.date);
    if (typeof sent.back === 'number' && sent.back > sent.out)
      add(`${path}.back`, `at most the ${sent.out} that went out`, sent.back);
    if (!component || !process) return;
    const key = `${sent.process}|${sent.component}`;
    const sum = (away.get(key) ?? 0) + (typeof sent.out === 'number' ? sent.out : 0);
    away.set(key, sum);
    const count = component.count ?? 1;
    if (sum > count) add(`${path}.out`, `at most ${count} in all, since there are no more of them`, sum);
    const why = refusedBy(component, kinds.get(component.kind), process.id, rubric);
    if (why !== null) add(`${path}.process`, `a process that takes this part: ${why}`, sent.process);
  });
}

/** Why no operation of a process suits a part, or null when one does. */
function refusedBy(component: Partial<Component>, kind: Kind | undefined, id: string, rubric: Rubric): string | null {
  if (!kind) return null;
  const process = rubric.charges.processes.find((p) => p.id === id)!;
  const material = component.material ?? kind.material;
  if (!process.takes.includes(material))
    return `${process.name} does not take ${material}, it refuses ${process.refuses}`;
  const operations = rubric.operations.filter((operation) => operation.process === id);
  const reasons = operations.map((operation) => harmOf(component, kind, operation));
  return operations.length > 0 && reasons.every((reason) => reason !== null) ? reasons[0]! : null;
}

function harmOf(component: Partial<Component>, kind: Kind, operation: Operation): string | null {
  const harm = kind.mustNotMeet.find(
    (h) =>
      !h.when && operation.meets.includes(h.harm) && !(h.harm === 'heat' && (operation.heatC ?? 0) <= (h.aboveC ?? 0)),
  );
  if (harm) return harm.because;
  const { class: classId, hardnessHV } = component.properties ?? {};
  if (!operation.meets.includes('hydrogen') || (classId === undefined && typeof hardnessHV !== 'number')) return null;
  const rule = hydrogenRule({
    ...(classId === undefined ? {} : { classId: String(classId) }),
    ...(typeof hardnessHV === 'number' && hardnessHV > 0 ? { hardnessHV } : {}),
  });
  return rule?.refuse || rule?.iso4042 === 'bake' ? rule.because : null;
}
