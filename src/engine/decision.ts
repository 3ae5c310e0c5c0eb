import type { Action } from '../../shared/index.ts';
import type { Prepared } from './component-case.ts';
import { cheapest, costingOf, costsAt, type Sliders } from './decide.ts';

/** What is to be done with a component, before it is said how firmly and why. */
export interface Decision {
  /** Expected cost of each option, in the order of the case's options; Infinity when it cannot be taken. */
  costs: number[];
  /** Cost of each option when nothing bars it, in the same order (lines of the forms follow). */
  clear: readonly number[];
  /** Index of the option taken, -1 when nothing is left. */
  chosen: number;
  action: Action;
  /** What holds if the open knock-outs turn out clear, when a part that guards life waits for them and it differs. */
  ifClear: Action | null;
  /** The verdict is open because a knock-out of a part that guards life is. */
  isHeld: boolean;
  /** Hold point of the chosen route at which every open rule that bars it is known, or null. */
  holdPoint: string | null;
}

/**
 * Takes the option of least expected cost. Reuse is never taken over an open knock-out of a part that guards life, nor
 * refinishing by a route that would not show it: then what holds if it fires is taken.
 */
export function decide(prepared: Prepared, sliders: Sliders): Decision {
  const { c, outlook } = prepared;
  const { finish } = sliders;
  const { courses, open } = outlook(finish);
  const costing = costingOf(c, sliders);
  const costs = costsAt(courses, costing, finish);
  const chosen = cheapest(c, costs);
  const action: Action = chosen < 0 ? 'replace' : c.options[chosen]!.action;
  const plain = { costs, clear: costing.lines, chosen, action, ifClear: null, isHeld: false, holdPoint: null };
  const rules = action === 'replace' ? null : open[action];
  if (!rules || rules.bits.length === 0) return plain;
  const holdPoint = action === 'refinish' ? holdFor(prepared, chosen, rules.bits) : null;
  if (!c.compiled.kind.safetyCritical || holdPoint !== null) return { ...plain, holdPoint };
  const unbarred = cheapest(c, costsAt(rules.whenClear(), costing, finish));
  const ifClear = unbarred < 0 ? action : c.options[unbarred]!.action;
  const fired = cheapest(c, costsAt(rules.whenFired(), costing, finish));
  const ifFired = fired < 0 ? 'replace' : c.options[fired]!.action;
  return {
    costs,
    clear: costing.lines,
    chosen: fired,
    action: ifFired,
    ifClear: ifClear === ifFired ? null : ifClear,
    isHeld: true,
    holdPoint: null,
  };
}

/** Name of the hold point of the chosen route at which all these rules are known, or null. */
function holdFor(prepared: Prepared, chosen: number, bits: readonly number[]): string | null {
  const { c } = prepared;
  const option = c.options[chosen]!;
  const { holds } = c.isShared(option) ? option.shared : option.alone;
  return holds.find((hold) => bits.every((bit) => hold.knownBits & (1 << bit)))?.name ?? null;
}
