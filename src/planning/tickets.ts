import type {
  Batch,
  BatchPart,
  Component,
  Condition,
  Kind,
  Operation,
  Said,
  Ticket,
  TicketLine,
} from '../../shared/index.ts';
import { stepsLeft } from '../engine/index.ts';
import { propertyClass, zincServiceClass } from '../standards/index.ts';
import type { SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { said } from './seizing.ts';
import { cautionsOf } from './strip-down.ts';
import { hardnessOf, hydrogenOf, threadFitOf } from './ticket-coat.ts';

/** Slips that go with the boxes, one a batch of the plan: counted parts, what is wanted, what to mask, refuse and tally. */
export function ticketsOf(batches: readonly Batch[], input: SheetInput): Ticket[] {
  return batches.flatMap((batch) => byFinish(batch).map((parts) => ticketOf(batch, parts, input)));
}

/** A shop does one operation a slip: parts of a batch that want another film go on another. */
function byFinish(batch: Batch): BatchPart[][] {
  const operations = [...new Set(batch.parts.map((part) => part.operation))];
  return operations.map((operation) => batch.parts.filter((part) => part.operation === operation));
}

function ticketOf(batch: Batch, parts: readonly BatchPart[], input: SheetInput): Ticket {
  const { rubric } = input;
  const operation = rubric.operations.find((entry) => entry.id === parts[0]!.operation)!;
  const rules = rubric.tickets.find((entry) => entry.id === batch.process);
  const isWhole = parts.length === batch.parts.length;
  const lines = parts.map((part) => lineOf(part, batch, operation, input));
  const sum = (pick: (line: TicketLine) => number) => lines.reduce((total, line) => total + pick(line), 0);
  const out = sum((line) => line.out ?? 0);
  const back = sum((line) => line.back ?? 0);
  const missing = lines.filter((line) => line.missing > 0);
  const saidAll = (name: string, list: readonly { text: string; from: string }[] | undefined) =>
    (list ?? []).map((line) => said(rubric, `tickets.${batch.process}.${name}`, line.text, line.from));
  return {
    id: isWhole ? batch.id : `${batch.id}.${operation.id}`,
    process: batch.process,
    name: batch.name,
    finish: finishOf(operation),
    colour: batch.colour,
    thicknessUm: operation.addsUm ?? null,
    lines,
    total: {
      pieces: sum((line) => line.count),
      massKg: round(
        sum((line) => line.massKg),
        2,
      ),
      areaDm2: round(
        sum((line) => line.areaDm2),
        1,
      ),
    },
    shopRefuses: batch.refuses,
    refuseOnReturn: saidAll('refuse-on-return', rules?.refuseOnReturn),
    instructions: [...heatLine(operation, lines, input), ...saidAll('instructions', rules?.instructions)],
    leadDays: batch.leadDays,
    tally: {
      out,
      back,
      missing: missing.map(({ component, name, missing: count }) => ({ component, name, count })),
      words: tallyWords(out, back, missing),
    },
    cautions: cautionsOf([...new Set([...(operation.cautions ?? []), ...(rules?.cautions ?? [])])], input),
  };
}

function finishOf({ name, addsUm, process }: Operation): string {
  const zinc = process === 'zinc' && addsUm !== undefined ? zincServiceClass(addsUm) : null;
  return zinc ? `${name}; ${zinc.designation}, for ${zinc.service} service` : name;
}

function heatLine(operation: Operation, lines: readonly TicketLine[], { rubric }: SheetInput): Said[] {
  if (operation.heatC === undefined) return [];
  const limits = lines.flatMap(({ class: id }) => {
    const limit = id === null ? null : (propertyClass(id, 10, { old: true })?.temperMinC ?? null);
    return limit === null ? [] : [{ id: id!, limit }];
  });
  const least = limits.sort((a, b) => a.limit - b.limit)[0];
  const bound = least ? `; class ${least.id} is lost above ${least.limit} degC` : '';
  const minutes = operation.heatMinutes === undefined ? '' : ` for ${operation.heatMinutes} minutes`;
  return [
    said(
      rubric,
      `operations.${operation.id}.heat`,
      `No hotter than ${operation.heatC} degC${minutes}${bound}`,
      operation.from,
    ),
  ];
}

function lineOf(part: BatchPart, batch: Batch, operation: Operation, input: SheetInput): TicketLine {
  const { rubric, assessment } = input;
  const component = assessment.components.find((entry) => entry.id === part.component)!;
  const kind = rubric.kinds.find((entry) => entry.id === component.kind)!;
  const { thread, class: classId, lengthMm } = component.properties ?? {};
  const each = (total: number) => (part.pieces > 0 ? total / part.pieces : 0);
  const told = toldOf(component, part, batch, input);
  return {
    component: component.id,
    name: component.name,
    count: part.pieces,
    metal: METALS[component.material ?? kind.material] ?? (component.material ?? kind.material).replaceAll('-', ' '),
    massKgEach: round(each(part.massKg.usual), 3),
    massKg: round(part.massKg.usual, 3),
    areaDm2Each: round(each(part.areaDm2.usual), 2),
    areaDm2: round(part.areaDm2.usual, 2),
    sizeFrom: component.massKg !== undefined && component.areaDm2 !== undefined ? 'measured' : 'usual for its kind',
    thread: thread === undefined ? null : String(thread),
    class: classId === undefined ? null : String(classId),
    hardness: hardnessOf(component),
    mask: operation.meets.includes('thickness') || operation.meets.includes('grit') ? [...kind.masking] : [],
    firstOff: firstOffOf(component, kind, batch.process, operation, input),
    threadFit: threadFitOf(thread, classId, lengthMm, operation, input),
    hydrogen: hydrogenOf(component, operation, input),
    holds: holdsBefore(component, part, operation, input),
    mustNot: kind.mustNotMeet
      .filter((harm) => operation.meets.includes(harm.harm) || harm.harm === 'heat')
      .filter((harm) => !(harm.harm === 'heat' && operation.heatC === undefined))
      .filter((harm) => mayHold(harm.when, component))
      .map((harm) =>
        said(
          rubric,
          `${kind.id}.must-not-meet.${harm.harm}`,
          harm.aboveC === undefined ? harm.because : `Not above ${harm.aboveC} degC: ${harm.because}`,
          harm.from,
        ),
      ),
    note: component.note ?? null,
    ...told,
  };
}

/** Whether a condition on a property may hold: what is not stated counts as holding. */
function mayHold(when: Condition | undefined, { properties }: Component): boolean {
  if (when === undefined || !('property' in when) || when.is === undefined) return true;
  const value = properties?.[when.property];
  return value === undefined || [when.is].flat().some((one) => String(one) === String(value));
}

const METALS: Readonly<Record<string, string>> = { 'forged-steel': 'steel, forged', 'spring-steel': 'spring steel' };

/** What was told of pieces out and back; a set's groups share what was told of the whole in their order. */
function toldOf(component: Component, part: BatchPart, batch: Batch, { assessment }: SheetInput) {
  const own = (assessment.sent ?? []).filter((s) => s.component === component.id && s.process === batch.process);
  if (own.length === 0) return { out: null, back: null, missing: 0 };
  const groups = batch.parts.filter((other) => other.component === component.id);
  const share = (total: number) => {
    let left = total;
    for (const group of groups) {
      const taken = group === groups.at(-1) ? left : Math.min(left, group.pieces);
      if (group === part) return taken;
      left -= taken;
    }
    return 0;
  };
  const out = share(own.reduce((sum, s) => sum + s.out, 0));
  const isBack = own.every((s) => s.back !== undefined);
  const back = own.some((s) => s.back !== undefined) ? share(own.reduce((sum, s) => sum + (s.back ?? 0), 0)) : null;
  return { out, back, missing: isBack && back !== null ? out - back : 0 };
}

function tallyWords(out: number, back: number, missing: readonly TicketLine[]): string {
  if (out === 0) return 'Nothing sent yet: count into the box, both sign';
  if (missing.length > 0) {
    const words = missing.map((line) => `${line.missing} x ${line.name}`).join(', ');
    return `${out} out, ${back} back. Missing: ${words}`;
  }
  return back === 0
    ? `${out} out, none back yet`
    : back < out
      ? `${out} out, ${back} back so far`
      : `${out} out, ${back} back, none missing`;
}

function firstOffOf(
  component: Component,
  kind: Kind,
  process: string,
  operation: Operation,
  input: SheetInput,
): string[] {
  const { rubric, assessment } = input;
  const inside = assessment.components
    .filter((other) => other.sitsIn === component.id && !other.takenOut)
    .map((other) => `${other.name}: sits in it`);
  const names = (kind.holds ?? []).flatMap((id) => rubric.kinds.find((k) => k.id === id)?.name ?? []);
  const held = inside.length === 0 ? names.map((name) => `${name}, if one is still in it`) : [];
  const isDirty = operation.meets.some((harm) => harm !== 'solvent');
  const rules = rubric.tickets.find((entry) => entry.id === process)?.firstOff ?? [];
  return [...inside, ...held, ...(isDirty ? rules.map((rule) => rule.text) : [])];
}

/** Hold points of the part's route that must have passed before this shop. */
function holdsBefore(
  component: Component,
  part: BatchPart,
  operation: Operation,
  { rubric, parts }: SheetInput,
): string[] {
  const planned = parts.find((p) => p.component === component.id && p.group === part.group);
  const route = rubric.routes.find((entry) => entry.id === (planned?.route ?? planned?.ifClear?.route));
  if (!route) return [];
  const steps = stepsLeft(route, component);
  const here = steps.findIndex((step) => 'do' in step && step.do === operation.id);
  return steps.slice(0, Math.max(0, here)).flatMap((step) => ('hold' in step ? [step.name] : []));
}
