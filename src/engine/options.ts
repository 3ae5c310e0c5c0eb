import type { Action, Assessment, Because, Component, Supply, ThreePoint } from '../../shared/index.ts';
import { STAGES, WANTED_FINISHES } from '../../shared/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Knowledge } from './program.ts';
import { methodBecause } from './reasons.ts';
import { type Inside, refusalsOf, stepsLeft } from './refusals.ts';
import type { Tables } from './tables.ts';
import { exactly, larger, meanOf, NOTHING, plus, product, times } from './three-points.ts';

/** One line of a bill: money (assessment's currency) or hours, for all pieces. */
export interface Item {
  id: string;
  text: string;
  unit: 'money' | 'hours';
  points: ThreePoint;
  /** A price or rate that a settled verdict must survive at both of its ends. */
  isPrice: boolean;
}

/** Items that are spent together, with their means. */
export interface Bill {
  items: Item[];
  money: number;
  hours: number;
  /** Part of `money` that is the price of a supply: what a price slider multiplies. */
  supply: number;
}

/** A way to deal with the component, priced. */
export interface Option {
  id: string;
  action: Action;
  route: string | null;
  supply: string | null;
  name: string;
  refused: Because[];
  /** Best finish it reaches: 0 serviceable, 1 smart, 2 show. */
  reaches: number;
  leadDays: ThreePoint;
  alone: Priced;
  /** Outside minimum, set-up and carriage are paid by others. */
  shared: Priced;
  /** What the owner would pay to keep the original; counts against replacing, and is no bill. */
  keepOriginal: number;
}

/** Bills of an option: up to each hold point, the rest, and (replace) what is left to pay once the part is off. */
export interface Priced {
  holds: { name: string; knownBits: number; bill: Bill }[];
  rest: Bill;
  afterRemoval: Bill;
}

/** Circumstances that prices depend on. */
export interface Circumstances {
  tables: Tables;
  assessment: Assessment;
  /** Units of the assessment's currency for one of the rubric's base currency. */
  perBase: number;
}

/** Adds up items. */
export function billOf(items: readonly Item[]): Bill {
  let money = 0;
  let hours = 0;
  let supply = 0;
  for (const item of items) {
    const mean = meanOf(item.points);
    if (item.unit === 'hours') hours += mean;
    else money += mean;
    if (isSupplyPrice(item)) supply += mean;
  }
  return { items: items.filter((item) => item.points[2] > 0), money, hours, supply };
}

/** Is this line the price of a bought part? */
export function isSupplyPrice(item: Item): boolean {
  return item.unit === 'money' && item.id.startsWith('supply.');
}

/**
 * The options of a component (or of `count` members of a set).
 *
 * @param insides components that sit in it
 */
export function optionsOf(
  component: Component,
  count: number,
  compiled: CompiledKind,
  knowledge: Knowledge,
  insides: readonly Inside[],
  circumstances: Circumstances,
): Option[] {
  const removal =
    component.stage === 'fitted' ? [hours('removal', 'Taking it off', times(compiled.kind.removalHours, count))] : [];
  const refit = [hours('refit', 'Putting it back', times(compiled.kind.refitHours, count))];
  return [
    reuseOption(component, compiled, component.stage === 'fitted' ? [] : refit),
    ...compiled.kind.routes.map((id) =>
      routeOption(id, component, count, compiled, knowledge, insides, circumstances, removal, refit),
    ),
    ...suppliesOf(component, compiled, circumstances).map((supply) =>
      supplyOption(supply, component, count, circumstances, removal, refit),
    ),
  ];
}

function hours(id: string, text: string, points: ThreePoint): Item {
  return { id, text, unit: 'hours', points, isPrice: false };
}

function money(id: string, text: string, points: ThreePoint, isPrice: boolean): Item {
  return { id, text, unit: 'money', points, isPrice };
}

const EMPTY: Bill = { items: [], money: 0, hours: 0, supply: 0 };
const COATED_WHEN_BARE = new Set(['steel', 'spring-steel', 'forged-steel', 'cast-iron']);

function reuseOption(component: Component, compiled: CompiledKind, refit: Item[]): Option {
  const priced = { holds: [], rest: billOf(refit), afterRemoval: EMPTY };
  const refused: Because[] = [];
  const material = component.material ?? compiled.kind.material;
  if (component.stage === 'bare' && COATED_WHEN_BARE.has(material) && compiled.kind.routes.length > 0) {
    refused.push({
      rule: 'method.bare-needs-a-coat',
      text: 'Stripped to bare metal: it rusts within days unless it is coated',
      source: null,
      basis: 'common-practice',
    });
  }
  return {
    id: 'reuse',
    action: 'reuse',
    route: null,
    supply: null,
    name: component.stage === 'fitted' ? 'Leave it as it is' : 'Put it back as it is',
    refused,
    reaches: 2,
    leadDays: NOTHING,
    alone: priced,
    shared: priced,
    keepOriginal: 0,
  };
}

function routeOption(
  id: string,
  component: Component,
  count: number,
  compiled: CompiledKind,
  knowledge: Knowledge,
  insides: readonly Inside[],
  circumstances: Circumstances,
  removal: Item[],
  refit: Item[],
): Option {
  const { tables } = circumstances;
  const route = tables.route(id);
  const priced = (isShared: boolean): Priced => {
    const holds: Priced['holds'] = [];
    let items = [...removal];
    for (const step of stepsLeft(route, component)) {
      if ('do' in step) {
        items.push(...operationItems(step.do, component, count, compiled, circumstances, isShared));
      } else {
        holds.push({ name: step.name, knownBits: knownBits(compiled, step.hold, step.by), bill: billOf(items) });
        items = [];
      }
    }
    return { holds, rest: billOf([...items, ...refit]), afterRemoval: EMPTY };
  };
  const lead = stepsLeft(route, component).flatMap((step) => {
    const process = 'do' in step ? tables.operation(step.do).process : undefined;
    return process ? [tables.process(process).leadDays] : [];
  });
  return {
    id: `refinish:${id}`,
    action: 'refinish',
    route: id,
    supply: null,
    name: route.name,
    refused: refusalsOf(route, component, compiled, knowledge, insides, tables),
    reaches: WANTED_FINISHES.indexOf(route.reaches),
    leadDays: plus(...lead),
    alone: priced(false),
    shared: priced(true),
    keepOriginal: 0,
  };
}

/** Effect bits of the rules that are known at a hold point. */
function knownBits(compiled: CompiledKind, hold: string, by: string): number {
  const stage = STAGES.indexOf(hold as (typeof STAGES)[number]);
  return compiled.groups.reduce(
    (bits, group, bit) =>
      group.stage <= stage && (!group.needsCrackTest || by === 'crack-test') ? bits | (1 << bit) : bits,
    0,
  );
}

/** Bill of one operation on `count` pieces. */
export function operationItems(
  id: string,
  component: Component,
  count: number,
  compiled: CompiledKind,
  { tables, perBase }: Circumstances,
  isShared: boolean,
): Item[] {
  const operation = tables.operation(id);
  const area = component.areaDm2 === undefined ? compiled.kind.areaDm2 : exactly(component.areaDm2);
  const mass = component.massKg === undefined ? compiled.kind.massKg : exactly(component.massKg);
  const perPieceAndArea = (
    perPiece: ThreePoint | undefined,
    perDm2: ThreePoint | undefined,
    factor: number,
  ): ThreePoint => times(plus(perPiece ?? NOTHING, perDm2 ? product(perDm2, area) : NOTHING), factor);
  const items: Item[] = [];
  const work = perPieceAndArea(operation.hoursPerPiece, operation.hoursPerDm2, count);
  if (work[2] > 0) items.push(hours(`operation.${id}`, operation.name, work));
  const stuff = perPieceAndArea(operation.moneyPerPiece, operation.moneyPerDm2, count * perBase);
  if (stuff[2] > 0) items.push(money(`operation.${id}.consumables`, `${operation.name}: consumables`, stuff, false));
  for (const event of operation.events ?? []) {
    const factor = event.probability * count;
    if (event.hours[2] > 0) items.push(hours(`event.${id}.${event.id}`, event.text, times(event.hours, factor)));
    if (event.money[2] > 0)
      items.push(money(`event.${id}.${event.id}`, event.text, times(event.money, factor * perBase), false));
  }
  if (operation.process) {
    const process = tables.process(operation.process);
    const quantity = times(
      plus(
        process.perPiece ?? NOTHING,
        process.perKg ? product(process.perKg, mass) : NOTHING,
        process.perDm2 ? product(process.perDm2, area) : NOTHING,
      ),
      count * perBase,
    );
    const bill = isShared
      ? quantity
      : plus(larger(times(process.minimum, perBase), quantity), times(process.setUpPerColour ?? NOTHING, perBase));
    items.push(money(`process.${process.id}`, process.name, bill, true));
    if (!isShared)
      items.push(
        hours(`process.${process.id}.handling`, `${process.name}: pack, take there, fetch back`, process.handlingHours),
      );
  }
  return items;
}

/** Supplies of a component: its own list (assessment's currency) or the kind's (turned into it). */
function suppliesOf(
  component: Component,
  compiled: CompiledKind,
  { perBase, tables }: Circumstances,
): (Supply & { isUnknown?: boolean })[] {
  if (component.supplies && component.supplies.length > 0) return component.supplies;
  if (component.supplies === undefined && compiled.kind.supplies.length > 0) {
    return compiled.kind.supplies.map((supply) => ({ ...supply, price: times(supply.price, perBase) }));
  }
  const { noSupplyMultiple, unlistedSupply } = tables.rubric.settings;
  const dearest = compiled.kind.supplies.reduce<ThreePoint>(
    (most, supply) => larger(most, supply.price),
    unlistedSupply.price,
  );
  return [
    {
      id: 'no-supply-known',
      type: 'made',
      price: times(dearest, noSupplyMultiple.value * perBase),
      leadDays: unlistedSupply.leadDays,
      misfit: unlistedSupply.misfit,
      from: noSupplyMultiple.from,
      isUnknown: true,
    },
  ];
}

function supplyOption(
  supply: Supply & { isUnknown?: boolean },
  component: Component,
  count: number,
  { tables }: Circumstances,
  removal: Item[],
  refit: Item[],
): Option {
  const after = [
    money(
      `supply.${supply.id}`,
      supply.isUnknown ? 'No supply known: a guess at having one made' : `Bought ${supply.type}`,
      times(supply.price, count),
      true,
    ),
    hours(
      `supply.${supply.id}.misfit`,
      'Sending back one that does not fit',
      times(tables.rubric.settings.misfitHours.value, supply.misfit),
    ),
    ...(supply.fittingHours
      ? [hours(`supply.${supply.id}.fitting`, 'Fitting it', times(supply.fittingHours, count))]
      : []),
    ...refit,
  ];
  const priced = { holds: [], rest: billOf([...removal, ...after]), afterRemoval: billOf(after) };
  const names = { new: 'New', pattern: 'Pattern part', used: 'Used', made: 'Made to order', substitute: 'Substitute' };
  return {
    id: `replace:${supply.id}`,
    action: 'replace',
    route: null,
    supply: supply.id,
    name: supply.isUnknown ? 'No supply known' : names[supply.type],
    refused: [],
    reaches: 2,
    leadDays: supply.leadDays,
    alone: priced,
    shared: priced,
    keepOriginal: component.keepOriginal ?? 0,
  };
}

/** The ways out when nothing can be bought, in words. */
export const WAYS_OUT = methodBecause(
  'no-supply',
  'No supply known. Ways out: a good used one, one made to the pattern of the old, a substitute of equal class, or a specialist in this make',
);
