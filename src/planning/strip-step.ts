import type {
  EarlierOut,
  JointOut,
  PartingRule,
  Rubric,
  Rung,
  SpillOut,
  StripStep,
  ThreePoint,
} from '../../shared/index.ts';
import { type CarJoint, placeOf, type SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { expectedRung, ladderOf, type Neighbour } from './release-ladder.ts';
import { rustOf, said, seizedOf } from './seizing.ts';
import type { Undo } from './strip-order.ts';
import { spannersOf, torqueOut, torquesOf } from './undo-torque.ts';

/** One step without its number, its cautions and what must come before it: the sheet adds those. */
export type StepCore = Omit<StripStep, 'n' | 'after' | 'cautions'>;

/** Makes the step that undoes (or first slackens) one joint. */
export function stepOf(
  { joint, why, fate }: Undo,
  does: StripStep['does'],
  neighbours: readonly Neighbour[],
  input: SheetInput,
): StepCore {
  const { rubric } = input;
  const torques = torquesOf(joint, rubric);
  const seized = seizedOf(joint, torques, input);
  const rust = rustOf(joint, input);
  const whole = ladderOf(
    { joint, neighbours, seized: seized.chance.usual, boltClass: torques.boltClass, isScrapPart: fate.isScrap },
    input,
  );
  const isSecond = does === 'undo' && joint.joint.onWheels === true;
  // Slackened on its wheels already: what is left is to turn it off.
  const ladder = isSecond ? whole.filter((rung) => /spanner/.test(rung.id)) : whole;
  const parting = does === 'slacken' ? null : partingOf(joint, rubric);
  const locking = rubric.release.lockings.find((rule) => rule.id === joint.joint.locking);
  const isLockFirst = !isSecond && locking?.undo !== undefined;
  return {
    ...placeOf(joint),
    clamps: joint.joint.clamps ?? null,
    where: does === 'slacken' ? 'on-wheels' : 'on-stands',
    does,
    why,
    joint: jointOut(joint, input),
    record: isSecond ? [] : [...(joint.joint.record ?? []), ...recordsOf(joint, rubric)],
    photograph: isSecond ? [] : (joint.joint.photograph ?? []),
    positions: isSecond
      ? []
      : (joint.component.positions ?? []).map(({ what, found, trust, because }) => ({
          what,
          found,
          trust,
          because: because ?? null,
        })),
    hang: does === 'slacken' ? [] : hangOf(joint, input),
    spills: does === 'slacken' ? [] : spillsOf(joint, input),
    lockFirst: isLockFirst ? [locking!.undo!] : [],
    parting: parting ? [said(rubric, `release.parting.${parting.id}`, parting.text, parting.from)] : [],
    seized,
    torque: torqueOut(joint, torques, rust, rubric),
    spanners: spannersOf(joint),
    counterhold: joint.joint.counterhold ?? null,
    ladder,
    expect: expectedRung(ladder, input),
    minutes: piecesOf(
      minutesOf(ladder, [isLockFirst ? locking!.minutes : undefined, parting?.minutes]),
      joint.count,
      rubric.settings.correlation.value,
    ),
    scrapped: does === 'slacken' ? [] : scrappedOf(joint, input),
    earlier: isSecond ? [] : earlierOf(joint, input),
    ifItBreaks: isSecond ? null : breakageOf(joint, input),
  };
}

/** The joint as hardware, with its hand in words. */
export function jointOut({ joint, thread, count }: CarJoint, { rubric }: SheetInput): JointOut {
  const isLeftHand = joint.hand === 'left';
  return {
    thread: thread?.designation ?? null,
    class: joint.class ?? null,
    hand: !thread
      ? 'no thread'
      : isLeftHand
        ? 'LEFT-HAND thread: undo clockwise, as you look at the head or nut'
        : 'right-hand thread: undo anticlockwise',
    isLeftHand,
    locking: thread
      ? (rubric.release.lockings.find((rule) => rule.id === joint.locking)?.name ?? joint.locking)
      : joint.thread,
    count,
    lengthMm: joint.lengthMm ?? null,
  };
}

/** How the parts come asunder, or null. */
export function partingOf({ joint }: CarJoint, rubric: Rubric): PartingRule | null {
  return rubric.release.partings.find((rule) => rule.id === joint.parting) ?? null;
}

function recordsOf({ joint, hole, count, thread }: CarJoint, { release }: Rubric): string[] {
  if (!thread) return [];
  const holds: Readonly<Record<(typeof release.records)[number]['when'], boolean>> = {
    'through-bolt': hole === 'nut' && joint.lengthMm !== undefined,
    several: count > 1 && joint.lengthMm !== undefined,
    'ride-height': joint.atRideHeight === true,
    'left-hand': joint.hand === 'left',
    adjuster: false,
  };
  return release.records.filter((record) => holds[record.when]).map((record) => record.text);
}

/** What hangs on this joint, fluids apart. */
function hangOf(joint: CarJoint, input: SheetInput): string[] {
  return (joint.joint.catches ?? []).filter((caught) => fluidIn(caught, input) === null);
}

function fluidIn(caught: string, { rubric }: SheetInput): string | null {
  const words = caught.toLowerCase();
  const fluid = rubric.consumables.find((c) => c.fluid?.words.some((word) => words.includes(word.toLowerCase())));
  return fluid?.id ?? null;
}

/** What runs out of a joint, by what it says, else by what usually runs out. */
export function spillsOf(joint: CarJoint, input: SheetInput): SpillOut[] {
  const { rubric } = input;
  const told = joint.joint.spills ?? [];
  const guessed = (joint.joint.catches ?? []).flatMap((caught) => {
    const id = fluidIn(caught, input);
    const usual = rubric.consumables.find((c) => c.id === id)?.fluid?.usual;
    return id === null || !usual || told.some((spill) => spill.fluid === id)
      ? []
      : [{ fluid: id, litres: usual.litres, refill: usual.refill }];
  });
  return [...told, ...guessed].map(({ fluid, litres: [low, usual, high], refill }) => {
    const entry = rubric.consumables.find((c) => c.id === fluid);
    const caution = rubric.cautions.find((c) => c.id === entry?.fluid?.caution);
    return { fluid, name: entry?.name ?? fluid, litres: { low, usual, high }, refill, caution: caution?.text ?? null };
  });
}

function scrappedOf({ hardware, joint, count }: CarJoint, { rubric }: SheetInput): StripStep['scrapped'] {
  return [...new Set([...hardware, ...(joint.loses ?? [])])].flatMap((id) => {
    const entry = rubric.hardware.find((h) => h.id === id);
    return entry ? [{ what: entry.name, count, because: entry.because }] : [];
  });
}

/** What an earlier hand left at a joint, and what it costs now. */
export function earlierOf(joint: CarJoint, input: SheetInput): EarlierOut[] {
  const { rubric, perBase } = input;
  const left = [
    ...(joint.component.foundLeft ?? []).filter((found) => (found.joint ?? 'own') === joint.joint.id),
    ...(joint.fastener && joint.fastener !== joint.component ? (joint.fastener.foundLeft ?? []) : []),
  ];
  return left.flatMap(({ found, count, note }) => {
    const trouble = rubric.release.trouble.find((t) => t.when.includes(found) && fits(t.hole, joint));
    if (!trouble) return [];
    const text = note === undefined ? trouble.text : `${trouble.text}. ${note}`;
    return [{ found, count, text, hours: spread(trouble.hours, count), money: spread(trouble.money, count * perBase) }];
  });
}

function breakageOf(joint: CarJoint, { rubric, perBase }: SheetInput): StripStep['ifItBreaks'] {
  if (!joint.thread || joint.joint.locking === 'flare') return null;
  const trouble = rubric.release.trouble.find((t) => t.when.includes('breaks') && fits(t.hole, joint));
  return trouble
    ? { text: trouble.text, hours: spread(trouble.hours, 1), money: spread(trouble.money, perBase) }
    : null;
}

// Where nobody has said what the thread runs in, the dearer case is a tapped hole.
function fits(holes: readonly string[] | undefined, { hole }: CarJoint): boolean {
  return holes === undefined || holes.includes(hole ?? 'through');
}

/**
 * Minutes a piece: at best the spanner alone; usually each rung at its chance; at worst every rung that
 * is reached one time in ten.
 */
function minutesOf(ladder: readonly Rung[], extras: readonly (ThreePoint | undefined)[]): StripStep['minutes'] {
  const sum = { low: 0, usual: 0, high: 0 };
  for (const rung of ladder) {
    if (rung.reached >= 1) sum.low += rung.minutes.low;
    sum.usual += rung.reached * rung.minutes.usual;
    if (rung.reached >= RARE) sum.high += rung.minutes.high;
  }
  for (const extra of extras) {
    sum.low += extra?.[0] ?? 0;
    sum.usual += extra?.[1] ?? 0;
    sum.high += extra?.[2] ?? 0;
  }
  return sum;
}

/** Minutes of several like pieces: they go badly partly together, so their spread grows slower than their number. */
function piecesOf(one: StripStep['minutes'], count: number, correlation: number): StripStep['minutes'] {
  const spreads = Math.sqrt(count + correlation * (count * count - count));
  return {
    low: Math.round(one.usual * count - spreads * (one.usual - one.low)),
    usual: Math.round(one.usual * count),
    high: Math.round(one.usual * count + spreads * (one.high - one.usual)),
  };
}

/** Chance under which a rung is not counted on. */
export const RARE = 0.1;

/** A three-point figure times a factor, rounded to the minor unit. */
export function spread(
  [low, usual, high]: readonly [number, number, number],
  factor: number,
): {
  low: number;
  usual: number;
  high: number;
} {
  return { low: round(low * factor, 2), usual: round(usual * factor, 2), high: round(high * factor, 2) };
}
