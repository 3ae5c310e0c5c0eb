import type { Assessment } from '../../shared/index.ts';
import { type CarJoint, type Fate, fateOf, type SheetInput } from './joints.ts';

/** A joint to be undone, with why. */
export interface Undo {
  joint: CarJoint;
  why: string;
  fate: Fate;
}

/** What is undone, in order, and what may stay. */
export interface Strip {
  undo: Undo[];
  stays: { component: string; name: string; why: string }[];
  off: { component: string; name: string }[];
}

const LATEST = 50;
const OWN_JOINT = 'own';
// A set of fasteners that is judged by itself says nothing of what it holds, so that must stay put.
const ONE_BY_ONE = 'one out at a time, so that what it holds stays put';

/**
 * The joints to be undone in a sensible order: corner by corner, inside each by the kinds' own order, and never a joint
 * before those that must be undone before it.
 */
export function stripOf(joints: readonly CarJoint[], input: SheetInput): Strip {
  const { assessment } = input;
  const fates = new Map(assessment.components.map((component) => [component.id, fateOf(component, input)]));
  const off = assessment.components.filter((component) => component.stage !== 'fitted');
  const onCar = joints.filter(({ component }) => component.stage === 'fitted');
  const wanted = new Map<string, string>();
  for (const { id, component, fastener, kind, joint } of onCar) {
    const fate = fates.get(component.id)!;
    const own = fastener && fastener !== component && fastener.stage === 'fitted' ? fates.get(fastener.id)! : null;
    if (fate.comesOff)
      wanted.set(id, kind.fastener && joint.id === OWN_JOINT ? `${fate.why}; ${ONE_BY_ONE}` : fate.why);
    else if (own?.comesOff) wanted.set(id, `${component.name} stays; its fastener is changed, one at a time`);
  }
  addInTheWay(onCar, wanted);
  const undo = sorted(
    onCar.filter(({ id }) => wanted.has(id)),
    assessment,
  ).map((joint) => ({ joint, why: wanted.get(joint.id)!, fate: fates.get(joint.component.id)! }));
  const touched = new Set(undo.flatMap(({ joint }) => [joint.component.id, joint.fastener?.id]));
  const stays = assessment.components
    .filter((c) => c.stage === 'fitted' && !touched.has(c.id))
    .map((c) => ({
      component: c.id,
      name: c.name,
      why: fates.get(c.id)!.comesOff
        ? `${fates.get(c.id)!.why}; ${ridesWith(c.sitsIn, assessment)}`
        : fates.get(c.id)!.why,
    }));
  return { undo, stays, off: off.map((c) => ({ component: c.id, name: c.name })) };
}

function ridesWith(sitsIn: string | undefined, { components }: Assessment): string {
  const holder = components.find((c) => c.id === sitsIn);
  return holder ? `comes with ${holder.name} and is taken out on the bench` : 'no joint of it is named';
}

/** What stands in the way of a joint that is undone is undone too, however deep. */
function addInTheWay(joints: readonly CarJoint[], wanted: Map<string, string>): void {
  const byId = new Map(joints.map((joint) => [joint.id, joint]));
  const open = [...wanted.keys()];
  for (let id = open.pop(); id !== undefined; id = open.pop()) {
    const joint = byId.get(id);
    for (const other of joint?.before ?? []) {
      if (wanted.has(other) || !byId.has(other)) continue;
      wanted.set(other, `in the way of: ${joint!.joint.name.toLowerCase()}, ${joint!.component.name}`);
      open.push(other);
    }
  }
}

function sorted(joints: readonly CarJoint[], assessment: Assessment): CarJoint[] {
  const areas = new Map(assessment.areas.map((area, i) => [area.id, i]));
  const places = new Map(assessment.components.map((component, i) => [component.id, i]));
  const key = ({ component, kind }: CarJoint) => [
    component.area === undefined ? areas.size : (areas.get(component.area) ?? areas.size),
    kind.stripOrder ?? LATEST,
    places.get(component.id)!,
  ];
  const at = new Map(joints.map(({ id }, i) => [id, i]));
  const before = (a: CarJoint, b: CarJoint) => {
    const [x, y] = [key(a), key(b)];
    for (const [i, value] of x.entries()) if (value !== y[i]) return value - y[i]!;
    return at.get(a.id)! - at.get(b.id)!;
  };
  const left = [...joints].sort(before);
  const here = new Set(left.map((joint) => joint.id));
  const done = new Set<string>();
  const out: CarJoint[] = [];
  while (left.length > 0) {
    const next = left.findIndex((joint) => joint.before.every((id) => done.has(id) || !here.has(id)));
    // A circle has been refused when the assessment was checked; merged names must not hang the sheet either.
    const [joint] = left.splice(Math.max(next, 0), 1);
    done.add(joint!.id);
    out.push(joint!);
  }
  return out;
}
