import { createHash } from 'node:crypto';
import type { Rubric } from '../../shared/index.ts';
import type { CheckAssessment } from '../app/store-changes.ts';
import type { Kept } from '../app/store-port.ts';
import { ProblemError } from '../app/store-problem.ts';
import type { ServerDeps } from './deps.ts';

/** Rubrics and verdicts, with what was worked out lately kept at hand. */
export function judging(deps: ServerDeps) {
  const foreign = new Map<string, Rubric>();
  const results = new Map<string, { etag: string; text: string }>();
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

  /** Works out text once for each state of an assessment, rubric and question. */
  const workedOut = async (kept: Kept, question: string, work: (rubric: Rubric) => unknown) => {
    const rubric = await rubricFor(kept.rubricVersion);
    const key = `${kept.id} ${kept.etag} ${rubric.version} ${question}`;
    const atHand = results.get(key);
    if (atHand) return atHand;
    const text = JSON.stringify(await work(rubric));
    const result = { etag: `"${createHash('sha256').update(text).digest('base64url').slice(0, 22)}"`, text };
    if (results.size >= 32) results.delete(results.keys().next().value!);
    results.set(key, result);
    return result;
  };

  return { rubricFor, check, workedOut, today };
}

export type Judging = ReturnType<typeof judging>;
