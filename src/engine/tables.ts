import type { RevealTable, Rubric, RustinessTable } from '../../shared/index.ts';
import { type CompiledKind, compileKind } from './compiled-kind.ts';
import { thresholds } from './streams.ts';

/** The rubric's entries by id, with each kind compiled the first time it is asked for. */
export interface Tables {
  rubric: Rubric;
  graderOn: number;
  kind(id: string): CompiledKind;
  reveal(id: string | undefined): RevealTable | null;
  rustiness(id: string): RustinessTable;
  /** Thresholds of a rustiness table's five rows, one after the other; see `thresholds`. */
  rustinessLimits(id: string): Float64Array;
  operation(id: string): Rubric['operations'][number];
  route(id: string): Rubric['routes'][number];
  process(id: string): Rubric['charges']['processes'][number];
}

/** Indexes a rubric. @throws RangeError when an id is asked for that a checked rubric would have */
export function tablesOf(rubric: Rubric): Tables {
  const kinds = byId(rubric.kinds, 'kind');
  const reveal = byId(rubric.reveal, 'reveal table');
  const rustiness = byId(rubric.rustiness, 'rustiness table');
  const compiled = new Map<string, CompiledKind>();
  const limits = new Map<string, Float64Array>();
  return {
    rubric,
    graderOn: rubric.settings.graderOn.value,
    kind: (id) => {
      let ready = compiled.get(id);
      if (!ready) {
        ready = compileKind(kinds(id));
        compiled.set(id, ready);
      }
      return ready;
    },
    reveal: (id) => (id === undefined ? null : reveal(id)),
    rustiness,
    rustinessLimits: (id) => {
      let ready = limits.get(id);
      if (!ready) {
        ready = Float64Array.from(rustiness(id).rows.flatMap((row) => [...thresholds(row)]));
        limits.set(id, ready);
      }
      return ready;
    },
    operation: byId(rubric.operations, 'operation'),
    route: byId(rubric.routes, 'route'),
    process: byId(rubric.charges.processes, 'process'),
  };
}

function byId<T extends { id: string }>(entries: readonly T[], what: string): (id: string) => T {
  const map = new Map(entries.map((entry) => [entry.id, entry] as const));
  return (id) => {
    const entry = map.get(id);
    if (!entry) throw new RangeError(`Cannot find a ${what}: wanted an id of the rubric, found ${id}`);
    return entry;
  };
}
