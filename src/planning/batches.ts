import type { Batch, BatchPart, SharedChargeOut, ThreePoint } from '../../shared/index.ts';
import { cents, larger, type PreparedJob, plus, rangeOf } from '../engine/index.ts';
import { colourOf, metalOf } from './batch-id.ts';
import { madeBy, paidCharges, priced, processOf, sharedCharge } from './circumstances.ts';
import { type ChosenJob, COMES_WITH } from './decide-job.ts';
import { chancesOf, coursesOf, type Unit } from './units.ts';
import { sizeOf, type Visit } from './ways.ts';

interface Goer {
  unit: Unit;
  visit: Visit;
  chance: number;
}

const MOST_JOINERS = 5;

/** Parts that the plan sends out, by batch. */
export function goersOf(chosen: ChosenJob, job: PreparedJob): Map<string, Goer[]> {
  const out = new Map<string, Goer[]>();
  chosen.units.forEach((unit, u) => {
    const way = chosen.ways[u]!;
    if (way === COMES_WITH) return;
    const scale = unit.held ? 1 - unit.held.chance : 1;
    const { stretches } = chancesOf(unit, way, coursesOf(unit, job.sliders.finish));
    unit.ways[way]!.stretches.forEach((stretch, s) => {
      for (const visit of stretch.visits) {
        const chance = scale * stretches[s]!;
        if (chance > 0) out.set(visit.batch, [...(out.get(visit.batch) ?? []), { unit, visit, chance }]);
      }
    });
  });
  return out;
}

/** The batches of a job, in the order of their ids. */
export function batchesOf(chosen: ChosenJob, job: PreparedJob): Batch[] {
  const goers = goersOf(chosen, job);
  const handled = new Set<string>();
  return [...goers.keys()].sort().map((id): Batch => {
    const own = goers.get(id)!;
    const process = processOf(job, own[0]!.visit.process);
    const goesAnyway = (job.assessment.batchesGoing ?? []).includes(process.id);
    const minimum = priced(job, process.minimum);
    const setUp = priced(job, process.setUpPerColour);
    const work = plus(...own.map(({ visit }) => visit.work));
    const billOf = (quantity: ThreePoint): ThreePoint =>
      goesAnyway ? quantity : plus(larger(minimum, quantity), setUp);
    const bill = billOf(work);
    const usualBill = (quantity: number) => (goesAnyway ? quantity : Math.max(minimum[1], quantity) + setUp[1]);
    const aloneBill = (quantity: number) => Math.max(minimum[1], quantity) + setUp[1];
    const parts = own.map(({ unit, visit, chance }): BatchPart => {
      const { massKg, areaDm2 } = sizeOf(unit.prepared);
      const others = work[1] - visit.work[1];
      return {
        component: unit.part.component.id,
        group: unit.group,
        name: unit.part.component.name,
        pieces: unit.prepared.member.count,
        massKg: rangeOf(massKg),
        areaDm2: rangeOf(areaDm2),
        operation: visit.operation,
        chance: Math.round(chance * 1000) / 1000,
        adds: cents(own.length === 1 ? usualBill(work[1]) : usualBill(work[1]) - usualBill(others)),
        alone: cents(aloneBill(visit.work[1])),
      };
    });
    const last = own.reduce((a, b) => (b.visit.work[1] < a.visit.work[1] ? b : a));
    const pieceWork = last.visit.work[1] / last.unit.prepared.member.count;
    const isFirst = !handled.has(process.id);
    handled.add(process.id);
    const paysMinimum = !goesAnyway && work[1] < minimum[1];
    const total = (pick: (part: BatchPart) => number) => cents(parts.reduce((sum, part) => sum + pick(part), 0));
    return {
      id,
      process: process.id,
      name: process.name,
      colour: colourOf(job, process.id, own[0]!.unit.part.component),
      metal: metalOf(own[0]!.unit.prepared),
      parts,
      pieces: parts.reduce((sum, part) => sum + part.pieces, 0),
      massKg: total((part) => part.massKg.usual),
      areaDm2: total((part) => part.areaDm2.usual),
      minimum: rangeOf(goesAnyway ? [0, 0, 0] : minimum),
      work: rangeOf(work),
      setUp: rangeOf(goesAnyway ? [0, 0, 0] : setUp),
      bill: rangeOf(bill),
      handlingHours: rangeOf(isFirst && !goesAnyway ? process.handlingHours : [0, 0, 0]),
      leadDays: rangeOf(process.leadDays),
      paysMinimum,
      slack: paysMinimum ? cents(minimum[1] - work[1]) : 0,
      goesAnyway,
      oneMore: {
        text: `One more piece like ${last.unit.part.component.name}`,
        adds: cents(usualBill(work[1] + pieceWork) - usualBill(work[1])),
        alone: cents(aloneBill(pieceWork)),
      },
      couldJoin: joinersOf(
        chosen,
        job,
        id,
        own,
        (quantity) => usualBill(work[1] + quantity) - usualBill(work[1]),
        aloneBill,
      ),
      refuses: process.refuses,
      because: madeBy(job.rubric, `charges.${process.id}`, process.from),
    };
  });
}

/** Parts whose other routes go to the same batch, cheapest first. */
function joinersOf(
  chosen: ChosenJob,
  job: PreparedJob,
  batch: string,
  own: readonly Goer[],
  adds: (quantity: number) => number,
  alone: (quantity: number) => number,
): Batch['couldJoin'] {
  const there = new Set(own.map(({ unit }) => unit.key));
  const { finish } = job.sliders;
  return chosen.units
    .flatMap((unit, u) => {
      if (there.has(unit.key) || chosen.ways[u] === COMES_WITH) return [];
      const courses = coursesOf(unit, finish);
      const visits = unit.ways.flatMap((way, w) =>
        way.isRefused || !courses[w]!.canBe
          ? []
          : way.stretches.flatMap((stretch) => stretch.visits.filter((v) => v.batch === batch)),
      );
      const [visit] = visits.sort((a, b) => a.work[1] - b.work[1]);
      if (!visit) return [];
      return [
        {
          component: unit.part.component.id,
          name: unit.part.component.name,
          pieces: unit.prepared.member.count,
          adds: cents(adds(visit.work[1])),
          alone: cents(alone(visit.work[1])),
        },
      ];
    })
    .sort((a, b) => a.adds - b.adds || (a.component < b.component ? -1 : 1))
    .slice(0, MOST_JOINERS);
}

/** What is paid once, with what it covers. */
export function sharedChargesOf(chosen: ChosenJob, job: PreparedJob): SharedChargeOut[] {
  const paid = paidCharges(job);
  const covers = new Map<string, Set<string>>();
  chosen.units.forEach((unit, u) => {
    const { own, fired } = chosen.parts[u]!;
    for (const part of [own, ...(fired === null ? [] : [fired])]) {
      for (const use of chosen.problem.parts[part]!.options[chosen.choice[part]!]!.uses) {
        const { sort, id } = chosen.shared[use.charge]!;
        if (sort !== 'charge' && sort !== 'order') continue;
        covers.set(id, (covers.get(id) ?? new Set()).add(unit.part.component.id));
      }
    }
  });
  if (job.alwaysNew.length > 0) {
    for (const { sort, id } of chosen.shared) {
      if (sort !== 'order' || !id.endsWith('@new')) continue;
      const own = covers.get(id) ?? new Set<string>();
      for (const { out } of job.alwaysNew) own.add(out.component);
      covers.set(id, own);
    }
  }
  return [...covers.keys()].sort().map((id): SharedChargeOut => {
    const [charge = '', where] = id.split('@');
    const entry = sharedCharge(job.rubric, charge);
    const isPaid = paid.has(charge);
    const own = [...covers.get(id)!];
    const money = priced(job, entry.money);
    return {
      id,
      charge,
      name: entry.name,
      per: entry.per,
      where: where ?? null,
      hours: rangeOf(isPaid ? [0, 0, 0] : entry.hours),
      money: rangeOf(isPaid ? [0, 0, 0] : money),
      covers: own,
      ifEachPaid: { hours: cents(entry.hours[1] * own.length), money: cents(money[1] * own.length) },
      isPaid,
      because: madeBy(job.rubric, `charges.${charge}`, entry.from),
    };
  });
}
