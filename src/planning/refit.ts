import type { RefitOut, RefitStep, StripOut } from '../../shared/index.ts';
import { tighteningTorqueForProof } from '../standards/index.ts';
import { type CarJoint, placeOf, type SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { said } from './seizing.ts';
import { cautionsOf } from './strip-down.ts';
import { stripOf } from './strip-order.ts';
import { jointOut, partingOf, spillsOf } from './strip-step.ts';
import { boltClassOf } from './undo-torque.ts';

/**
 * The strip-down turned round: every joint that is undone now or already, last off first on, with what goes in new, its
 * torque, what waits for ride height, and what must be done and looked at before the car is driven.
 */
export function refitOf(joints: readonly CarJoint[], strip: StripOut, input: SheetInput): RefitOut {
  const { rubric, assessment } = input;
  const open = joints.filter(({ component }) => component.stage !== 'fitted');
  const undone = strip.steps.filter((step) => step.does === 'undo').map((step) => step.id);
  const order = orderOf(joints, undone, open, input);
  const told = new Set(rubric.release.cautions);
  const placed = new Set<string>();
  const steps = order.map((joint, i): RefitStep => {
    const step = stepOf(joint, i + 1, told, input);
    const isFirst = !placed.has(joint.component.id);
    placed.add(joint.component.id);
    return isFirst ? step : { ...step, positions: [] };
  });
  const paid = new Set(assessment.chargesPaid ?? []);
  const charges = new Set(order.flatMap(({ kind }) => kind.charges ?? []).filter((id) => !paid.has(id)));
  const cautions = new Set(order.flatMap(({ kind }) => kind.cautions ?? []));
  const { release } = rubric;
  const fluids = [...new Set(order.flatMap((joint) => spillsOf(joint, input).map((s) => `${s.name}: ${s.refill}`)))];
  return {
    steps,
    atRideHeight: steps
      .filter((step) => step.tighten === 'ride-height')
      .map((step) => ({ step: step.id, name: step.name, torque: step.torque })),
    afterwards: [
      ...fluids.map((text) => said(rubric, 'joint.spills', text, 'common-practice')),
      ...release.afterwards
        .filter((line) => charges.has(line.charge))
        .map((line) => said(rubric, `release.afterwards.${line.charge}`, line.text, line.from)),
    ],
    alignment: strip.alignment.map(
      ({ name, what, found, because }) =>
        `${name}, ${what}: found ${found}. NOT put back: ${because}. Set by data or gauge.`,
    ),
    beforeDriving:
      steps.length === 0
        ? []
        : release.beforeDriving
            .filter(
              (line) =>
                (line.whenCharges === undefined && line.whenCautions === undefined) ||
                (line.whenCharges ?? []).some((id) => charges.has(id)) ||
                (line.whenCautions ?? []).some((id) => cautions.has(id)),
            )
            .map((line) => said(rubric, `release.before-driving.${line.id}`, line.text, line.from)),
    notes: [
      "The maker's figure goes before any on this sheet; a reckoned one is a guide for a clean dry thread of that class.",
      'A figure for dry threads on oiled ones overloads the bolt by about a third: keep the thread as the figure wants it.',
      'Start every thread by fingers, three turns, before a tool goes on it.',
    ],
  };
}

/** Both sides in one order: as if everything that is off were still to be taken off, turned round. */
function orderOf(
  joints: readonly CarJoint[],
  undone: readonly string[],
  open: readonly CarJoint[],
  input: SheetInput,
): CarJoint[] {
  const wanted = new Set([...undone, ...open.map(({ id }) => id)]);
  const all = joints.filter(({ id }) => wanted.has(id));
  const asFitted = all.map((joint) => ({ ...joint, component: { ...joint.component, stage: 'fitted' as const } }));
  const everything = new Map(asFitted.map((joint) => [joint.id, joint]));
  const { undo } = stripOf(asFitted, {
    ...input,
    parts: [],
    alwaysNew: new Map(asFitted.map((j) => [j.component.id, ''])),
  });
  return undo.map(({ joint }) => everything.get(joint.id)!).reverse();
}

function stepOf(joint: CarJoint, n: number, told: Set<string>, input: SheetInput): RefitStep {
  const { rubric } = input;
  const locking = rubric.release.lockings.find((rule) => rule.id === joint.joint.locking);
  const parting = partingOf(joint, rubric);
  const needed = (joint.kind.cautions ?? []).filter((id) => !told.has(id) && !rubric.release.notAtRefit.includes(id));
  for (const id of needed) told.add(id);
  const isRideHeight = joint.joint.atRideHeight === true;
  return {
    n,
    ...placeOf(joint),
    joint: jointOut(joint, input),
    positions: (joint.component.positions ?? []).map(({ what, found, trust, because }) =>
      trust === 'not-to-be-trusted'
        ? `${what}: do not copy (${found}); set by data${because ? `. ${because}` : ''}`
        : `${what}: ${found}${trust === 'matches-data' ? ', as the data says' : ', as found'}`,
    ),
    newHardware: [...new Set([...joint.hardware, ...(joint.joint.loses ?? [])])].flatMap((id) => {
      const entry = rubric.hardware.find((h) => h.id === id);
      return entry ? [joint.count > 1 ? `${joint.count} x ${entry.name}` : entry.name] : [];
    }),
    torqueNm: joint.joint.torqueNm ?? null,
    torque: torqueWords(joint, input),
    tighten: isRideHeight ? 'ride-height' : 'now',
    lock: locking?.refit === undefined ? [] : [locking.refit],
    notes: [
      ...(isRideHeight ? ['Nipped up only; tightened with the car on its wheels, bounced and rolled'] : []),
      ...(parting?.refit === undefined ? [] : [parting.refit]),
      ...(joint.fixing?.refit === undefined ? [] : [joint.fixing.refit]),
      ...(joint.joint.refit ?? []),
      ...(joint.joint.counterhold === undefined ? [] : [joint.joint.counterhold]),
      ...(joint.joint.onWheels ? ['Final torque with the wheel on the ground and the brake held'] : []),
      ...(joint.joint.hand === 'left' ? ['LEFT-HAND thread: tighten anticlockwise'] : []),
      ...(joint.joint.into === 'light-alloy'
        ? ['Into light alloy: barrier paste on the shank, thread as the figure wants it']
        : []),
    ],
    cautions: cautionsOf(needed, input),
  };
}

/** Torque with how the thread must be; a reckoned one says so, and adds the drag of a lock nut in words. */
function torqueWords({ joint, thread, hole }: CarJoint, { rubric }: SheetInput): string {
  if (!thread) return 'no thread';
  const drag = ['nylon', 'all-metal'].includes(joint.locking) ? ', plus the drag of the nut on its thread' : '';
  const state =
    joint.lubrication === 'oiled'
      ? 'threads oiled'
      : joint.lubrication === 'dry'
        ? 'threads dry'
        : 'threads clean and dry unless the data says oiled';
  if (joint.torqueNm !== undefined) return `${joint.torqueNm} Nm, ${state}${drag}`;
  // A nut is tightened to what it holds, not to what its stud stands: a lock nut least of all.
  if (hole === 'stud') return "no figure here: the maker's figure only";
  const { proofShare, nutFactorDry } = rubric.release.undoing;
  const { id, note } = boltClassOf(thread, joint.class, rubric);
  if (note !== null && joint.class === undefined) return "no figure here and class not known: the maker's figure only";
  const reckoned = tighteningTorqueForProof(thread, id, proofShare.value, nutFactorDry.value);
  return reckoned === null
    ? "no figure here: the maker's figure only"
    : `no maker's figure here; guide ${round(reckoned, 0)} Nm for a clean dry ${thread.designation} ${id} in steel${drag}`;
}
