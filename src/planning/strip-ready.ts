import type { ReadyItem, StripStep } from '../../shared/index.ts';
import { amountWords, consumablesOf } from './consumables.ts';
import type { CarJoint, SheetInput } from './joints.ts';
import { RARE } from './strip-step.ts';

interface Need {
  steps: Set<number>;
  /** Rungs that ask for it and are not to be expected; null once something certain asks for it. */
  onlyIf: Set<string> | null;
  notes: Set<string>;
}

/** Tools, stands and consumables of all steps, one list to have ready before starting. */
export function readyOf(
  steps: readonly StripStep[],
  undone: readonly CarJoint[],
  charges: ReadonlySet<string>,
  input: SheetInput,
): ReadyItem[] {
  const { rubric } = input;
  const { release } = rubric;
  const needs = new Map<string, Need>();
  const need = (id: string, n: number | null, onlyIf: string | null, note?: string) => {
    const entry = needs.get(id) ?? { steps: new Set<number>(), onlyIf: new Set<string>(), notes: new Set<string>() };
    if (n !== null) entry.steps.add(n);
    if (onlyIf === null) entry.onlyIf = null;
    else entry.onlyIf?.add(onlyIf);
    if (note !== undefined) entry.notes.add(note);
    needs.set(id, entry);
  };
  for (const tool of rubric.tools) if (tool.charges?.some((id) => charges.has(id))) need(tool.id, null, null);
  for (const step of steps) {
    const joint = undone.find(({ id }) => id === step.id)!;
    const locking = release.lockings.find((rule) => rule.id === joint.joint.locking);
    if (step.lockFirst.length > 0) for (const id of locking?.tools ?? []) need(id, step.n, null);
    for (const id of step.parting.length > 0
      ? (release.partings.find((p) => p.id === joint.joint.parting)?.tools ?? [])
      : [])
      need(id, step.n, null);
    if (joint.fixing) for (const id of joint.fixing.tools) need(id, step.n, null);
    if (step.spills.length > 0) for (const id of release.spillTools) need(id, step.n, null);
    const expected = step.ladder.find((rung) => rung.id === step.expect)?.harshness ?? 0;
    for (const rung of step.ladder) {
      const rule = release.rungs.find((r) => r.id === rung.id);
      if (!rule || rung.reached < RARE) continue;
      for (const id of rule.tools) need(id, step.n, rung.harshness <= expected ? null : rung.short);
    }
    addSpanners(step, need);
  }
  const items = [...needs].flatMap(([id, { steps: at, onlyIf, notes }]): ReadyItem[] => {
    const tool = rubric.tools.find((entry) => entry.id === id);
    if (!tool) return [];
    const sizes = [...notes].sort((a, b) => Number.parseFloat(a) - Number.parseFloat(b));
    const note = [tool.note, ...sizes].filter((text) => text !== undefined).join(', ');
    return [
      {
        id,
        name: tool.name,
        sort: tool.sort,
        amount: null,
        steps: [...at].sort((a, b) => a - b),
        onlyIf: onlyIf === null ? null : [...onlyIf].sort().join(' or '),
        note: note === '' ? null : note,
      },
    ];
  });
  const order = rubric.tools.map((tool) => tool.id);
  items.sort((a, b) => order.indexOf(a.id) - order.indexOf(b.id));
  return [...items, ...consumableItems(undone, charges, input)];
}

/** Sizes on the sockets and spanners, lengths on the bar: what is really to be laid out. */
function addSpanners(
  step: StripStep,
  need: (id: string, n: number | null, onlyIf: string | null, note?: string) => void,
) {
  const usual = step.spanners.find((spanner) => spanner.use === 'this');
  const isFlare = step.ladder.some((rung) => rung.id === 'flare-spanner');
  if (usual) need(isFlare ? 'flare-spanners' : 'six-point-sockets', step.n, null, usual.stamp);
  if (step.torque.barMm !== null && !isFlare) need('knuckle-bar', step.n, null, `${step.torque.barMm} mm`);
  if (step.counterhold !== null) need('ring-spanners', step.n, null, 'to hold against');
}

function consumableItems(undone: readonly CarJoint[], charges: ReadonlySet<string>, input: SheetInput): ReadyItem[] {
  return consumablesOf({ undone, refitted: [], worked: [], charges: new Set(), spilling: undone }, input)
    .filter((line) => line.amount > 0)
    .map(({ consumable, amount }) => ({
      id: consumable.id,
      name: consumable.name,
      sort: 'consumable' as const,
      amount: amountWords(amount, consumable.unit),
      steps: [],
      onlyIf: null,
      note: charges.size > 0 ? (consumable.note ?? null) : null,
    }));
}
