import type { Component, Fault, Joint, Rubric } from '../../shared/index.ts';
import { parseThread, propertyClass } from '../standards/index.ts';

/** Says that something is wrong: path, what was wanted, what was found. */
export type Say = (path: string, wanted: string, found: unknown) => void;

/** Ids that joints may name. */
export interface JointIds {
  hardware: ReadonlySet<string>;
  partings: ReadonlySet<string>;
  /** Fluids by id, with the words that `catches` uses for them, and whether a joint must say how much runs out. */
  fluids: ReadonlyMap<string, { words: readonly string[]; usual?: unknown }>;
  /** Words for fixings without a thread. */
  fixings: readonly string[];
  checks: ReadonlySet<string>;
}

/** Ids of a rubric that joints may name, for a component of this kind. */
export function jointIdsOf(rubric: Rubric, checks: readonly { id: string }[]): JointIds {
  return {
    hardware: new Set(rubric.hardware.map((h) => h.id)),
    partings: new Set(rubric.release.partings.map((p) => p.id)),
    fluids: new Map(rubric.consumables.flatMap((c) => (c.fluid ? [[c.id, c.fluid] as const] : []))),
    fixings: rubric.release.fixings.map((f) => f.word),
    checks: new Set(checks.map((c) => c.id)),
  };
}

/** A bolt's class or grade, or a nut's class after ISO 898-2: `nut 8`, or a bare number beside a metric thread. */
export function isFastenerClass(id: string, diameterMm: number): boolean {
  return /^(?:nut )?(?:04|05|5|6|8|10|12)$/.test(id) || propertyClass(id, diameterMm) !== null;
}

/** A joint by itself: size, class, fluids with their amounts, ids. Joints may be half written, so nothing is trusted. */
export function checkJoint(joint: Partial<Joint>, path: string, ids: JointIds, say: Say): void {
  const thread = typeof joint.thread === 'string' ? parseThread(joint.thread) : null;
  const text = String(joint.thread).toLowerCase();
  if (typeof joint.thread === 'string' && !thread && !ids.fixings.some((word) => text.includes(word)))
    say(`${path}.thread`, 'a thread such as M10x1.5 or 3/8-24 UNF', joint.thread);
  if (typeof joint.class === 'string' && !isFastenerClass(joint.class, thread?.diameterMm ?? 10))
    say(`${path}.class`, 'a property class or grade such as 8.8 or S', joint.class);
  const each = (field: string, list: readonly string[] | undefined, known: ReadonlySet<string>, wanted: string) => {
    if (Array.isArray(list))
      list.forEach((id, i) => {
        if (!known.has(id)) say(`${path}.${field}.${i}`, wanted, id);
      });
  };
  each('hardware', joint.hardware, ids.hardware, 'an id of hardware.yaml');
  each('loses', joint.loses, ids.hardware, 'an id of hardware.yaml');
  each('rust', joint.rust, ids.checks, 'a check of this kind');
  if (joint.parting !== undefined && !ids.partings.has(joint.parting))
    say(`${path}.parting`, `one of ${[...ids.partings].join(', ')}`, joint.parting);
  const spills = Array.isArray(joint.spills) ? joint.spills : [];
  spills.forEach((spill, i) => {
    if (typeof spill?.fluid === 'string' && !ids.fluids.has(spill.fluid))
      say(`${path}.spills.${i}.fluid`, `one of ${[...ids.fluids.keys()].join(', ')}`, spill.fluid);
  });
  (Array.isArray(joint.catches) ? joint.catches : []).forEach((caught, i) => {
    const fluid = typeof caught === 'string' ? fluidOf(caught, ids) : null;
    if (fluid !== null && !ids.fluids.get(fluid)!.usual && !spills.some((spill) => spill?.fluid === fluid))
      say(`${path}.spills`, `how many litres of ${fluid} run out, since catches.${i} says "${caught}"`, undefined);
  });
}

/** The fluid that a word of `catches` means, or null. */
function fluidOf(caught: string, { fluids }: JointIds): string | null {
  const words = caught.toLowerCase();
  for (const [id, { words: names }] of fluids) if (names.some((name) => words.includes(name.toLowerCase()))) return id;
  return null;
}

/** `undoBefore` inside one list of joints: known ids, no circle. */
export function checkOrder(joints: readonly Partial<Joint>[], path: string, say: Say): void {
  const before = new Map(joints.map((joint) => [joint.id, Array.isArray(joint.undoBefore) ? joint.undoBefore : []]));
  joints.forEach((joint, j) => {
    (before.get(joint.id) ?? []).forEach((id, k) => {
      if (!before.has(id)) say(`${path}.${j}.undoBefore.${k}`, 'another joint of this kind', id);
    });
    const seen = new Set<string>();
    const open = [...(before.get(joint.id) ?? [])];
    for (let id = open.pop(); id !== undefined; id = open.pop()) {
      if (id === joint.id) {
        say(
          `${path}.${j}.undoBefore`,
          'no circle: a joint cannot be undone before itself',
          joint.undoBefore?.join(', '),
        );
        return;
      }
      if (seen.has(id)) continue;
      seen.add(id);
      open.push(...(before.get(id) ?? []));
    }
  });
}

/** Joints of a component as they stand on this car: its own take the place of the kind's of the same id. */
export function jointsOf(component: Partial<Component>, kindJoints: readonly Joint[]): readonly Joint[] {
  const own = Array.isArray(component.joints) ? component.joints : [];
  const ids = new Set(own.map((joint) => joint?.id));
  return [...own, ...kindJoints.filter((joint) => !ids.has(joint.id))];
}

/** Fault of one file. */
export function sayer(faults: Fault[], file: string, show: (value: unknown) => string): Say {
  return (path, wanted, found) => {
    faults.push({ file, path, wanted, found: show(found) });
  };
}
