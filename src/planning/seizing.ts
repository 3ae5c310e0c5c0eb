import type { Rubric, Said, StripStep } from '../../shared/index.ts';
import { readFrom } from '../engine/index.ts';
import { exp, minorDiameterMm, pitchDiameterMm } from '../standards/index.ts';
import type { CarJoint, GradeSpan, SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import type { Torques } from './undo-torque.ts';

/** A rule of the rubric as a sentence. */
export function said(rubric: Rubric, rule: string, text: string, from: string): Said {
  return { rule, text, ...readFrom(rubric, from) };
}

const LEAST = 0.1;
const MOST = 0.9;

/**
 * Rust grade of a fastener: what was seen of its thread, else of its head and a grade more, else what its car is like.
 *
 * @returns least, likeliest and worst grade, 0 to 5, and whether anybody saw it
 */
export function rustOf(joint: CarJoint, input: SheetInput): GradeSpan & { seen: 'thread' | 'head' | 'no' } {
  const spans = (component: string, checks: readonly string[] | undefined) =>
    (checks ?? []).flatMap((check) => input.gradeOf(component, check) ?? []);
  const { fastener, fastenerKind } = joint;
  const thread = [
    ...spans(joint.component.id, joint.joint.rust),
    ...(fastener ? spans(fastener.id, fastenerKind?.fastener?.rust) : []),
  ];
  if (thread.length > 0) return { ...worst(thread), seen: 'thread' };
  const heads = fastener ? spans(fastener.id, fastenerKind?.fastener?.heads) : [];
  if (heads.length > 0) {
    const head = worst(heads);
    return { low: head.low, usual: head.usual, high: Math.min(5, head.high + 1), seen: 'head' };
  }
  const { grades } = input.rubric.release.seizing.unseen;
  const car = quantilesOf(grades, input.rustiness);
  // One fastener may be a grade better or worse than its car.
  return {
    low: Math.max(0, car.low - 1),
    usual: car.usual,
    high: Math.min(5, Math.max(car.high, car.usual) + 1),
    seen: 'no',
  };
}

function worst(spans: readonly GradeSpan[]): GradeSpan {
  const most = (pick: (span: GradeSpan) => number) => Math.max(...spans.map(pick));
  return { low: most((s) => s.low), usual: most((s) => s.usual), high: most((s) => s.high) };
}

function quantilesOf(grades: readonly number[], chances: readonly number[]): GradeSpan {
  const total = chances.reduce((sum, p) => sum + p, 0);
  const at = (share: number) => {
    let sum = 0;
    for (const [i, p] of chances.entries()) {
      sum += p / total;
      if (sum >= share) return grades[i]!;
    }
    return grades.at(-1)!;
  };
  const mean = grades.reduce((sum, grade, i) => sum + grade * (chances[i]! / total), 0);
  return { low: at(LEAST), usual: mean, high: at(MOST) };
}

/** A figure of a table by whole grades, read between them. */
export function atGrade(table: readonly number[], grade: number): number {
  const below = Math.min(Math.floor(grade), table.length - 2);
  return table[below]! + (grade - below) * (table[below + 1]! - table[below]!);
}

// Reasons are read one after the other; M8 and the like keep their capital.
function inSentence(text: string): string {
  return /^[A-Z][a-z ]/.test(text) ? text[0]!.toLowerCase() + text.slice(1) : text;
}

interface Cause {
  id: string;
  points: number;
  text: string;
  from: string;
}

/** How likely a joint has seized, how likely it breaks on the way, and why. */
export function seizedOf(joint: CarJoint, torques: Torques, input: SheetInput): StripStep['seized'] {
  const { rubric } = input;
  const { seizing, undoing } = rubric.release;
  const rust = rustOf(joint, input);
  const causes = causesOf(joint, input);
  const fixed = causes.reduce((sum, cause) => sum + cause.points, seizing.base.value);
  const chanceAt = (grade: number) => 1 / (1 + exp(-(fixed + atGrade(seizing.rust.points, grade))));
  const heads = joint.fastener
    ? (joint.fastenerKind?.fastener?.heads ?? []).flatMap((check) => input.gradeOf(joint.fastener!.id, check) ?? [])
    : [];
  const breaksAt = (grade: number, pick: (span: GradeSpan) => number) => {
    const seized = chanceAt(grade);
    const ratio = ratioOf(joint, torques, grade, rubric);
    const broken = ratio === null ? 0.25 : undoing.breaks.byRatio.find((row) => ratio <= row.upTo)!.chance;
    const rounds = heads.length > 0 ? atGrade(undoing.rounds.byGrade, pick(worst(heads))) : 0;
    return 1 - (1 - seized * broken) * (1 - rounds);
  };
  const usual = chanceAt(rust.usual);
  const seen = {
    thread: `rust grade ${round(rust.usual, 1)} on the thread`,
    head: `rust grade ${round(rust.usual, 1)} on the head, thread not seen`,
    no: 'thread not seen: taken as rusty as the car',
  }[rust.seen];
  const all: Cause[] = [
    { id: 'rust', points: atGrade(seizing.rust.points, rust.usual), text: seen, from: seizing.rust.from },
    ...causes,
  ];
  return {
    chance: { low: round(chanceAt(rust.low), 2), usual: round(usual, 2), high: round(chanceAt(rust.high), 2) },
    breaks: {
      low: round(
        breaksAt(rust.low, (s) => s.low),
        2,
      ),
      usual: round(
        breaksAt(rust.usual, (s) => s.usual),
        2,
      ),
      high: round(
        breaksAt(rust.high, (s) => s.high),
        2,
      ),
    },
    words: seizing.words.find((row) => usual <= row.upTo)!.words,
    reasons: all
      .filter((cause) => cause.points !== 0)
      .sort((a, b) => Math.abs(b.points) - Math.abs(a.points) || (a.id < b.id ? -1 : 1))
      .map((cause) => said(rubric, `release.seizing.${cause.id}`, inSentence(cause.text), cause.from)),
  };
}

function causesOf({ thread, joint, hole }: CarJoint, { rubric, assessment }: SheetInput): Cause[] {
  const { seizing } = rubric.release;
  const causes: Cause[] = [];
  const add = (id: string, points: number, text: string, from: string) => causes.push({ id, points, text, from });
  if (thread) {
    const size = seizing.size.find((row) => thread.diameterMm <= row.toMm) ?? seizing.size.at(-1)!;
    add('size', size.points, size.because, size.from);
    if (joint.lengthMm !== undefined && joint.lengthMm > seizing.long.overDiameters * thread.diameterMm)
      add('long', seizing.long.points, seizing.long.because, seizing.long.from);
  }
  const { age, atmosphere } = seizing;
  if (assessment.ageYears !== undefined) {
    const points = Math.min(age.most, (age.perTenYears * assessment.ageYears) / 10);
    add('age', points, `${assessment.ageYears} years in use`, age.from);
  }
  const air = atmosphere.points[assessment.atmosphere] ?? 0;
  add('atmosphere', air, `air of category ${assessment.atmosphere}`, atmosphere.from);
  const locking = seizing.locking.find((row) => row.locking === joint.locking);
  if (locking) add('locking', locking.points, locking.because, locking.from);
  const ground = seizing.hole.find((row) => row.hole === hole);
  if (ground) add('hole', ground.points, ground.because, ground.from);
  const into = seizing.into.find((row) => joint.into !== undefined && row.into.includes(joint.into));
  if (into) add('into', into.points, into.because, into.from);
  return causes;
}

/** Torque that breaks what is left of the thread over the torque that a seized joint wants; null where either is unknown. */
function ratioOf({ thread }: CarJoint, torques: Torques, grade: number, rubric: Rubric): number | null {
  const { undoing } = rubric.release;
  if (!thread || torques.breaksNm === null || torques.tightNm === null) return null;
  const factor = atGrade(
    undoing.factor.byGrade.map(([, usual]) => usual),
    grade,
  );
  return (
    (torques.breaksNm * strengthLeft(thread, grade, rubric)) / (torques.tightNm * factor * undoing.seizedFactor.value)
  );
}

/** Share of the twisting strength of a thread that rust of a grade leaves: the cube of the diameter left. */
export function strengthLeft(thread: NonNullable<CarJoint['thread']>, grade: number, rubric: Rubric): number {
  const diameter = (pitchDiameterMm(thread) + minorDiameterMm(thread)) / 2;
  const left = Math.max(0, 1 - (2 * atGrade(rubric.release.undoing.lossMm.byGrade, grade)) / diameter);
  return left * left * left;
}
