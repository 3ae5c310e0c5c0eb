import { BASES, type Kind, type Rubric } from '../../../shared/index.ts';
import { ProblemError } from '../../app/store-problem.ts';
import { jsonWithTag } from '../answers.ts';
import type { ServerDeps } from '../deps.ts';
import type { Judging } from '../judging.ts';
import type { Handlers } from '../routes.ts';

/** The whole rubric, and one kind with what it points at. */
export function rubricRoutes(deps: ServerDeps, judge: Judging): Pick<Handlers, 'rubric' | 'kind'> {
  const texts = new WeakMap<Rubric, string>();
  return {
    async rubric({ c, query }) {
      const rubric = await judge.rubricFor(query.version ?? null);
      const text = texts.get(rubric) ?? JSON.stringify(rubric);
      texts.set(rubric, text);
      return jsonWithTag(c, text, `"${rubric.version.replace(/[^\x21\x23-\x7e]/g, '_')}"`);
    },
    kind({ params }) {
      const kind = deps.rubric.kinds.find((other) => other.id === params.kind);
      if (!kind) throw new ProblemError('not-found', `The rubric has no kind ${params.kind}`);
      const wanted = sourcesOf(kind);
      const cautions = new Set([...(kind.cautions ?? []), ...kind.knockOuts.flatMap((rule) => rule.cautions ?? [])]);
      return {
        rubricVersion: deps.rubric.version,
        kind,
        sources: deps.rubric.sources.filter((source) => wanted.has(source.id)),
        cautions: deps.rubric.cautions.filter((caution) => cautions.has(caution.id)),
      };
    },
  };
}

/** Ids of the sources that a kind names: the first word of each `from`. */
function sourcesOf(kind: Kind): Set<string> {
  const ids = new Set<string>();
  const walk = (value: unknown, key: string): void => {
    if (typeof value === 'string') {
      const id = value.split(' ')[0]!;
      if (/^from$|From$/.test(key) && !(BASES as readonly string[]).includes(id)) ids.add(id);
    } else if (Array.isArray(value)) for (const item of value) walk(item, key);
    else if (value !== null && typeof value === 'object')
      for (const [name, inner] of Object.entries(value)) walk(inner, name);
  };
  walk(kind, '');
  return ids;
}
