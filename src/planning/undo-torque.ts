import type { Rubric, SpannerOut, StripStep } from '../../shared/index.ts';
import {
  barLengthM,
  breakingTorqueNm,
  minorDiameterMm,
  pitchDiameterMm,
  propertyClass,
  spannerFit,
  spannerFor,
  type Thread,
  tighteningTorqueForProof,
} from '../standards/index.ts';
import type { CarJoint, GradeSpan } from './joints.ts';
import { round } from './quantiles.ts';
import { atGrade, strengthLeft } from './seizing.ts';

/** Torques of a joint, Nm; null where thread or class allow none. */
export interface Torques {
  tightNm: number | null;
  from: string;
  /** Sound metal: begins to twist, comes off. */
  twistsNm: number | null;
  breaksNm: number | null;
  boltClass: string | null;
  classNote: string | null;
}

const BOLT_OF_NUT: Readonly<Record<string, string>> = { 5: '5.8', 6: '6.8', 8: '8.8', 10: '10.9', 12: '12.9' };

/**
 * Class of the bolt (or stud) that twists, and what was assumed.
 *
 * A bare number beside a metric thread, or `nut 8`, is a nut class: it goes with the bolt class of the same first number
 * (ISO 898-2). No class at all is taken as the weakest.
 */
export function boltClassOf(
  thread: Thread,
  classId: string | undefined,
  rubric: Rubric,
): { id: string; note: string | null } {
  const nut = /^(?:nut )?(\d+)$/.exec(classId ?? '')?.[1];
  if (classId !== undefined && nut === undefined) return { id: classId, note: null };
  const isMetric = thread.series === 'M';
  if (nut !== undefined && !isMetric && !classId!.startsWith('nut')) return { id: classId!, note: null };
  const bolt = nut === undefined ? undefined : BOLT_OF_NUT[nut];
  if (bolt !== undefined && isMetric)
    return { id: bolt, note: `nut class ${nut}: its bolt taken as ${bolt} (ISO 898-2)` };
  const weakest = isMetric
    ? rubric.release.undoing.unmarkedClass.value
    : thread.series.startsWith('UN')
      ? 'SAE 1'
      : 'P';
  return { id: weakest, note: `class not known: taken as the weakest, ${weakest}` };
}

/** Torques of a joint from maker's data, else from three quarters of proof load dry. */
export function torquesOf({ thread, joint }: CarJoint, rubric: Rubric): Torques {
  const { undoing } = rubric.release;
  const known = joint.torqueNm ?? null;
  const none = { twistsNm: null, breaksNm: null, boltClass: null, classNote: null };
  if (!thread)
    return { tightNm: known, from: known === null ? 'no size, so no torque' : `stated ${known} Nm`, ...none };
  const { id, note } = boltClassOf(thread, joint.class, rubric);
  const reckoned = tighteningTorqueForProof(thread, id, undoing.proofShare.value, undoing.nutFactorDry.value);
  const tightNm = known ?? (reckoned === null ? null : round(reckoned, 0));
  const share = Math.round(undoing.proofShare.value * 100);
  const from =
    known !== null
      ? `stated ${known} Nm`
      : tightNm === null
        ? 'no proof load is published for this class'
        : `reckoned: ${share} % of proof, dry, ${tightNm} Nm (T = K D F)`;
  // The pipe twists long before its nut, so the nut's own figure would mislead.
  if (joint.locking === 'flare') return { tightNm, from, ...none };
  return { tightNm, from, ...breaking(thread, id), boltClass: id, classNote: note };
}

function breaking(thread: Thread, id: string): { twistsNm: number | null; breaksNm: number | null } {
  const both = breakingTorqueNm(thread, id);
  if (both) return { twistsNm: both.yieldNm, breaksNm: both.plasticNm };
  // British letters give a tensile strength only: the same circle, full plastic.
  const tensile = propertyClass(id, thread.diameterMm)?.tensileMPa;
  if (tensile === undefined) return { twistsNm: null, breaksNm: null };
  const diameter = (pitchDiameterMm(thread) + minorDiameterMm(thread)) / 2;
  return { twistsNm: null, breaksNm: (Math.PI * diameter * diameter * diameter * tensile) / Math.sqrt(3) / 12_000 };
}

const N_PER_KG = 9.81;
// With twice the usual push to spare there is no need to count kilograms.
const BAR_TO_SPARE = 2;

/** What to put on the bar: torque to undo, torque that breaks, bar and push. */
export function torqueOut(joint: CarJoint, torques: Torques, rust: GradeSpan, rubric: Rubric): StripStep['torque'] {
  const { undoing } = rubric.release;
  const { tightNm, twistsNm, breaksNm } = torques;
  const at = (grade: number, point: 0 | 1 | 2) =>
    atGrade(
      undoing.factor.byGrade.map((row) => row[point]),
      grade,
    );
  const whole = (nm: number | null) => (nm === null ? null : nm < 20 ? round(nm, 1) : Math.round(nm));
  const undo =
    tightNm === null
      ? null
      : {
          low: whole(tightNm * at(rust.low, 0))!,
          usual: whole(tightNm * at(rust.usual, 1))!,
          high: whole(tightNm * at(rust.high, 2))!,
        };
  const { lengthsMm } = undoing.bars;
  const barMm =
    undo === null
      ? null
      : (lengthsMm.find((length) => barLengthM(undo.usual, undoing.push.value) * 1000 <= length) ?? lengthsMm.at(-1)!);
  const pushN = undo === null || barMm === null ? null : Math.round((undo.usual * 1000) / barMm);
  const left = joint.thread ? strengthLeft(joint.thread, rust.usual, rubric) : 1;
  const mostNm = breaksNm === null ? null : breaksNm * left * undoing.mostShare.value;
  const pushMostN = mostNm === null || barMm === null ? null : Math.round((mostNm * 1000) / barMm);
  return {
    undo,
    from: torques.from,
    twistsNm: whole(twistsNm),
    breaksNm: whole(breaksNm),
    classNote: torques.classNote,
    barMm,
    pushN,
    pushMostN,
    words: wordsOf(joint, { undo, barMm, pushN, pushMostN, breaksNm: whole(breaksNm), mostNm: whole(mostNm) }),
  };
}

interface Figures {
  undo: StripStep['torque']['undo'];
  barMm: number | null;
  pushN: number | null;
  pushMostN: number | null;
  breaksNm: number | null;
  mostNm: number | null;
}

function wordsOf({ joint }: CarJoint, { undo, barMm, pushN, pushMostN, breaksNm, mostNm }: Figures): string {
  if (undo === null) return 'No torque can be given: go by feel, and stop when it feels springy';
  const kg = (n: number) => Math.max(1, Math.round(n / N_PER_KG));
  const pull = `${undo.usual} Nm (${undo.low} to ${undo.high}) to undo: ${barMm} mm bar, about ${kg(pushN!)} kg of pull`;
  if (joint.locking === 'flare')
    return `${undo.usual} Nm to undo; the pipe twists long before the nut lets go, so no bar`;
  if (pushMostN === null || mostNm === null) return pull;
  if (pushMostN <= pushN!) {
    return `${undo.usual} Nm to undo, but once its thread has seized this one stands only ${mostNm} Nm, rust counted: soak, shock, to and fro, before force (sound metal breaks at ${breaksNm} Nm)`;
  }
  if (pushMostN > pushN! * BAR_TO_SPARE) return `${pull}. It stands ${mostNm} Nm, so a longer bar does it no harm`;
  return `${pull}; stop at ${kg(pushMostN)} kg (${mostNm} Nm), it breaks at ${breaksNm} Nm when sound`;
}

/** Spanners for a head: the usual one, those met on older or other heads, near fits of another system. */
export function spannersOf({ thread, joint }: CarJoint): SpannerOut[] {
  if (joint.headMm !== undefined) {
    return [{ stamp: `${joint.headMm} mm`, widthMm: joint.headMm, system: 'as stated', use: 'this' }];
  }
  if (!thread) return [];
  const usual = spannerFor(thread);
  if (usual === null) return [];
  const out: SpannerOut[] = [{ ...usual, widthMm: round(usual.widthMm, 2), use: 'this' }];
  const add = (spanner: ReturnType<typeof spannerFor>, use: SpannerOut['use']) => {
    if (spanner && !out.some((o) => o.stamp === spanner.stamp))
      out.push({ ...spanner, widthMm: round(spanner.widthMm, 2), use });
  };
  for (const system of thread.series === 'M' ? (['din-old', 'small'] as const) : (['whitworth-large'] as const))
    if (thread.series === 'M' || thread.series.startsWith('BS')) add(spannerFor(thread, system), 'also met');
  for (const near of NEAR_FITS) {
    const isOther = !near.stamp.endsWith(usual.stamp.split(' ').at(-1)!);
    if (isOther && spannerFit(near.widthMm, usual.widthMm).verdict === 'fits') add(near, 'near fit');
  }
  return out;
}

// Spanners of a common box in three systems, to find which of another system fits closely.
const NEAR_FITS = [
  ...[8, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 24, 27, 28, 30, 32, 33, 34, 36].map((widthMm) => ({
    stamp: `${widthMm} mm`,
    widthMm,
    system: 'metric',
  })),
  ...(
    [
      ['7/16', 11.1125],
      ['1/2', 12.7],
      ['9/16', 14.2875],
      ['5/8', 15.875],
      ['11/16', 17.4625],
      ['3/4', 19.05],
      ['13/16', 20.6375],
      ['15/16', 23.8125],
      ['1-1/8', 28.575],
    ] as const
  ).map(([size, widthMm]) => ({ stamp: `${size} AF`, widthMm, system: 'AF' })),
  ...(
    [
      ['1/4', 13.335],
      ['5/16', 15.24],
      ['3/8', 18.034],
      ['7/16', 20.828],
      ['1/2', 23.368],
      ['9/16', 25.654],
      ['5/8', 27.94],
      ['11/16', 30.48],
      ['3/4', 33.02],
    ] as const
  ).map(([size, widthMm]) => ({ stamp: `${size} W`, widthMm, system: 'BS 1083' })),
];
