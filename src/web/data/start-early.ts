import { assessmentOf, queries, rubricOf } from './queries.ts';
import { servedScore } from './use-score.ts';

/** Asks for what a bench shows while the code that shows it is still on its way. */
export function startEarly(path: string): void {
  const id = /^\/a\/([a-z0-9-]+)\/?$/.exec(path)?.[1];
  if (id === undefined) return;
  void queries.prefetchQuery(assessmentOf(id));
  void queries.prefetchQuery(rubricOf(null));
  void queries.prefetchQuery(servedScore(id, null));
}
