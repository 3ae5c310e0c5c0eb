import type { Component, RecordOut, Said, SpillOut, StripOut, StripStep } from '../../shared/index.ts';
import { type CarJoint, fateOf, type SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { neighboursOf, type Scene, soakFrom } from './release-ladder.ts';
import { said } from './seizing.ts';
import { type Strip, stripOf } from './strip-order.ts';
import { readyOf } from './strip-ready.ts';
import { earlierOf, partingOf, RARE, type StepCore, spillsOf, stepOf } from './strip-step.ts';

/**
 * The sheet for the wall: what to record, what to have ready, every joint in order, what it takes and what breaks it.
 *
 * @param joints every joint of the car, from `carJoints`
 * @returns the sheet; no steps where nothing that is still fitted comes off
 */
export function stripDown(joints: readonly CarJoint[], input: SheetInput): StripOut {
  const { assessment, rubric } = input;
  const strip = stripOf(joints, input);
  const coming = assessment.components.filter((c) => c.stage === 'fitted' && isTouched(c, strip));
  const steps = numbered(coresOf(strip, joints, input), joints, input);
  const off = joints.filter(({ component }) => component.stage !== 'fitted');
  const run = [...strip.undo.map(({ joint }) => joint), ...off].flatMap((joint) =>
    spillsOf(joint, input).map((spill) => ({ spill, joint })),
  );
  const charges = chargesOf(coming, input);
  const said1 = (list: readonly { text: string; from: string }[]) => list.map((line) => line.text);
  return {
    cautions: cautionsOf(rubric.release.cautions, input),
    records: coming.flatMap((component) => recordOf(component, input)),
    soak: soakOf(steps, input),
    steps,
    staysOn: strip.stays,
    alreadyOff: strip.off,
    alignment: assessment.components.flatMap((component) =>
      (component.positions ?? [])
        .filter(({ trust }) => trust === 'not-to-be-trusted')
        .map(({ what, found, because }) => ({
          component: component.id,
          name: component.name,
          what,
          found,
          because: because ?? 'An earlier hand set it; it is set by data, not copied',
        })),
    ),
    earlier: off.flatMap((joint) =>
      earlierOf(joint, input).map((left) => ({
        component: joint.component.id,
        name: joint.component.name,
        joint: joint.id,
        left,
      })),
    ),
    ready:
      steps.length === 0
        ? []
        : readyOf(
            steps,
            strip.undo.map(({ joint }) => joint),
            charges,
            input,
          ),
    beforeItMoves: refills(run),
    minutes: together(
      steps.map((step) => step.minutes),
      rubric.settings.correlation.value,
    ),
    notes: said1(
      rubric.release.firstOfAll.filter(
        (line) => line.whenCharges === undefined || line.whenCharges.some((id) => charges.has(id)),
      ),
    ),
  };
}

/** One line a fluid: where it runs out, how much at each joint, how it goes back. */
function refills(run: readonly { spill: SpillOut; joint: CarJoint }[]): string[] {
  const byFluid = new Map<string, { spill: SpillOut; where: Set<string> }>();
  for (const { spill, joint } of run) {
    const key = `${spill.fluid}|${spill.refill}`;
    const line = byFluid.get(key) ?? { spill, where: new Set<string>() };
    line.where.add(joint.component.name);
    byFluid.set(key, line);
  }
  return [...byFluid.values()].map(
    ({ spill, where }) =>
      `${spill.name}, ${litres(spill.litres.low)} to ${litres(spill.litres.high)} a joint, runs out at: ${[...where].join(', ')}. ${spill.refill}`,
  );
}

/** Litres or millilitres, as a person would say it. */
export function litres(amount: number): string {
  return amount < 0.1 ? `${Math.round(amount * 1000)} ml` : `${round(amount, 1)} l`;
}

function isTouched(component: Component, { undo }: Strip): boolean {
  return undo.some(({ joint }) => joint.component === component || joint.fastener === component);
}

/** Shared charges that taking these parts off needs. */
function chargesOf(coming: readonly Component[], { rubric }: SheetInput): Set<string> {
  return new Set(coming.flatMap((c) => rubric.kinds.find((kind) => kind.id === c.kind)?.charges ?? []));
}

/** Slackening on the wheels first, then everything in order, each with what is still fitted beside it. */
function coresOf({ undo }: Strip, joints: readonly CarJoint[], input: SheetInput): StepCore[] {
  const { scene, open } = sceneOf(joints, input);
  const cores: StepCore[] = [];
  for (const one of undo)
    if (one.joint.joint.onWheels) cores.push(stepOf(one, 'slacken', neighboursOf(one.joint, scene, input), input));
  for (const one of undo) {
    cores.push(stepOf(one, 'undo', neighboursOf(one.joint, scene, input), input));
    open(one.joint);
  }
  return cores;
}

/** The car before the first step, and what opens a joint on it. */
function sceneOf(joints: readonly CarJoint[], input: SheetInput): { scene: Scene; open: (joint: CarJoint) => void } {
  const { components } = input.assessment;
  const fitted = joints.filter(({ component }) => component.stage === 'fitted');
  const closed = new Set(fitted.map(({ id }) => id));
  const byPart = groupBy(fitted, ({ component }) => component.id);
  const byArea = groupBy(components, ({ area }) => area ?? '');
  const sitting = groupBy(components, ({ sitsIn, takenOut }) => (takenOut ? '' : (sitsIn ?? '')));
  const byId = new Map(components.map((component) => [component.id, component]));
  const left = new Map([...byPart].map(([id, own]) => [id, own.length]));
  const jointsOf = (component: Component) => byPart.get(component.id) ?? [];
  const scene: Scene = {
    jointsOf,
    inArea: (area) => (area === undefined ? [] : (byArea.get(area) ?? [])),
    inside: (component) => [
      ...(sitting.get(component.id) ?? []),
      ...(component.sitsIn === undefined ? [] : [byId.get(component.sitsIn)!]),
    ],
    // A part is on the car until its last joint is undone; one without joints of its own goes with what it sits in.
    isOn: (component) =>
      component.stage === 'fitted' &&
      (!fateOf(component, input).comesOff || jointsOf(component).length === 0 || left.get(component.id)! > 0),
    isClosed: ({ id }) => closed.has(id),
  };
  const open = ({ id, component }: CarJoint) => {
    if (closed.delete(id)) left.set(component.id, left.get(component.id)! - 1);
  };
  return { scene, open };
}

function groupBy<T>(all: readonly T[], keyOf: (one: T) => string): Map<string, T[]> {
  const out = new Map<string, T[]>();
  for (const one of all) {
    const list = out.get(keyOf(one));
    if (list) list.push(one);
    else out.set(keyOf(one), [one]);
  }
  return out;
}

function numbered(cores: readonly StepCore[], joints: readonly CarJoint[], input: SheetInput): StripStep[] {
  const told = new Set(input.rubric.release.cautions);
  const placed = new Set<string>();
  const ids = new Set(cores.map((core) => core.id));
  const byId = new Map(joints.map((joint) => [joint.id, joint]));
  return cores.map((core, i): StripStep => {
    const joint = byId.get(core.id)!;
    const isFirst = !placed.has(core.component);
    placed.add(core.component);
    return {
      n: i + 1,
      ...core,
      positions: isFirst ? core.positions : [],
      after: joint.before.filter((id) => ids.has(id)),
      cautions: newCautions(core, joint, told, input),
    };
  });
}

/** Cautions that this step is the first to need. */
function newCautions(core: StepCore, joint: CarJoint, told: Set<string>, input: SheetInput): Said[] {
  const { release } = input.rubric;
  const rungs = core.ladder.filter((rung) => rung.reached >= RARE).map((rung) => rung.id);
  const parting = core.parting.length > 0 ? (partingOf(joint, input.rubric)?.cautions ?? []) : [];
  const needed = [
    ...(core.does === 'undo' ? (joint.kind.cautions ?? []).filter((id) => !release.notAtStrip.includes(id)) : []),
    ...release.rungs.filter((rung) => rungs.includes(rung.id)).flatMap((rung) => rung.cautions ?? []),
    ...parting,
  ].filter((id) => !told.has(id));
  for (const id of needed) told.add(id);
  return cautionsOf([...new Set(needed)], input);
}

/** One-line cautions of the rubric. */
export function cautionsOf(ids: readonly string[], { rubric }: SheetInput): Said[] {
  return ids.flatMap((id) => {
    const caution = rubric.cautions.find((entry) => entry.id === id);
    return caution ? [said(rubric, `cautions.${id}`, caution.text, caution.from)] : [];
  });
}

function recordOf(component: Component, { rubric }: SheetInput): RecordOut[] {
  const kind = rubric.kinds.find((entry) => entry.id === component.kind);
  if (!kind) return [];
  return [
    { component: component.id, name: component.name, record: [...kind.record], photograph: [...kind.photograph] },
  ];
}

function soakOf(steps: readonly StripStep[], input: SheetInput): StripOut['soak'] {
  const first = new Map<string, StripStep>();
  for (const step of steps) if (!first.has(step.id)) first.set(step.id, step);
  return [...first.values()].flatMap((step) => {
    const rung = step.ladder.find((r) => r.id === 'soak' || waitOf(r.id, input) > 0);
    if (!rung || rung.barred.length > 0 || step.seized.chance.usual < soakFrom(input)) return [];
    return [{ step: step.id, name: step.name, hours: waitOf(rung.id, input), text: `seized: ${step.seized.words}` }];
  });
}

function waitOf(rung: string, { rubric }: SheetInput): number {
  return rubric.release.rungs.find((rule) => rule.id === rung)?.waitHours ?? 0;
}

/** Minutes of steps that run late partly together: the sum of the usual, with spreads joined by one correlation. */
export function together(all: readonly StripStep['minutes'][], correlation: number): StripStep['minutes'] {
  const usual = all.reduce((sum, m) => sum + m.usual, 0);
  const side = (of: (m: StripStep['minutes']) => number) => {
    const plain = all.reduce((sum, m) => sum + of(m), 0);
    const squares = all.reduce((sum, m) => sum + of(m) * of(m), 0);
    return Math.sqrt(squares + correlation * (plain * plain - squares));
  };
  return {
    low: Math.round(Math.max(0, usual - side((m) => m.usual - m.low))),
    usual: Math.round(usual),
    high: Math.round(usual + side((m) => m.high - m.usual)),
  };
}
