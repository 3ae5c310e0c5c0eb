import type { AssessmentRow, HistoryEntry } from '../../../shared/index.ts';
import { type ChangeDeps, keepChanges, refuseInBin } from '../../app/store-changes.ts';
import { takeDemoPhotosIn } from '../../app/store-demo.ts';
import { newAssessment } from '../../app/store-new.ts';
import type { Kept, KeptEntry, KeptSummary } from '../../app/store-port.ts';
import { ProblemError } from '../../app/store-problem.ts';
import { undoChange } from '../../app/store-undo.ts';
import { wordsOf } from '../../app/store-words.ts';
import { jsonWithTag, packedWithTag } from '../answers.ts';
import type { ServerDeps } from '../deps.ts';
import { authorOf } from '../guard.ts';
import type { Judging } from '../judging.ts';
import type { Handlers } from '../routes.ts';
import type { VerdictDesk } from '../verdicts.ts';

type Names =
  | 'listAssessments'
  | 'createAssessment'
  | 'readAssessment'
  | 'deleteAssessment'
  | 'restoreAssessment'
  | 'changeAssessment'
  | 'undo'
  | 'history'
  | 'readComponent'
  | 'score'
  | 'plan'
  | 'listDemos'
  | 'openDemo';

export function assessmentRoutes(deps: ServerDeps, judge: Judging, verdicts: VerdictDesk): Pick<Handlers, Names> {
  const { store } = deps;
  const changing: ChangeDeps = { store, check: judge.check, today: judge.today, now: () => deps.now().toISOString() };
  const rowOf = async (id: string, inBin = false): Promise<AssessmentRow> => {
    const row = (await store.list(inBin)).find((other) => other.id === id);
    if (!row) throw new ProblemError('not-found', `There is no assessment ${id}`);
    return listRow(row);
  };

  return {
    listAssessments: async ({ query }) => (await store.list(query.bin === 'true')).map(listRow),

    async createAssessment({ c, body }) {
      const assessment = newAssessment(body, deps.rubric, judge.today());
      const faults = await judge.check(assessment, null);
      if (faults.length > 0) throw new ProblemError('unfit', undefined, { faults });
      const author = await authorOf(c.get('caller'), store);
      // An id that was not asked for gives way; one that was is refused.
      for (let n = 1; ; n++) {
        const id = n === 1 ? assessment.id : `${assessment.id}-${n}`;
        const fresh = { assessment: { ...assessment, id }, rubricVersion: null, demo: null, photos: [], author };
        if (await store.create(fresh)) return rowOf(id);
        if (body.id !== undefined) throw new ProblemError('conflict', `The id ${body.id} is taken`);
      }
    },

    async readAssessment({ c, params }) {
      const kept = store.peek(params.id) ?? (await readKept(store, params.id));
      if (kept.deletedAt !== null) refuseInBin(kept);
      return jsonWithTag(c, kept.text, kept.etag, { 'Keepworthy-Rubric': kept.rubricVersion ?? deps.rubric.version });
    },

    async deleteAssessment({ params, query }) {
      const kept = await readKept(store, params.id);
      if (query.forever !== 'true') await store.setDeleted(params.id, deps.now().toISOString());
      else if (kept.deletedAt === null) throw new ProblemError('conflict', 'Put it into the bin first');
      else await store.erase(params.id);
      return null;
    },

    async restoreAssessment({ params }) {
      await readKept(store, params.id);
      await store.setDeleted(params.id, null);
      return rowOf(params.id);
    },

    async changeAssessment({ c, params, body }) {
      const caller = c.get('caller');
      const request = { author: await authorOf(caller, store), role: caller.role!, ifMatch: c.req.header('if-match') };
      const answer = await keepChanges(params.id, body.changes, request, changing);
      const refused = answer.results.filter((result) => result.outcome === 'refused');
      if (refused.length < answer.results.length) return answer;
      const first = refused[0]!.problem!;
      return Response.json(
        { ...first, ...answer },
        { status: first.status, headers: { 'Content-Type': 'application/problem+json' } },
      );
    },

    async undo({ c, params, body }) {
      const caller = c.get('caller');
      const request = { author: await authorOf(caller, store), role: caller.role! };
      const { version, undone } = await undoChange(params.id, body, request, changing);
      return { version, undone: historyEntry(undone) };
    },

    async history({ params, query }) {
      await readKept(store, params.id);
      const { component, before, limit = 100 } = query;
      const options = {
        limit,
        ...(component === undefined ? {} : { component }),
        ...(before === undefined ? {} : { before }),
      };
      return (await store.history(params.id, options)).map(historyEntry);
    },

    async readComponent({ params }) {
      const kept = await readKept(store, params.id);
      const component = kept.assessment.components.find((other) => other.id === params.component);
      if (!component) throw new ProblemError('not-found', `${params.id} has no component ${params.component}`);
      return component;
    },

    async score({ c, params, query }) {
      const kept = await readKept(store, params.id);
      const options = { seed: query.seed ?? 1, ...(query.minutes === undefined ? {} : { minutes: query.minutes }) };
      const ready = query.ready === 'true' ? await verdicts.ready(kept, options) : null;
      const packed = ready?.packed ?? (await verdicts.score(kept, options));
      return packedWithTag(c, packed, { 'Keepworthy-Version': String(ready?.version ?? kept.version) });
    },

    async plan({ c, params, query }) {
      const kept = await readKept(store, params.id);
      const plan = deps.plan;
      if (!plan) throw new ProblemError('not-found', 'This version has no plan yet');
      const options = { seed: query.seed ?? 1 };
      const packed = await judge.workedOut(kept, `plan ${options.seed}`, (rubric) =>
        plan(rubric, kept.assessment, options),
      );
      return packedWithTag(c, packed);
    },

    listDemos: () =>
      Promise.all(
        deps.demos.map(async ({ id, name, about, assessment }) => ({
          id,
          name,
          about,
          components: (await assessment()).components.length,
        })),
      ),

    async openDemo({ c, params }) {
      const demo = deps.demos.find((other) => other.id === params.demo);
      if (!demo) throw new ProblemError('not-found', `There is no demo ${params.demo}`);
      const author = await authorOf(c.get('caller'), store);
      const assessment = await demo.assessment();
      for (let n = 1; ; n++) {
        const id = n === 1 ? assessment.id : `${assessment.id}-${n}`;
        const fresh = {
          assessment: { ...assessment, id },
          rubricVersion: null,
          demo: demo.id,
          photos: [],
          author,
        };
        if (!(await store.create(fresh))) continue;
        // The job is there at once; its photos follow.
        takeDemoPhotosIn(id, demo.photo, deps).catch((error) => deps.log(`Cannot bring the photos of ${id} in`, error));
        return rowOf(id);
      }
    },
  };
}

/** @throws {ProblemError} `not-found` */
export async function readKept(store: ServerDeps['store'], id: string): Promise<Kept> {
  const kept = await store.read(id);
  if (!kept) throw new ProblemError('not-found', `There is no assessment ${id}`);
  return kept;
}

function listRow({ rubricVersion: _rubric, ...row }: KeptSummary): AssessmentRow {
  return row;
}

function historyEntry({ undo: _undo, touches: _touches, ...entry }: KeptEntry): HistoryEntry {
  return { ...entry, words: wordsOf(entry.change, entry.undoes !== null) };
}
