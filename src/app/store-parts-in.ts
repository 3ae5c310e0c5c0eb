import {
  type Assessment,
  applyChange,
  type Change,
  type Component,
  type Fault,
  type PartsAnswer,
  type Rubric,
} from '../../shared/index.ts';
import type { ChangeDeps, ChangeRequest } from './store-changes.ts';
import { keepChanges, refuseInBin } from './store-changes.ts';
import { columnNotes } from './store-import.ts';
import { partsFromCsv, propertiesOf } from './store-parts.ts';
import type { Kept } from './store-port.ts';

/** What a row would do: the change, and what a person is told of it. */
interface Row {
  component: Component;
  change: Change;
  /** Null for a new part. */
  fields: PartsAnswer['changed'][number]['fields'] | null;
}

/** Of a part that is there a row never touches what was found on it. */
const FOUND: ReadonlySet<string> = new Set(['id', 'observations', 'photos', 'override', 'actuals', 'positions']);

/**
 * Takes a parts list into an assessment, or only says what it would do.
 *
 * Rows with a known id change that part, the others add one; a part that no row names stays as it is. Undo takes the whole list back.
 *
 * @param text CSV
 * @param options `preview`: nothing is kept
 * @throws {InputError} with every fault of the file, `row 3, kind`
 */
export async function takePartsIn(
  kept: Kept,
  text: string,
  options: { rubric: Rubric; preview: boolean; request: ChangeRequest; deps: ChangeDeps },
): Promise<PartsAnswer> {
  const { rubric, preview, request, deps } = options;
  refuseInBin(kept);
  const { components, noted } = partsFromCsv(text, propertiesOf(rubric), kept.assessment.components);
  const list = `parts-${crypto.randomUUID()}`;
  const rows = rowsOf(kept, components, list);
  const changes = rows.map((row) => row.change);
  const refusals = preview
    ? await tried(kept, changes, deps)
    : await keptNow(kept.id, changes, { ...request, list }, deps);
  const taken = rows.filter((row) => !refusals.has(row.change.id));
  return {
    added: taken.flatMap(({ component: { id, name, kind }, fields }) => (fields === null ? { id, name, kind } : [])),
    changed: taken.flatMap(({ component: { id, name }, fields }) => (fields === null ? [] : { id, name, fields })),
    same: components.length - rows.length,
    refused: rows.flatMap(({ component: { id, name }, change }) => {
      const why = refusals.get(change.id);
      return why === undefined ? [] : { id, name, why };
    }),
    notes: columnNotes(noted),
    changes: preview ? [] : taken.map((row) => row.change.id),
  };
}

function rowsOf(kept: Kept, components: readonly Component[], list: string): Row[] {
  return components.flatMap((component, n): Row[] => {
    const id = `${list}-${n}`;
    const before = kept.assessment.components.find((other) => other.id === component.id);
    if (!before) return [{ component, change: { id, type: 'add-component', component }, fields: null }];
    const changed = Object.entries(component).filter(
      ([field, value]) => !FOUND.has(field) && !isSame(value, before[field as keyof Component]),
    );
    if (changed.length === 0) return [];
    const fields = changed.map(([field, value]) => ({
      field,
      was: wordsOf(before[field as keyof Component]),
      now: wordsOf(value),
    }));
    const set = Object.fromEntries(changed);
    return [
      { component, change: { id, type: 'set-component', component: component.id, set, seen: kept.version }, fields },
    ];
  });
}

/** Equal as JSON, the order of names aside. */
function isSame(one: unknown, other: unknown): boolean {
  return wordsOf(one) === wordsOf(other);
}

/** A field's value on one line; null when there is none. */
function wordsOf(value: unknown): string | null {
  if (value === undefined || value === null) return null;
  if (typeof value !== 'object') return String(value);
  if (Array.isArray(value)) return value.map(wordsOf).join(', ');
  return Object.entries(value)
    .map(([name, inner]) => `${name} ${wordsOf(inner)}`)
    .sort()
    .join(', ');
}

/** Which changes would be refused, and why; nothing is kept. */
async function tried(kept: Kept, changes: readonly Change[], deps: ChangeDeps): Promise<Map<string, string>> {
  const refusals = new Map<string, string>();
  const check = (assessment: Assessment) => deps.check(assessment, kept.rubricVersion);
  const withAll = changes.reduce((assessment, change) => made(assessment, change, deps).next, kept.assessment);
  // Most lists have no fault, and are then checked once and not once a row.
  if ((await check(withAll)).length === 0) return refusals;
  let assessment = kept.assessment;
  for (const change of changes) {
    const { next, fault } = made(assessment, change, deps);
    const faults = fault ? [fault] : await check(next);
    if (faults.length > 0) refusals.set(change.id, faultWords(faults));
    else assessment = next;
  }
  return refusals;
}

function made(assessment: Assessment, change: Change, deps: ChangeDeps): { next: Assessment; fault?: Fault } {
  const applied = applyChange(assessment, change, { today: deps.today() });
  return applied.refused ? { next: assessment, fault: applied.refused } : { next: applied.assessment };
}

async function keptNow(
  id: string,
  changes: readonly Change[],
  request: ChangeRequest,
  deps: ChangeDeps,
): Promise<Map<string, string>> {
  const { results } = await keepChanges(id, changes, request, deps);
  return new Map(
    results.flatMap(({ id: change, outcome, problem }) =>
      outcome === 'refused' ? [[change, faultWords(problem?.faults ?? []) || (problem?.title ?? '')] as const] : [],
    ),
  );
}

function faultWords(faults: readonly Pick<Fault, 'path' | 'wanted' | 'found'>[]): string {
  return faults
    .slice(0, 3)
    .map(({ path, wanted, found }) => `${path.split('.').at(-1)}: wanted ${wanted}, found ${found}`)
    .join('; ');
}
