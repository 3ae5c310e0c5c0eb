import type { Prepared } from './component-case.ts';
import { isRefused, type Sliders } from './decide.ts';
import type { Decision } from './decision.ts';
import { methodBecause } from './reasons.ts';
import type { Judged } from './verdict.ts';

/** One group of members with its verdict. */
export interface Group {
  prepared: Prepared;
  judged: Judged;
}

/** A group of members with what was decided for it alone. */
interface Decided {
  prepared: Prepared;
  decision: Pick<Decision, 'action' | 'costs'>;
}

/** What a pair or set comes to when it is decided as one. */
export interface Together {
  /** All are replaced; else those that would be replaced alone are kept. */
  isReplaced: boolean;
  keep: number;
  replace: number;
}

/**
 * Decides parts that are replaced in pairs or sets together. When one must be replaced, or replacing all costs less than
 * keeping all, all are; the ones that were good are kept as spares.
 *
 * @param members all groups of members of the pair or set
 * @returns null when each stays as decided alone
 */
export function together(members: readonly Decided[], sliders: readonly Sliders[]): Together | null {
  const replaced = members.filter(({ decision }) => decision.action === 'replace').length;
  if (replaced === 0 || replaced === members.length) return null;
  const keep = members.reduce((sum, member, i) => sum + leastCost(member, false, sliders[i]!), 0);
  const replace = members.reduce((sum, member, i) => sum + leastCost(member, true, sliders[i]!), 0);
  return { isReplaced: keep >= replace, keep, replace };
}

/** Cheapest option that replaces (or that does not), -1 when there is none. */
export function bestOf({ prepared, decision }: Decided, replacing: boolean, sliders: Sliders): number {
  let found = -1;
  prepared.c.options.forEach((option, i) => {
    if ((option.action === 'replace') !== replacing || isRefused(option, sliders.finish)) return;
    if (Number.isFinite(decision.costs[i]!) && (found < 0 || decision.costs[i]! < decision.costs[found]!)) found = i;
  });
  return found;
}

function leastCost(member: Decided, replacing: boolean, sliders: Sliders): number {
  const i = bestOf(member, replacing, sliders);
  return i < 0 ? Number.POSITIVE_INFINITY : member.decision.costs[i]!;
}

/** Verdicts of a pair or set decided as one, each that changed with its reason. */
export function decideTogether(groups: readonly Group[], sliders: Sliders, word: string): Group[] {
  const members = groups.map(({ prepared, judged }) => ({
    prepared,
    decision: { action: judged.verdict.action, costs: judged.costs },
  }));
  const decided = together(
    members,
    groups.map(() => sliders),
  );
  if (!decided) return [...groups];
  const trigger = groups.find(({ judged }) => judged.verdict.action === 'replace')!;
  return groups.map((group, i) => {
    if ((group.judged.verdict.action === 'replace') === decided.isReplaced) return group;
    const reason = methodBecause(
      'decided-together',
      decided.isReplaced
        ? `Replaced because of its ${word}: keep the old one as a spare`
        : `Replacing would take its ${word} with it: together keeping costs ${Math.round(decided.keep)} against ${Math.round(decided.replace)}`,
    );
    const chosen = bestOf(members[i]!, decided.isReplaced, sliders);
    const { verdict } = group.judged;
    return {
      ...group,
      judged: {
        ...group.judged,
        chosen,
        verdict: {
          ...verdict,
          action: chosen < 0 ? 'replace' : group.prepared.c.options[chosen]!.action,
          spare: decided.isReplaced,
          firmness: decided.isReplaced ? trigger.judged.verdict.firmness : verdict.firmness,
          ifClear: null,
          holdPoint: null,
          because: [reason, ...verdict.because],
        },
      },
    };
  });
}
