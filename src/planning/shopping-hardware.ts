import type { FoundFastener } from '../../shared/index.ts';
import { splitPinMm } from '../standards/index.ts';
import type { CarJoint, SheetInput } from './joints.ts';
import type { Placed } from './shopping.ts';
import { earlierOf, spread } from './strip-step.ts';

const SEALS: readonly (string | undefined)[] = ['seal', 'boot', 'clip'];

interface Wanted {
  id: string;
  joint: CarJoint;
}

/** Hardware that joints take new each time they are undone: like pieces of one thread and class on one line. */
export function hardwareLines(joints: readonly CarJoint[], input: SheetInput): Placed[] {
  const wanted = joints.flatMap((joint): Wanted[] =>
    [...new Set([...joint.hardware, ...(joint.joint.loses ?? [])])].map((id) => ({ id, joint })),
  );
  const lines = new Map<string, Wanted[]>();
  for (const one of wanted) {
    const key = [one.id, one.joint.thread?.designation ?? '', classOf(one), one.joint.joint.hand].join('|');
    lines.set(key, [...(lines.get(key) ?? []), one]);
  }
  return [...[...lines.entries()].flatMap(([key, all]) => lineOf(key, all, input)), ...foundLines(joints, input)];
}

/** What cannot go back as it was found; where the set itself is bought, it is on the list already. */
const NEEDS_NEW: readonly FoundFastener[] = ['sheared', 'missing', 'wrong', 'cross-threaded'];

function foundLines(joints: readonly CarJoint[], input: SheetInput): Placed[] {
  return joints.flatMap((joint) => {
    if (
      joint.isBoltNew ||
      (joint.fastener && input.planned(joint.fastener.id).some((part) => part.action === 'replace'))
    )
      return [];
    const left = earlierOf(joint, input).filter((one) => NEEDS_NEW.includes(one.found));
    const count = left.reduce((sum, one) => sum + one.count, 0);
    if (count === 0) return [];
    const seller = input.rubric.suppliers.find((s) => s.hardware === true)!;
    const words = left.map((one) => `${one.count} found ${one.found}`).join(', ');
    return [
      {
        supplier: seller.id,
        name: seller.name,
        note: seller.note ?? null,
        line: {
          id: `found.${joint.id}`,
          what: `Fastener for ${joint.joint.name.toLowerCase()}`,
          sort: 'fastener' as const,
          amount: count,
          unit: 'piece' as const,
          thread: joint.thread?.designation ?? null,
          class: joint.joint.class ?? null,
          finish: null,
          lengthMm: joint.joint.lengthMm ?? null,
          for: [{ component: joint.component.id, name: joint.component.name, count }],
          because: `${words} by an earlier hand`,
          supply: null,
          note: 'Gauge the hole and match its mate before buying',
          money: null,
          leadDays: { low: seller.leadDays[0], usual: seller.leadDays[1], high: seller.leadDays[2] },
          keepOld: null,
          isLongLead: false,
        },
      },
    ];
  });
}

/** A bolt is asked for by its class, a lock nut by the class that goes with it, a pin or washer by no class. */
function classOf({ id, joint }: Wanted): string {
  return /bolt|nut/.test(id) ? (joint.joint.class ?? '') : '';
}

const NUT_OF_BOLT: Readonly<Record<string, string>> = { '8.8': '8', '9.8': '8', '10.9': '10', '12.9': '12' };

function lineOf(key: string, all: readonly Wanted[], { rubric, perBase }: SheetInput): Placed[] {
  const { id, joint } = all[0]!;
  const entry = rubric.hardware.find((h) => h.id === id);
  if (!entry) return [];
  const count = all.reduce((sum, one) => sum + one.joint.count, 0);
  const seller =
    rubric.suppliers.find((s) => s.id === entry.supplier) ?? rubric.suppliers.find((s) => s.hardware === true)!;
  const stated = joint.joint.class ?? null;
  const isNut = entry.is === 'nut' || /nut/.test(id);
  const classId = isNut && stated !== null ? (NUT_OF_BOLT[stated] ?? stated) : classOf(all[0]!) || null;
  const pin = id === 'split-pin' && joint.thread ? splitPinMm(joint.thread.diameterMm) : null;
  const hand = joint.joint.hand === 'left' && /bolt|nut/.test(id) ? 'Left-hand thread' : null;
  const notes = [hand, pin === null ? null : `${pin} mm (ISO 1234, from memory): try it in the hole`].filter(
    (n) => n !== null,
  );
  return [
    {
      supplier: seller.id,
      name: seller.name,
      note: seller.note ?? null,
      line: {
        id: `hardware.${key
          .toLowerCase()
          .replace(/[^a-z0-9.]+/g, '-')
          .replace(/-$/, '')}`,
        what: entry.name,
        sort: SEALS.includes(entry.is) ? 'boot-or-seal' : 'hardware',
        amount: count,
        unit: 'piece',
        thread: /grease|circlip|clip|boot/.test(id) ? null : (joint.thread?.designation ?? null),
        class: classId,
        finish: entry.finish ?? null,
        lengthMm: /bolt/.test(id) ? (joint.joint.lengthMm ?? null) : null,
        for: all.map((one) => ({
          component: one.joint.component.id,
          name: `${one.joint.joint.name}, ${one.joint.component.name}`,
          count: one.joint.count,
        })),
        because: `Always new: ${entry.because}`,
        supply: null,
        note: notes.length > 0 ? notes.join('; ') : null,
        money: spread(entry.price, count * perBase),
        leadDays: { low: seller.leadDays[0], usual: seller.leadDays[1], high: seller.leadDays[2] },
        keepOld: null,
        isLongLead: false,
      },
    },
  ];
}
