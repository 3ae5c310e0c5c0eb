import type { Kept } from '../app/store-port.ts';
import type { KeptVerdicts, Packed } from '../app/verdict-port.ts';
import type { ServerDeps } from './deps.ts';
import type { Judging } from './judging.ts';

export interface ScoreQuery {
  seed: number;
  minutes?: number;
}

/** What every page asks; only these verdicts are worked out ahead and kept. */
const PLAIN: ScoreQuery = { seed: 1 };

/** Most assessments whose verdicts are held in memory: some 200 kB for one of 500 components. */
const MOST_HELD = 64;

/** Verdicts of assessments, each state judged once, the newest of each kept across restarts. */
export function verdictDesk(deps: Pick<ServerDeps, 'score' | 'verdicts'>, judge: Judging) {
  const held = new Map<string, KeptVerdicts>();
  const hold = (id: string, verdicts: KeptVerdicts) => {
    held.delete(id);
    if (held.size >= MOST_HELD) held.delete(held.keys().next().value!);
    held.set(id, verdicts);
  };

  /** The newest there are of this assessment by this program and its rubric, of whichever state. */
  const lastOf = async (kept: Kept): Promise<KeptVerdicts | null> => {
    const last = held.get(kept.id) ?? (await deps.verdicts.find(kept.id));
    if (last?.rubricVersion !== judge.versionFor(kept)) return null;
    if (!held.has(kept.id)) hold(kept.id, last);
    return last;
  };

  /** What can be shown at once: verdicts of this state, else of the newest state that was judged, else null. */
  const ready = async (kept: Kept, query: ScoreQuery) => (isPlain(query) ? lastOf(kept) : null);

  const score = async (kept: Kept, query: ScoreQuery): Promise<Packed> => {
    const last = await ready(kept, query);
    if (last?.state === kept.etag) return last.packed;
    const packed = await judge.workedOut(kept, `score ${JSON.stringify(query)}`, (rubric) =>
      deps.score(rubric, kept.assessment, query),
    );
    if (isPlain(query) && held.get(kept.id)?.state !== kept.etag) {
      const rubricVersion = judge.versionFor(kept);
      const verdicts = { state: kept.etag, version: kept.version, rubricVersion, packed };
      hold(kept.id, verdicts);
      // Nobody waits for the disk.
      void deps.verdicts.keep(kept.id, verdicts);
    }
    return packed;
  };

  return {
    ready,
    score,
    /** Works verdicts out before anybody asks. */
    ahead: (kept: Kept) => score(kept, PLAIN),
  };
}

function isPlain({ seed, minutes }: ScoreQuery): boolean {
  return seed === PLAIN.seed && minutes === undefined;
}

export type VerdictDesk = ReturnType<typeof verdictDesk>;
