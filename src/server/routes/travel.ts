import { decodeText, importBytes } from '../../app/store-import.ts';
import { partsToCsv } from '../../app/store-parts.ts';
import { takePartsIn } from '../../app/store-parts-in.ts';
import { exportZip } from '../../app/store-travel.ts';
import { attachment } from '../answers.ts';
import type { ServerDeps } from '../deps.ts';
import { authorOf } from '../guard.ts';
import type { Judging } from '../judging.ts';
import type { Handlers } from '../routes.ts';
import { readKept } from './assessments.ts';

type Names = 'exportAssessment' | 'importAssessment' | 'importParts';

export function travelRoutes(deps: ServerDeps, judge: Judging): Pick<Handlers, Names> {
  const { store, files } = deps;
  return {
    async exportAssessment({ params, query }) {
      const kept = await readKept(store, params.id);
      const format = query.format ?? 'zip';
      const named = (type: string, ending: string) => ({
        headers: { 'Content-Type': type, 'Content-Disposition': attachment(`${kept.id}.${ending}`) },
      });
      if (format === 'csv') return new Response(partsToCsv(kept.assessment), named('text/csv; charset=utf-8', 'csv'));
      if (format === 'json') {
        return new Response(`${JSON.stringify(kept.assessment, null, 2)}\n`, named('application/json', 'json'));
      }
      const rubric = JSON.stringify(await judge.rubricFor(kept.rubricVersion));
      return new Response(
        exportZip(kept, rubric, await store.photos(params.id), files),
        named('application/zip', 'zip'),
      );
    },

    async importAssessment({ c, query }) {
      const bytes = new Uint8Array(await c.req.arrayBuffer());
      const author = await authorOf(c.get('caller'), store);
      return importBytes(bytes, query.name, author, deps);
    },

    async importParts({ c, params, query }) {
      const kept = await readKept(store, params.id);
      const text = decodeText(new Uint8Array(await c.req.arrayBuffer()));
      const caller = c.get('caller');
      return takePartsIn(kept, text, {
        rubric: await judge.rubricFor(kept.rubricVersion),
        preview: query.preview === 'true',
        request: { author: await authorOf(caller, store), role: caller.role! },
        deps: { store, check: judge.check, today: judge.today, now: () => deps.now().toISOString() },
      });
    },
  };
}
