import type { Component, PlannedPart, ShoppingLine, ShoppingOut, Supplier, Supply } from '../../shared/index.ts';
import { stepsLeft } from '../engine/index.ts';
import { consumablesOf, packsFor, type Worked } from './consumables.ts';
import { type CarJoint, fateOf, type SheetInput } from './joints.ts';
import { round } from './quantiles.ts';

import { hardwareLines } from './shopping-hardware.ts';
import { spread } from './strip-step.ts';

/** A line with the seller it is bought from. */
export interface Placed {
  supplier: string;
  name: string;
  note: string | null;
  line: ShoppingLine;
}

/**
 * The shopping list: replaced parts by supply, hardware that is always new, boots and seals lost in removal, consumables in
 * amounts that are reckoned, grouped by seller; what nobody sells stands apart, with the ways out.
 *
 * @param undone joints that are undone now, @param open joints that are undone already: both take new hardware
 */
export function shoppingOf(undone: readonly CarJoint[], open: readonly CarJoint[], input: SheetInput): ShoppingOut {
  const { rubric, assessment, parts } = input;
  const bought = parts.filter((part) => part.action === 'replace' && part.comesWith === null);
  const placed: Placed[] = [
    ...partLines(bought, input),
    ...assessment.components.flatMap((component) => alwaysNewLine(component, input)),
    ...hardwareLines([...undone, ...open], input),
    ...consumableLines(undone, open, input),
  ];
  const groups = new Map<string, Placed[]>();
  for (const one of placed) groups.set(one.supplier, [...(groups.get(one.supplier) ?? []), one]);
  const order = [...groups.keys()].sort(
    (a, b) => placeOf(a, rubric.suppliers) - placeOf(b, rubric.suppliers) || (a < b ? -1 : 1),
  );
  const money = sum(placed.map(({ line }) => line.money));
  const withIt = parts.filter((part) => part.comesWith !== null);
  return {
    groups: order.map((supplier) => {
      const own = groups.get(supplier)!;
      const lines = own.map(({ line }) => line).sort(compareLines);
      const lead = lines.flatMap((line) => line.leadDays ?? []);
      return {
        supplier,
        name: own[0]!.name,
        note: own[0]!.note,
        lines,
        money: sum(lines.map((line) => line.money)),
        leadDays: lead.length === 0 ? null : longest(lead),
      };
    }),
    unobtainable: bought.filter((part) => part.supply === null).map((part) => unobtainable(part, input)),
    money,
    notes: [
      ...withIt.map((part) => `${part.name} comes with ${nameOf(part.comesWith!, input)}: not bought by itself.`),
      'Take the old part along, and look at thread, length and class before paying.',
      ...(parts.some((part) => part.ifClear !== null)
        ? ['Lines that wait for a look are not ordered before it; their price is in the sum.']
        : []),
    ],
  };
}

function nameOf(id: string, { assessment }: SheetInput): string {
  return assessment.components.find((component) => component.id === id)?.name ?? id;
}

function placeOf(supplier: string, suppliers: readonly Supplier[]): number {
  const at = suppliers.findIndex((entry) => entry.id === supplier);
  return at < 0 ? -1 : at;
}

const SORTS = ['part', 'fastener', 'hardware', 'boot-or-seal', 'fluid', 'consumable'] as const;

function compareLines(a: ShoppingLine, b: ShoppingLine): number {
  return (
    Number(b.isLongLead) - Number(a.isLongLead) ||
    SORTS.indexOf(a.sort) - SORTS.indexOf(b.sort) ||
    (a.what < b.what ? -1 : a.what > b.what ? 1 : a.id < b.id ? -1 : 1)
  );
}

type Spread = NonNullable<ShoppingLine['money']>;

function sum(all: readonly (Spread | null)[]): Spread {
  const out = { low: 0, usual: 0, high: 0 };
  for (const one of all) {
    out.low += one?.low ?? 0;
    out.usual += one?.usual ?? 0;
    out.high += one?.high ?? 0;
  }
  return { low: round(out.low, 2), usual: round(out.usual, 2), high: round(out.high, 2) };
}

function longest(all: readonly Spread[]): Spread {
  const most = (pick: (spread: Spread) => number) => Math.max(...all.map(pick));
  return { low: most((s) => s.low), usual: most((s) => s.usual), high: most((s) => s.high) };
}

/** Supply of a component with the factor that turns its price into the assessment's currency. */
function supplyOf(component: Component, id: string | null, { rubric, perBase }: SheetInput) {
  const own = component.supplies;
  const kind = rubric.kinds.find((entry) => entry.id === component.kind)!;
  const supply = (own ?? kind.supplies).find((entry) => id === null || entry.id === id);
  return supply ? { supply, factor: own ? 1 : perBase, kind } : null;
}

function sellerOf(supply: Supply, suppliers: readonly Supplier[]): Pick<Placed, 'supplier' | 'name' | 'note'> {
  if (supply.supplier !== undefined) return { supplier: supply.supplier, name: supply.supplier, note: null };
  const seller = suppliers.find((entry) => entry.sells.includes(supply.type)) ?? suppliers[0]!;
  return { supplier: seller.id, name: seller.name, note: seller.note ?? null };
}

/** Groups of one set that are bought alike share a line, so that every fastener stands on the list once. */
function partLines(bought: readonly PlannedPart[], input: SheetInput): Placed[] {
  const alike = new Map<string, PlannedPart[]>();
  for (const part of bought) {
    const key = [part.component, part.supply, part.ifClear !== null, part.spare].join('|');
    alike.set(key, [...(alike.get(key) ?? []), part]);
  }
  return [...alike.values()].flatMap((parts) => {
    const [part] = parts;
    const component = input.assessment.components.find((entry) => entry.id === part!.component)!;
    const found = part!.supply === null ? null : supplyOf(component, part!.supply, input);
    if (!found) return [];
    const waits = part!.ifClear !== null ? 'Waits for a look: do not order before it' : null;
    const because = part!.spare ? 'Replaced with its mate; the old one is kept as a spare' : 'Replaced';
    const pieces = parts.reduce((sum, one) => sum + one.pieces, 0);
    return [lineFor(component, pieces, found, because, waits, part!.group, input)];
  });
}

function alwaysNewLine(component: Component, input: SheetInput): Placed[] {
  const because = input.alwaysNew.get(component.id);
  const found = because === undefined ? null : supplyOf(component, null, input);
  if (!found) return [];
  return [lineFor(component, component.count ?? 1, found, `Always new: ${because}`, null, 0, input)];
}

function lineFor(
  component: Component,
  pieces: number,
  { supply, factor, kind }: NonNullable<ReturnType<typeof supplyOf>>,
  because: string,
  waits: string | null,
  group: number,
  { rubric }: SheetInput,
): Placed {
  const { thread, class: classId, lengthMm, platedBefore } = component.properties ?? {};
  const isFastener = kind.fastener !== undefined;
  const notes = [waits, supply.note].filter((text) => text !== null && text !== undefined);
  const misfit = supply.misfit > 0 ? ` One in ${Math.max(2, Math.round(1 / supply.misfit))} does not fit.` : '';
  return {
    ...sellerOf(supply, rubric.suppliers),
    line: {
      id: `${component.id}.${group}.${supply.id}`,
      what: component.name,
      sort: isFastener ? 'fastener' : 'part',
      amount: pieces,
      unit: 'piece',
      thread: thread === undefined ? null : String(thread),
      class: classId === undefined ? null : String(classId),
      finish: platedBefore === undefined ? null : String(platedBefore),
      lengthMm: typeof lengthMm === 'number' ? lengthMm : null,
      for: [{ component: component.id, name: component.name, count: pieces }],
      because,
      supply: supply.type,
      note: notes.length > 0 ? notes.join('. ') : null,
      money: spread(supply.price, pieces * factor),
      leadDays: { low: supply.leadDays[0], usual: supply.leadDays[1], high: supply.leadDays[2] },
      keepOld: `Keep the old ${pieces > 1 ? 'ones until the new ones fit' : 'one until the new one fits'}.${misfit}`,
      isLongLead: supply.leadDays[1] >= rubric.release.longLead.value,
    },
  };
}

function unobtainable(part: PlannedPart, input: SheetInput): ShoppingOut['unobtainable'][number] {
  const component = input.assessment.components.find((entry) => entry.id === part.component)!;
  return {
    component: part.component,
    name: part.name,
    count: part.pieces,
    because: component.note ?? 'No supply is known for it',
    waysOut: input.rubric.release.waysOut.map((way) => way.text),
  };
}

/** Operations of one's own shop with pieces and areas, from the routes that the plan takes. */
function workedOf({ rubric, assessment, parts }: SheetInput): Worked[] {
  return parts.flatMap((part) => {
    const component = assessment.components.find((entry) => entry.id === part.component)!;
    const plan = part.route !== null ? part.route : (part.ifClear?.route ?? null);
    const route = rubric.routes.find((entry) => entry.id === plan);
    if (!route) return [];
    return stepsLeft(route, component).flatMap((step) => {
      const operation = 'do' in step ? rubric.operations.find((entry) => entry.id === step.do) : undefined;
      return operation && operation.process === undefined
        ? [{ operation, pieces: part.pieces, areaDm2: part.areaDm2.usual }]
        : [];
    });
  });
}

function consumableLines(undone: readonly CarJoint[], open: readonly CarJoint[], input: SheetInput): Placed[] {
  const { rubric, assessment, perBase } = input;
  const touched = assessment.components.filter((c) => c.stage !== 'fitted' || fateOf(c, input).comesOff);
  const paid = new Set(assessment.chargesPaid ?? []);
  const charges = new Set(
    touched
      .flatMap((c) => rubric.kinds.find((kind) => kind.id === c.kind)?.charges ?? [])
      .filter((id) => !paid.has(id)),
  );
  const all = [...undone, ...open];
  const lines = consumablesOf({ undone, refitted: all, worked: workedOf(input), charges, spilling: all }, input);
  return lines
    .filter(({ consumable }) => !consumable.fluid?.goesBack)
    .map(({ consumable, amount, because }): Placed => {
      const bought = packsFor(amount, consumable.packs);
      const seller = rubric.suppliers.find((entry) => entry.id === consumable.supplier)!;
      return {
        supplier: seller.id,
        name: seller.name,
        note: seller.note ?? null,
        line: {
          id: `consumable.${consumable.id}`,
          what: consumable.name,
          sort: consumable.fluid ? 'fluid' : 'consumable',
          amount: bought,
          unit: consumable.unit,
          thread: null,
          class: null,
          finish: null,
          lengthMm: null,
          for: [],
          because: `${round(amount, amount < 1 ? 2 : 1)}${consumable.unit === 'piece' ? '' : ` ${consumable.unit}`} needed: ${because}`,
          supply: null,
          note: consumable.note ?? null,
          money: spread(consumable.price, bought * perBase),
          leadDays: { low: seller.leadDays[0], usual: seller.leadDays[1], high: seller.leadDays[2] },
          keepOld: null,
          isLongLead: false,
        },
      };
    });
}
