import { applyChange, type KeptChange, type Undoing } from '../../shared/index.ts';
import { type ChangeDeps, type ChangeRequest, meets, refuseInBin } from './store-changes.ts';
import type { Inside, Kept, KeptEntry } from './store-port.ts';
import { ProblemError } from './store-problem.ts';

/**
 * Undoes one change: the one named, or the newest of the asking device. What came in with it as one list is undone too, all of it
 * or nothing; undoing that undo makes the list again.
 *
 * @throws {ProblemError} `not-found`; `conflict` when something later stands on it; `not-allowed`
 */
export async function undoChange(
  id: string,
  wanted: { id: string; change?: string | undefined },
  request: ChangeRequest,
  deps: ChangeDeps,
): Promise<{ version: number; undone: KeptEntry }> {
  const answer = await deps.store.change(id, async (kept, inside) => {
    refuseInBin(kept);
    const done = await inside.entry(wanted.id);
    if (done?.undoes) {
      const undone = await inside.entry(done.undoes);
      if (undone) return { entries: [], answer: { version: kept.version, undone } };
    }
    const entry = await (wanted.change === undefined
      ? inside.lastOf(request.author.device)
      : inside.entry(wanted.change));
    if (!entry) throw new ProblemError('not-found', 'There is nothing to undo');
    if (entry.undoneBy) throw new ProblemError('conflict', 'It is undone already');
    if (request.role !== 'own' && entry.device !== request.author.device) {
      throw new ProblemError('not-allowed', 'This device may undo its own changes only');
    }
    const together = entry.list === null ? [entry] : await inside.ofList(entry.list);
    const open = together.filter((one) => one.undoneBy === null);
    await refuseClash(open, inside);
    const { state, made } = takenBack(kept, open);
    const faults = await deps.check(state.assessment, state.rubricVersion, inside.rubric);
    if (faults.length > 0) throw new ProblemError('conflict', undefined, { faults });
    const entries = made.map(({ of, redo }, n) => {
      // The asked-for id stands for the change that was named; sent again it is found, and nothing is undone twice.
      const ownId = of.id === entry.id ? wanted.id : `undo-${crypto.randomUUID()}`;
      return {
        id: ownId,
        version: kept.version + 1 + n,
        at: deps.now(),
        by: request.author.name,
        device: request.author.device,
        change: { ...(of.undo[0] ?? { type: 'use-current-rubric' }), id: ownId } as KeptChange,
        undo: redo,
        touches: of.touches,
        list: entry.list === null ? null : wanted.id,
        undoes: of.id,
      };
    });
    return {
      next: state,
      entries,
      answer: { version: entries.at(-1)!.version, undone: { ...entry, undoneBy: wanted.id } },
    };
  });
  if (!answer) throw new ProblemError('not-found', `There is no assessment ${id}`);
  return answer;
}

/** @throws {ProblemError} `conflict` when somebody changed the same afterwards */
async function refuseClash(open: readonly KeptEntry[], inside: Inside): Promise<void> {
  const own = new Set(open.map((entry) => entry.id));
  const later = (await inside.since(open[0]!.version)).filter(
    (other) => other.undoneBy === null && other.undoes === null && !own.has(other.id),
  );
  for (const entry of open) {
    const clash = later.find(
      (other) =>
        other.version > entry.version &&
        other.touches.some((touched) => entry.touches.some((mine) => meets(touched, mine))),
    );
    if (clash) throw new ProblemError('conflict', `${clash.by} changed the same at ${clash.at}: undo that first`);
  }
}

type State = Pick<Kept, 'assessment' | 'rubricVersion'>;

/**
 * The state without these entries, newest taken back first, and for each what makes it again.
 *
 * @throws {ProblemError} `conflict` when a step no longer fits
 */
function takenBack(
  kept: Kept,
  open: readonly KeptEntry[],
): { state: State; made: { of: KeptEntry; redo: Undoing[] }[] } {
  let { assessment, rubricVersion } = kept;
  const made = open.toReversed().map((of) => {
    const redo: Undoing[] = [];
    for (const step of of.undo) {
      const applied = applyChange(assessment, step);
      if (applied.refused) throw new ProblemError('conflict', undefined, { faults: [applied.refused] });
      if (step.type === 'use-rubric') rubricVersion = step.version;
      if (step.type === 'use-current-rubric') rubricVersion = null;
      assessment = applied.assessment;
      redo.unshift(...(step.type === 'use-rubric' ? [{ type: 'use-current-rubric' } as const] : applied.undo));
    }
    return { of, redo };
  });
  return { state: { assessment, rubricVersion }, made };
}
