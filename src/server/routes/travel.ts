import type { Change } from '../../../shared/index.ts';
import { keepChanges } from '../../app/store-changes.ts';
import { columnNotes, decodeText, importBytes } from '../../app/store-import.ts';
import { partsFromCsv, partsToCsv, propertiesOf } from '../../app/store-parts.ts';
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

    async importParts({ c, params }) {
      const kept = await readKept(store, params.id);
      const text = decodeText(new Uint8Array(await c.req.arrayBuffer()));
      const known = propertiesOf(await judge.rubricFor(kept.rubricVersion));
      const { components, noted } = partsFromCsv(text, known, kept.assessment.components);
      const stamp = crypto.randomUUID();
      const changes = components.map((component, n): Change => {
        const before = kept.assessment.components.find((other) => other.id === component.id);
        const id = `parts-${stamp}-${n}`;
        if (!before) return { id, type: 'add-component', component };
        const { id: _id, observations: _o, photos: _p, override: _v, actuals: _a, positions: _s, ...set } = component;
        return { id, type: 'set-component', component: component.id, set, seen: kept.version };
      });
      const caller = c.get('caller');
      const request = { author: await authorOf(caller, store), role: caller.role! };
      const changing = { store, check: judge.check, today: judge.today, now: () => deps.now().toISOString() };
      const { version, results } = await keepChanges(params.id, changes, request, changing);
      const refused = results.flatMap((result, n) =>
        result.outcome === 'refused'
          ? [`${components[n]!.id}: ${result.problem?.faults?.[0]?.wanted ?? result.problem?.title}`]
          : [],
      );
      const now = await readKept(store, params.id);
      return {
        id: now.id,
        name: now.assessment.name,
        version,
        components: components.length - refused.length,
        photos: 0,
        notes: [...columnNotes(noted), ...refused.map((words) => `Not taken: ${words}`)],
      };
    },
  };
}
