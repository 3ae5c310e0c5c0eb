import type { z } from 'zod';
import {
  Assembly,
  Caution,
  Consumable,
  type Fault,
  faultsOf,
  Hardware,
  Kind,
  Operation,
  Prices,
  Process,
  ProcessTicket,
  Release,
  RevealTable,
  Route,
  type Rubric,
  RustinessTable,
  Scale,
  Settings,
  Setup,
  SharedCharge,
  Source,
  Supplier,
  showFound,
  Tool,
} from '../../shared/index.ts';
import { checkIds } from './check-rubric-ids.ts';
import { checkReleaseRules } from './check-rubric-release.ts';
import { checkKindRules } from './check-rubric-rules.ts';
import { checkTables } from './check-rubric-tables.ts';
import { checkSentences } from './check-rubric-words.ts';

/** One file of a rubric as parsed, before anything is known of its content. */
export interface RubricFile {
  /** As the user named it; stands in every fault. */
  file: string;
  part: RubricPart;
  /** 0: the rubric itself; 1: a user's own folder, whose entries replace those of the same id. */
  layer: 0 | 1;
  value: unknown;
}

/** Parts that are lists of entries with an id. */
export const LIST_PARTS = {
  sources: Source,
  scales: Scale,
  reveal: RevealTable,
  rustiness: RustinessTable,
  operations: Operation,
  routes: Route,
  hardware: Hardware,
  cautions: Caution,
  assemblies: Assembly,
  tools: Tool,
  consumables: Consumable,
  suppliers: Supplier,
  tickets: ProcessTicket,
} as const;
const CHARGE_PARTS = { processes: Process, shared: SharedCharge, setups: Setup } as const;

type ListPart = keyof typeof LIST_PARTS;
export type RubricPart = ListPart | 'settings' | 'charges' | 'prices' | 'release' | 'kind';

/** An entry with where it stands. `raw` is kept when it did not parse, so that its id still counts as known. */
export interface Placed<T> {
  file: string;
  path: string;
  layer: 0 | 1;
  id: string | null;
  value: T | null;
}

/** Everything of a rubric by part, each entry with its place. */
export interface PlacedRubric {
  lists: { [P in ListPart]: Placed<z.infer<(typeof LIST_PARTS)[P]>>[] };
  charges: { [P in keyof typeof CHARGE_PARTS]: Placed<z.infer<(typeof CHARGE_PARTS)[P]>>[] };
  settings: Placed<Settings>;
  prices: Placed<Prices>;
  release: Placed<Release>;
  kinds: Placed<Kind>[];
}

/**
 * Puts the files of a rubric together and checks all of it: form, ids, tables, and rules that can never fire.
 *
 * @param files every file of the rubric, then those of a user's own folder (layer 1)
 * @returns the rubric without its version, or every fault with file and path
 */
export function checkRubric(
  files: readonly RubricFile[],
): { rubric: Omit<Rubric, 'version'>; faults?: undefined } | { rubric?: undefined; faults: Fault[] } {
  const faults: Fault[] = [];
  const placed = place(files, faults);
  faults.push(...checkIds(placed), ...checkTables(placed), ...checkReleaseRules(placed));
  faults.push(...checkSentences(placed.kinds));
  for (const kind of placed.kinds) faults.push(...checkKindRules(kind));
  if (faults.length > 0) return { faults };
  const values = <T>(entries: readonly Placed<T>[]) => entries.map((entry) => entry.value!);
  const { lists, charges } = placed;
  return {
    rubric: {
      settings: placed.settings.value!,
      sources: values(lists.sources),
      scales: values(lists.scales),
      reveal: values(lists.reveal),
      rustiness: values(lists.rustiness),
      operations: values(lists.operations),
      routes: values(lists.routes),
      charges: {
        processes: values(charges.processes),
        shared: values(charges.shared),
        setups: values(charges.setups),
      },
      prices: placed.prices.value!,
      hardware: values(lists.hardware),
      cautions: values(lists.cautions),
      assemblies: values(lists.assemblies),
      kinds: values(placed.kinds),
      release: placed.release.value!,
      tools: values(lists.tools),
      consumables: values(lists.consumables),
      suppliers: values(lists.suppliers),
      tickets: values(lists.tickets),
    },
  };
}

/** A rubric taken apart into the files `checkRubric` reads: for one that came inside an exported assessment. */
export function filesOfRubric(rubric: Omit<Rubric, 'version'>, file: string): RubricFile[] {
  const { kinds, settings, charges, prices, release, ...lists } = rubric;
  const whole = (part: RubricPart, value: unknown): RubricFile => ({ file, part, layer: 0, value });
  return [
    whole('settings', settings),
    whole('charges', charges),
    whole('prices', prices),
    whole('release', release),
    ...(Object.keys(LIST_PARTS) as ListPart[]).map((part) => whole(part, lists[part])),
    ...kinds.map((kind) => whole('kind', kind)),
  ];
}

function place(files: readonly RubricFile[], faults: Fault[]): PlacedRubric {
  const of = (part: RubricPart) => files.filter((file) => file.part === part);
  const list = <S extends z.ZodType>(part: ListPart, schema: S) =>
    merged(
      of(part).flatMap((file) => entriesOf(file, file.value, '', schema, faults)),
      faults,
    );
  const charge = <S extends z.ZodType>(key: keyof typeof CHARGE_PARTS, schema: S) =>
    merged(
      of('charges').flatMap((file) => {
        const value = (file.value as Record<string, unknown> | null)?.[key];
        return value === undefined && file.layer === 1 ? [] : entriesOf(file, value, key, schema, faults);
      }),
      faults,
    );
  for (const file of of('charges')) {
    for (const key of Object.keys(Object(file.value))) {
      if (!(key in CHARGE_PARTS)) {
        const wanted = `one of ${Object.keys(CHARGE_PARTS).join(', ')}`;
        faults.push({ file: file.file, path: key, wanted, found: showFound(key) });
      }
    }
  }
  const lists = Object.fromEntries(
    (Object.keys(LIST_PARTS) as ListPart[]).map((part) => [part, list(part, LIST_PARTS[part])]),
  ) as unknown as PlacedRubric['lists'];
  return {
    lists,
    charges: {
      processes: charge('processes', Process),
      shared: charge('shared', SharedCharge),
      setups: charge('setups', Setup),
    },
    settings: one(of('settings'), 'settings', Settings, faults),
    prices: one(of('prices'), 'prices', Prices, faults),
    release: one(of('release'), 'release', Release, faults),
    kinds: merged(
      of('kind').map((file) => parsed(file, '', file.value, Kind, faults)),
      faults,
    ),
  };
}

function entriesOf<S extends z.ZodType>(
  file: RubricFile,
  value: unknown,
  path: string,
  schema: S,
  faults: Fault[],
): Placed<z.infer<S>>[] {
  if (!Array.isArray(value)) {
    faults.push({ file: file.file, path, wanted: 'a list of entries', found: showFound(value) });
    return [];
  }
  return value.map((entry, i) => parsed(file, path === '' ? String(i) : `${path}.${i}`, entry, schema, faults));
}

function parsed<S extends z.ZodType>(
  { file, layer }: RubricFile,
  path: string,
  value: unknown,
  schema: S,
  faults: Fault[],
): Placed<z.infer<S>> {
  const result = schema.safeParse(value);
  if (!result.success) {
    faults.push(...faultsOf(result.error, value, file).map((fault) => ({ ...fault, path: joined(path, fault.path) })));
  }
  const id = (value as { id?: unknown } | null)?.id;
  return { file, path, layer, id: typeof id === 'string' ? id : null, value: result.success ? result.data : null };
}

/** `a` and `b` as one path. */
export function joined(a: string, b: string): string {
  return a === '' || b === '' ? a + b : `${a}.${b}`;
}

// A user's entry takes the place of the rubric's entry of the same id, so that order does not depend on whose it is.
function merged<T>(entries: readonly Placed<T>[], faults: Fault[]): Placed<T>[] {
  const out: Placed<T>[] = [];
  for (const entry of entries) {
    const before = entry.id === null ? -1 : out.findIndex((other) => other.id === entry.id);
    if (before < 0) out.push(entry);
    else if (out[before]!.layer < entry.layer) out[before] = entry;
    else {
      const path = joined(entry.path, 'id');
      faults.push({ file: entry.file, path, wanted: 'an id used once', found: `${showFound(entry.id)} a second time` });
    }
  }
  return out;
}

// Settings and prices are one mapping: a user's file names only what it changes.
function one<S extends z.ZodType>(
  files: readonly RubricFile[],
  part: string,
  schema: S,
  faults: Fault[],
): Placed<z.infer<S>> {
  const last = files.at(-1);
  if (!last || files[0]!.layer !== 0) {
    faults.push({ file: `${part}.yaml`, path: '', wanted: 'this file in the rubric', found: 'nothing' });
    return { file: `${part}.yaml`, path: '', layer: 0, id: null, value: null };
  }
  for (const { file, value } of files) {
    if (value === null || typeof value !== 'object' || Array.isArray(value)) {
      faults.push({ file, path: '', wanted: 'a mapping', found: showFound(value) });
      return { file, path: '', layer: 0, id: null, value: null };
    }
  }
  const together = Object.assign({}, ...files.map((file) => file.value)) as unknown;
  return parsed(last, '', together, schema, faults);
}
