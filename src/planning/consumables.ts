import type { Consumable, Operation } from '../../shared/index.ts';
import { paintLitres } from '../standards/index.ts';
import type { CarJoint, SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { rustOf } from './seizing.ts';
import { spillsOf } from './strip-step.ts';

/** Parts that an operation is done on in one's own shop. */
export interface Worked {
  operation: Operation;
  pieces: number;
  areaDm2: number;
}

/** What uses consumables up. */
export interface Uses {
  undone: readonly CarJoint[];
  refitted: readonly CarJoint[];
  worked: readonly Worked[];
  charges: ReadonlySet<string>;
  spilling: readonly CarJoint[];
}

/** One consumable with how much of it the job takes, in its own unit, and how that was reckoned. */
export interface ConsumableLine {
  consumable: Consumable;
  amount: number;
  because: string;
}

/**
 * How much of each consumable a job takes: from joints, from areas and films (volume solids x 10 / film, less what is
 * lost), from what runs out, and once a job.
 *
 * @returns consumables that are needed, in the rubric's order; amounts are not rounded up to packs
 */
export function consumablesOf(uses: Uses, input: SheetInput): ConsumableLine[] {
  return input.rubric.consumables.flatMap((consumable) => {
    const shares = consumable.takes.flatMap((takes) => sharesOf(consumable, takes, uses, input));
    const amount = shares.reduce((sum, share) => sum + share.amount, 0);
    if (amount <= 0) return [];
    const words = [...new Set(shares.filter((share) => share.amount > 0).map((share) => share.words))];
    return [{ consumable, amount, because: `${words.join('; ')}. ${consumable.because}` }];
  });
}

type Takes = Consumable['takes'][number];

function sharesOf(
  consumable: Consumable,
  takes: Takes,
  uses: Uses,
  input: SheetInput,
): { amount: number; words: string }[] {
  const out: { amount: number; words: string }[] = [];
  const threads = (joints: readonly CarJoint[]) => joints.filter(({ thread }) => thread !== null);
  const pieces = (joints: readonly CarJoint[]) => joints.reduce((sum, { count }) => sum + count, 0);
  if (takes.perJoint !== undefined && uses.undone.length > 0) {
    const joints = threads(uses.undone);
    const amount = joints.reduce(
      (sum, joint) => sum + joint.count * takes.perJoint! * (1 + (takes.perGrade ?? 0) * rustOf(joint, input).usual),
      0,
    );
    out.push({ amount, words: `${pieces(joints)} fasteners undone` });
  }
  if (takes.perRefit !== undefined && uses.refitted.length > 0) {
    const joints = threads(uses.refitted);
    out.push({ amount: pieces(joints) * takes.perRefit, words: `${pieces(joints)} fasteners closed again` });
  }
  const worked = uses.worked.filter(({ operation }) => takes.operations?.includes(operation.id));
  if (worked.length > 0) out.push(workedShare(takes, worked));
  if (takes.refills) out.push(refillShare(consumable, takes.refills.more, uses.spilling, input));
  if (takes.charges && takes.perJob !== undefined && takes.charges.some((id) => uses.charges.has(id)))
    out.push({ amount: takes.perJob, words: `${takes.charges.join(', ').replaceAll('-', ' ')}, once` });
  return out;
}

function workedShare(takes: Takes, worked: readonly Worked[]): { amount: number; words: string } {
  let amount = 0;
  for (const { operation, pieces, areaDm2 } of worked) {
    amount += (takes.perDm2 ?? 0) * areaDm2 + (takes.perPiece ?? 0) * pieces;
    const dftUm = takes.paint?.dftUm ?? operation.addsUm;
    if (takes.paint && dftUm !== undefined) {
      amount += paintLitres({ areaDm2, dftUm, volumeSolids: takes.paint.solids, lossFraction: takes.paint.loss });
    }
  }
  const area = round(
    worked.reduce((sum, w) => sum + w.areaDm2, 0),
    1,
  );
  const films = takes.paint ? [...new Set(worked.map((w) => takes.paint!.dftUm ?? w.operation.addsUm ?? 0))] : [];
  const film = films.length > 0 ? ` at ${films.join(', ')} um` : '';
  const pieces = worked.reduce((sum, w) => sum + w.pieces, 0);
  return { amount, words: `${area} dm2${film} on ${pieces} ${pieces === 1 ? 'piece' : 'pieces'}` };
}

function refillShare(consumable: Consumable, more: number, spilling: readonly CarJoint[], input: SheetInput) {
  const spills = spilling.flatMap((joint) =>
    spillsOf(joint, input).flatMap((spill) =>
      spill.fluid === consumable.id ? [spill.litres.usual * joint.count] : [],
    ),
  );
  const out = spills.reduce((sum, l) => sum + l, 0);
  return { amount: out * (1 + more), words: `about ${round(out, 2)} l runs out of ${spills.length} joints` };
}

/** An amount as it is asked for: `0.4 l`, `250 ml`, `3 kg`. */
export function amountWords(amount: number, unit: Consumable['unit']): string {
  if (unit === 'piece') return String(Math.ceil(amount - 1e-9));
  if (unit === 'l' && amount < 0.1) return `${Math.max(5, Math.round((amount * 1000) / 5) * 5)} ml`;
  const places = amount < 10 ? 1 : 0;
  return `${Math.max(round(amount, places), 0.1)} ${unit}`;
}

/** The packs that hold an amount, as bought: the fewest of the largest, then one that takes the rest. */
export function packsFor(amount: number, packs: readonly number[]): number {
  const sorted = [...packs].sort((a, b) => a - b);
  const largest = sorted.at(-1)!;
  const whole = Math.floor(amount / largest + 1e-9);
  const rest = amount - whole * largest;
  if (rest <= 1e-9) return round(whole * largest, 3);
  return round(whole * largest + sorted.find((pack) => pack >= rest - 1e-9)!, 3);
}
