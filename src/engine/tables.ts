import type { RevealTable, Rubric, RustinessTable } from '../../shared/index.ts';
import { type CompiledKind, compileKind } from './compiled-kind.ts';
import { type Rows, rowsOf } from './streams.ts';

/** The rubric's entries by id, with each kind compiled the first time it is asked for. */
export interface Tables {
  rubric: Rubric;
  graderOn: number;
  kind(id: string): CompiledKind;
  reveal(id: string | undefined): RevealTable | null;
  rustiness(id: string): RustinessTable;
  /** A rustiness table's five rows ready for drawing. */
  rustinessRows(id: string): Rows;
  operation(id: string): Rubric['operations'][number];
  route(id: string): Rubric['routes'][number];
  process(id: string): Rubric['charges']['processes'][number];
}

// A rubric is not changed once it is read, so what is made of it serves every score.
const made = new WeakMap<Rubric, Tables>();

/** Indexes a rubric, once for each. */
export function tablesOf(rubric: Rubric): Tables {
  let tables = made.get(rubric);
  if (!tables) {
    tables = makeTables(rubric);
    made.set(rubric, tables);
  }
  return tables;
}

/** @throws RangeError when an id is asked for that a checked rubric would have */
function makeTables(rubric: Rubric): Tables {
  const kinds = byId(rubric.kinds, 'kind');
  const reveal = byId(rubric.reveal, 'reveal table');
  const rustiness = byId(rubric.rustiness, 'rustiness table');
  const compiled = new Map<string, CompiledKind>();
  const drawn = new Map<string, Rows>();
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
    rustinessRows: (id) => {
      let ready = drawn.get(id);
      if (!ready) {
        ready = rowsOf(rustiness(id).rows);
        drawn.set(id, ready);
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
