import type { Prepared } from './component-case.ts';
import { isRefused, type Sliders } from './decide.ts';
import { methodBecause } from './reasons.ts';
import type { Judged } from './verdict.ts';

/** One group of members with its verdict. */
export interface Group {
  prepared: Prepared;
  judged: Judged;
}

/**
 * Decides parts that are replaced in pairs or sets together. When one must be replaced, or replacing all costs less than
 * keeping all, all are; the ones that were good are kept as spares.
 *
 * @param groups all groups of members of the pair or set
 */
export function decideTogether(groups: readonly Group[], sliders: Sliders, word: string): Group[] {
  const trigger = groups.find(({ judged }) => judged.verdict.action === 'replace');
  if (!trigger || groups.every(({ judged }) => judged.verdict.action === 'replace')) return [...groups];
  const keep = groups.reduce((sum, group) => sum + leastCost(group, false, sliders), 0);
  const replace = groups.reduce((sum, group) => sum + leastCost(group, true, sliders), 0);
  if (keep < replace) {
    return groups.map((group) => {
      if (group.judged.verdict.action !== 'replace') return group;
      const chosen = best(group, false, sliders);
      const reason = methodBecause(
        'decided-together',
        `Replacing would take its ${word} with it: together keeping costs ${Math.round(keep)} against ${Math.round(replace)}`,
      );
      return {
        ...group,
        judged: changed(group.judged, chosen, group.prepared, reason, false, group.judged.verdict.firmness),
      };
    });
  }
  return groups.map((group) => {
    if (group.judged.verdict.action === 'replace') return group;
    const reason = methodBecause('decided-together', `Replaced because of its ${word}: keep the old one as a spare`);
    return {
      ...group,
      judged: changed(
        group.judged,
        best(group, true, sliders),
        group.prepared,
        reason,
        true,
        trigger.judged.verdict.firmness,
      ),
    };
  });
}

function changed(
  judged: Judged,
  chosen: number,
  prepared: Prepared,
  reason: Judged['verdict']['because'][number],
  spare: boolean,
  firmness: Judged['verdict']['firmness'],
): Judged {
  const action = chosen < 0 ? 'replace' : prepared.c.options[chosen]!.action;
  return {
    ...judged,
    chosen,
    verdict: {
      ...judged.verdict,
      action,
      spare,
      firmness,
      ifClear: null,
      holdPoint: null,
      because: [reason, ...judged.verdict.because],
    },
  };
}

function best({ prepared, judged }: Group, replacing: boolean, sliders: Sliders): number {
  let found = -1;
  prepared.c.options.forEach((option, i) => {
    if ((option.action === 'replace') !== replacing || isRefused(option, sliders.finish)) return;
    if (Number.isFinite(judged.costs[i]!) && (found < 0 || judged.costs[i]! < judged.costs[found]!)) found = i;
  });
  return found;
}

function leastCost(group: Group, replacing: boolean, sliders: Sliders): number {
  const i = best(group, replacing, sliders);
  return i < 0 ? Number.POSITIVE_INFINITY : group.judged.costs[i]!;
}
