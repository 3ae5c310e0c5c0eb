import type { Rubric } from '../../shared/index.ts';
import type { CheckAssessment } from '../app/store-changes.ts';
import type { Kept } from '../app/store-port.ts';
import { ProblemError } from '../app/store-problem.ts';
import type { Packed } from '../app/verdict-port.ts';
import type { ServerDeps } from './deps.ts';

const MOST_RESULTS = 32;

/** Rubrics and verdicts, with what was worked out lately kept at hand. */
export function judging(deps: ServerDeps) {
  const foreign = new Map<string, Rubric>();
  const results = new Map<string, Promise<Packed>>();
  const today = () => deps.now().toISOString().slice(0, 10);

  /** @param version null for this program's own */
  const rubricFor = async (version: string | null, load = deps.store.rubric): Promise<Rubric> => {
    if (version === null || version === deps.rubric.version) return deps.rubric;
    const known = foreign.get(version) ?? (await load(version));
    if (!known) throw new ProblemError('not-found', `There is no rubric of version ${version}`);
    foreign.set(version, known);
    return known;
  };

  const check: CheckAssessment = async (raw, version, load) =>
    deps.checkAssessment(raw, await rubricFor(version, load), today());

  const versionFor = (kept: Kept) => kept.rubricVersion ?? deps.rubric.version;

  /** Works out a document once for each state of an assessment, rubric and question, however many ask for it meanwhile. */
  const workedOut = async (kept: Kept, question: string, work: (rubric: Rubric) => Packed | Promise<Packed>) => {
    const rubric = await rubricFor(kept.rubricVersion);
    const key = `${kept.id} ${kept.etag} ${rubric.version} ${question}`;
    const known = results.get(key);
    if (known) return known;
    const result = (async () => work(rubric))();
    if (results.size >= MOST_RESULTS) results.delete(results.keys().next().value!);
    results.set(key, result);
    // What failed is tried again the next time.
    result.catch(() => results.delete(key));
    return result;
  };

  return { rubricFor, versionFor, check, workedOut, today };
}

export type Judging = ReturnType<typeof judging>;
