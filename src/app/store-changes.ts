import {
  type ApplyOptions,
  type Assessment,
  applyChange,
  type Change,
  type ChangesAnswer,
  type Fault,
  type PhotoRecord,
  type Role,
  type Rubric,
  type Undoing,
} from '../../shared/index.ts';
import type { Author, Inside, Kept, KeptEntry, PhotoRow, Store } from './store-port.ts';
import { ProblemError, problem } from './store-problem.ts';

/** What is wrong with an assessment under a rubric; empty when nothing is. */
export type CheckAssessment = (
  assessment: unknown,
  rubricVersion: string | null,
  load?: (version: string) => Promise<Rubric | undefined>,
) => Promise<readonly Fault[]>;

export interface ChangeDeps {
  store: Store;
  check: CheckAssessment;
  /** Date of today, `2026-11-25`, and the time now, ISO 8601. */
  today: () => string;
  now: () => string;
}

export interface ChangeRequest {
  author: Author;
  role: Role;
  /** The header `If-Match`, as sent. */
  ifMatch?: string | undefined;
  /** Under this id the changes are one list, undone together. */
  list?: string | undefined;
}

/** What a grader may do; the rest is the owner's. */
const GRADERS: ReadonlySet<Change['type']> = new Set([
  'observe',
  'withdraw-observation',
  'add-cover',
  'record-position',
  'add-actual',
  'assign-photo',
  'unassign-photo',
  'strike-photo',
]);
/** Fields of a component that a grader finds out by looking. */
const GRADERS_FIELDS: ReadonlySet<string> = new Set(['stage', 'position', 'symptoms', 'note', 'takenOut']);

/**
 * Keeps changes of one assessment, in order, each once by its id. One that cannot be kept does not stop the others.
 *
 * @throws {ProblemError} `not-found`; `stale` when `If-Match` names another version; `need-if-match`
 */
export async function keepChanges(
  id: string,
  changes: readonly Change[],
  request: ChangeRequest,
  deps: ChangeDeps,
): Promise<ChangesAnswer> {
  const answer = await deps.store.change<ChangesAnswer>(id, async (kept, inside) => {
    refuseInBin(kept);
    const replaces = changes.filter((change) => change.type === 'set-assessment' || change.type === 'set-component');
    const isFresh = request.ifMatch !== undefined && namesTag(request.ifMatch, kept.etag);
    if (request.ifMatch !== undefined && !isFresh && !(await allKept(changes, inside))) {
      throw new ProblemError('stale', `Wanted ${kept.etag}, found ${request.ifMatch}`, { version: kept.version });
    }
    if (request.ifMatch === undefined && replaces.some((change) => change.seen === undefined)) {
      throw new ProblemError(
        'need-if-match',
        'A field is replaced: wanted the header If-Match, or "seen" in the change',
      );
    }
    let state: State = { assessment: kept.assessment, rubricVersion: kept.rubricVersion, version: kept.version };
    const results: ChangesAnswer['results'] = [];
    const entries: Omit<KeptEntry, 'undoneBy'>[] = [];
    for (const change of changes) {
      if (entries.some((entry) => entry.id === change.id) || (await inside.entry(change.id))) {
        results.push({ id: change.id, outcome: 'already' });
        continue;
      }
      const done = await makeChange(state, change, { ...request, inside, deps });
      if ('problem' in done) results.push({ id: change.id, outcome: 'refused', problem: done.problem });
      else {
        state = done.state;
        entries.push(done.entry);
        results.push({ id: change.id, outcome: 'kept' });
      }
    }
    return {
      ...(entries.length > 0 ? { next: state } : {}),
      entries,
      answer: { version: state.version, results },
    };
  });
  if (!answer) throw new ProblemError('not-found', `There is no assessment ${id}`);
  return answer;
}

interface State {
  assessment: Assessment;
  rubricVersion: string | null;
  version: number;
}

interface Making extends ChangeRequest {
  inside: Inside;
  deps: ChangeDeps;
}

async function makeChange(
  state: State,
  change: Change,
  { author, role, list, inside, deps }: Making,
): Promise<{ state: State; entry: Omit<KeptEntry, 'undoneBy'> } | { problem: ReturnType<typeof problem> }> {
  if (!mayChange(role, change)) {
    return { problem: problem('not-allowed', `This device may answer checks, not ${change.type}`) };
  }
  const applied = applyChange(state.assessment, change, await optionsFor(change, author, inside, deps));
  if (applied.refused) return { problem: problem('unfit', undefined, { faults: [applied.refused] }) };
  if ('seen' in change && change.seen !== undefined && change.seen < state.version) {
    // Whoever sends several changes at once knows the earlier of them: only what was kept before this request can clash.
    const clash = (await inside.since(change.seen)).find((entry) =>
      entry.touches.some((touched) => applied.touches.some((mine) => meets(touched, mine))),
    );
    if (clash) {
      const detail = `${clash.by} changed it at ${clash.at}; you saw version ${change.seen}`;
      return { problem: problem('stale', detail, { version: state.version }) };
    }
  }
  const rubricVersion = change.type === 'use-current-rubric' ? null : state.rubricVersion;
  const undo: Undoing[] =
    change.type === 'use-current-rubric' && state.rubricVersion !== null
      ? [{ type: 'use-rubric', version: state.rubricVersion }]
      : applied.undo;
  const faults = await deps.check(partToCheck(applied.assessment, change), rubricVersion, inside.rubric);
  if (faults.length > 0) return { problem: problem('unfit', undefined, { faults }) };
  return {
    state: { assessment: applied.assessment, rubricVersion, version: state.version + 1 },
    entry: {
      id: change.id,
      version: state.version + 1,
      at: deps.now(),
      by: author.name,
      device: author.device,
      change,
      undo,
      touches: applied.touches,
      list: list ?? null,
      undoes: null,
    },
  };
}

/** Nothing is changed in the bin. */
export function refuseInBin(kept: Kept): void {
  if (kept.deletedAt !== null) throw new ProblemError('gone', `${kept.id} is in the bin; bring it back first`);
}

function mayChange(role: Role, change: Change): boolean {
  if (role === 'own') return true;
  if (role === 'read') return false;
  if (GRADERS.has(change.type)) return true;
  if (change.type !== 'set-component') return false;
  return [...Object.keys(change.set ?? {}), ...(change.clear ?? [])].every((field) => GRADERS_FIELDS.has(field));
}

/** One place is inside the other, or they are the same. */
export function meets(one: string, other: string): boolean {
  return one === other || one.startsWith(`${other}/`) || other.startsWith(`${one}/`);
}

/** `If-Match` (RFC 9110, 13.1.1): `*` or a list of strong tags. */
function namesTag(header: string, etag: string): boolean {
  return header.trim() === '*' || header.split(',').some((tag) => tag.trim() === etag);
}

async function allKept(changes: readonly Change[], inside: Inside): Promise<boolean> {
  for (const change of changes) if (!(await inside.entry(change.id))) return false;
  return true;
}

/**
 * For an answer only the component it belongs to, and of that only the new answer: checking a long list whole for each tap of
 * two hundred phones would be most of the work.
 */
function partToCheck(assessment: Assessment, change: Change): Assessment {
  if (change.type !== 'observe') return assessment;
  const id = change.observation.id ?? change.id;
  const component = assessment.components.find((other) => other.id === change.component)!;
  const {
    sitsIn: _in,
    pair: _pair,
    mates: _mates,
    joints: _joints,
    photos: _photos,
    positions: _p,
    ...alone
  } = component;
  const { covers: _covers, ...around } = assessment;
  const observations = component.observations!.filter((other) => other.id === id);
  return { ...around, components: [{ ...alone, observations }] };
}

async function optionsFor(change: Change, author: Author, inside: Inside, deps: ChangeDeps): Promise<ApplyOptions> {
  const base = { today: deps.today(), by: author.name };
  if (change.type !== 'assign-photo') return base;
  const row = await inside.photo(change.photo);
  return row && row.removedAt === null ? { ...base, photo: () => recordOf(row) } : base;
}

/** A stored photo as the assessment holds it. */
export function recordOf(row: PhotoRow): PhotoRecord {
  const area = row.measurement?.rustAreaPercent as { value: number; low: number; high: number } | null | undefined;
  const method = row.measurement?.method as 'model' | 'colour' | 'corrected' | undefined;
  return {
    id: row.id,
    file: row.file,
    date: (row.takenAt ?? row.addedAt).slice(0, 10),
    ...(row.outline ? { outline: row.outline } : {}),
    // Only an outlined photo says anything about the part.
    ...(row.outline && area && method ? { rustAreaPercent: { ...area, method } } : {}),
  };
}
