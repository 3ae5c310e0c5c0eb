import { type DragEvent, useRef, useState } from 'react';
import type { PartsAnswer, Problem } from '../../../shared/api.ts';
import { call, Refused, sayTrouble } from '../data/client.ts';
import { newId } from '../data/outbox.ts';
import { queries } from '../data/queries.ts';
import { words } from '../words.ts';

const w = words.partsIn;

type Faults = NonNullable<Problem['faults']>;

type State =
  | { at: 'idle'; said: string }
  | { at: 'reading' }
  | { at: 'wrong'; said: string; faults: Faults }
  | { at: 'preview'; file: File; would: PartsAnswer }
  | { at: 'kept'; did: PartsAnswer };

/** A parts list into this assessment: chosen or dropped, shown first, taken in, taken back. */
export function PartsIn({ assessment }: { assessment: string }) {
  const input = useRef<HTMLInputElement>(null);
  const [state, setState] = useState<State>({ at: 'idle', said: '' });
  const [isOver, setOver] = useState(false);
  const send = (file: File, preview: boolean) =>
    call('importParts', {
      params: { id: assessment },
      query: { preview: String(preview) },
      raw: new Blob([file], { type: 'text/csv' }),
    });
  const run = async (work: () => Promise<State>) => {
    setState({ at: 'reading' });
    try {
      setState(await work());
    } catch (error) {
      const faults = error instanceof Refused ? (error.problem.faults ?? []) : [];
      setState({ at: 'wrong', said: faults.length > 0 ? w.wrong(faults.length) : sayTrouble(error), faults });
    }
  };
  const look = (file: File) => run(async () => ({ at: 'preview', file, would: await send(file, true) }));
  const keep = (file: File) =>
    run(async () => {
      const did = await send(file, false);
      await queries.invalidateQueries({ queryKey: ['assessment', assessment] });
      return { at: 'kept', did };
    });
  const takeBack = ({ changes }: PartsAnswer) =>
    run(async () => {
      // One stands for all: what came in as one list is undone as one.
      await call('undo', { params: { id: assessment }, json: { id: newId(), change: changes[0]! } });
      await queries.invalidateQueries({ queryKey: ['assessment', assessment] });
      return { at: 'idle', said: w.takenBack };
    });
  const drop = (event: DragEvent) => {
    event.preventDefault();
    setOver(false);
    const file = event.dataTransfer.files[0];
    if (file) void look(file);
  };
  return (
    <section
      className={`drop${isOver ? ' over' : ''}`}
      aria-label={w.title}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={drop}
    >
      <div className="btnrow">
        <button type="button" className="btn" onClick={() => input.current?.click()}>
          {words.bench.parts}
        </button>
        <span className="small quiet">{w.note}</span>
      </div>
      <input
        ref={input}
        className="vh"
        type="file"
        accept=".csv,text/csv"
        tabIndex={-1}
        aria-label={words.bench.parts}
        onChange={(event) => {
          const file = event.target.files?.[0];
          event.target.value = '';
          if (file) void look(file);
        }}
      />
      <p className="small" role="status">
        {state.at === 'reading' ? w.reading : state.at === 'idle' ? state.said : ''}
      </p>
      {state.at === 'wrong' ? (
        <div className="wrong" role="alert">
          <b>{state.said}</b>
          <ul className="wk">
            {state.faults.slice(0, MOST_SHOWN).map(({ path, wanted, found }) => (
              <li key={`${path} ${found}`}>{w.fault(path, found, wanted)}</li>
            ))}
            {state.faults.length > MOST_SHOWN ? <li>{w.more(state.faults.length - MOST_SHOWN)}</li> : null}
          </ul>
        </div>
      ) : null}
      {state.at === 'preview' ? (
        <>
          <h3>{w.would(state.file.name)}</h3>
          <Told parts={state.would} />
          <div className="btnrow">
            {state.would.added.length + state.would.changed.length > 0 ? (
              <button type="button" className="btn main" onClick={() => void keep(state.file)}>
                {w.keep}
              </button>
            ) : null}
            <button type="button" className="btn" onClick={() => setState({ at: 'idle', said: '' })}>
              {words.leaveIt}
            </button>
          </div>
        </>
      ) : null}
      {state.at === 'kept' ? (
        <>
          <h3>{w.did}</h3>
          <Told parts={state.did} />
          <div className="btnrow">
            {state.did.changes.length > 0 ? (
              <button type="button" className="btn" onClick={() => void takeBack(state.did)}>
                {w.takeBack}
              </button>
            ) : null}
            <button type="button" className="btn" onClick={() => setState({ at: 'idle', said: '' })}>
              {words.close}
            </button>
          </div>
        </>
      ) : null}
    </section>
  );
}

/** Rows shown of a long list; the rest is counted. */
const MOST_SHOWN = 30;

function Told({ parts: { added, changed, same, refused, notes } }: { parts: PartsAnswer }) {
  return (
    <>
      <p>{w.counts(added.length, changed.length, same, refused.length)}</p>
      <ul className="wk small">
        {refused.map(({ id, name, why }) => (
          <li key={id}>
            <span>
              <b>{w.refused(name)}</b> {why}
            </span>
          </li>
        ))}
        {added.slice(0, MOST_SHOWN).map(({ id, name, kind }) => (
          <li key={id}>{w.added(name, kind)}</li>
        ))}
        {changed.slice(0, MOST_SHOWN).map(({ id, name, fields }) => (
          <li key={id}>
            <span>
              {name}: {fields.map(({ field, was, now }) => w.field(field, was, now)).join('; ')}
            </span>
          </li>
        ))}
        {[added, changed].map((rows) =>
          rows.length > MOST_SHOWN ? (
            <li key={rows === added ? 'added' : 'changed'}>{w.more(rows.length - MOST_SHOWN)}</li>
          ) : null,
        )}
        {notes.map((note) => (
          <li key={note}>{note}.</li>
        ))}
      </ul>
    </>
  );
}
