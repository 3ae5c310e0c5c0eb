import { meanOf, type PreparedJob } from '../engine/index.ts';
import { paidCharges, priced, processOf, sharedCharge } from './circumstances.ts';
import type { Way } from './ways.ts';

/** What several parts can share. `key` names it: `batch:zinc`, `trip:zinc`, `charge:alignment`, `order:carriage@new`. */
export interface Shared {
  key: string;
  sort: 'batch' | 'trip' | 'charge' | 'order';
  /** Batch, process, charge with its place, or order. */
  id: string;
}

/** Mean price of what is shared; a batch that goes anyway and a charge that is paid cost nothing more. */
export function chargeOf(sort: Shared['sort'], id: string, job: PreparedJob): { fixed: number; minimum: number } {
  const { assessment, sliders } = job;
  const going = new Set(assessment.batchesGoing ?? []);
  if (sort === 'batch') {
    const process = processOf(job, id.split('.')[0]!);
    if (going.has(process.id)) return { fixed: 0, minimum: 0 };
    return {
      fixed: meanOf(priced(job, process.setUpPerColour)),
      minimum: meanOf(priced(job, process.minimum)),
    };
  }
  if (sort === 'trip') {
    return going.has(id)
      ? { fixed: 0, minimum: 0 }
      : { fixed: meanOf(processOf(job, id).handlingHours) * sliders.hourRate, minimum: 0 };
  }
  const charge = sharedCharge(job.rubric, id.split('@')[0]!);
  if (paidCharges(job).has(charge.id)) return { fixed: 0, minimum: 0 };
  return { fixed: meanOf(priced(job, charge.money)) + meanOf(charge.hours) * sliders.hourRate, minimum: 0 };
}

/** What is paid once an order of one sort of supply. */
export function ordersOf(order: string, job: PreparedJob): string[] {
  return job.rubric.charges.shared.flatMap(({ id, per }) => (per === 'order' ? [`${id}@${order}`] : []));
}

/** Sort of supply that a failed route falls back on. */
export function cheapestOrder(ways: readonly Way[]): string {
  return fallbackOf(ways)?.order ?? 'new';
}

/** The replacement that costs least once the part is off; undefined when none can be had. */
export function fallbackOf(ways: readonly Way[]): Way | undefined {
  const cost = ({ afterRemoval, option }: Way) =>
    afterRemoval ? meanOf(afterRemoval.price) + option.keepOriginal : Number.POSITIVE_INFINITY;
  return ways
    .filter((way) => way.option.action === 'replace' && !way.isRefused)
    .sort((a, b) => cost(a) - cost(b) || (a.option.id < b.option.id ? -1 : 1))[0];
}
