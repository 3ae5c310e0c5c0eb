import { useRef, useState } from 'react';
import { Link, useLocation } from 'wouter';
import { call, NoAnswer, sayTrouble } from '../data/client.ts';
import { queries, useDemos, useList, useMe, useRubric } from '../data/queries.ts';
import { AssemblyPicker } from '../parts/assembly-picker.tsx';
import { AssessmentLine } from '../parts/assessment-line.tsx';
import { Bin } from '../parts/bin.tsx';
import { Frame } from '../parts/frame.tsx';
import { Icon } from '../parts/mark.tsx';
import { Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { words } from '../words.ts';

const w = words.assessments;

/** The list, a new one from an assembly, one brought in, the demos. */
export function AssessmentsPage() {
  const me = useMe();
  const list = useList();
  const demos = useDemos();
  const rows = list.data ?? [];
  if (me.data && me.data.role === null) return <NotPaired />;
  const isOwner = me.data?.role === 'own';
  return (
    <Frame title={w.title}>
      <div className="title ttl2">
        <div>
          <h1>{w.title}</h1>
          <p className="quiet small">{list.data ? w.counts(rows.length, demos.data?.length ?? 0) : ''}</p>
        </div>
        <span />
        <span className="pbtn">
          {isOwner ? (
            <a className="btn glove main" href="#new">
              <Icon name="i-plus" />
              {w.fresh}
            </a>
          ) : null}
        </span>
      </div>
      {list.error && !list.data ? (
        <Trouble
          title={list.error instanceof NoAnswer ? words.offline.title : words.broken.title}
          text={list.error instanceof NoAnswer ? words.offline.text : sayTrouble(list.error)}
          onRetry={() => void queries.refetchQueries()}
        />
      ) : list.isPending ? (
        <Waiting what={words.state.loading} />
      ) : rows.length === 0 ? (
        <Empty title={w.empty.title} text={w.empty.text}>
          {isOwner ? (
            <a className="btn glove main" href="#new">
              <Icon name="i-plus" />
              {w.empty.button}
            </a>
          ) : null}
        </Empty>
      ) : (
        <section className="sheet alist" aria-label={w.title}>
          <div className="row3 hd3 only-desk">
            <span>{w.head.name}</span>
            <span>{w.head.parts}</span>
            <span>{w.head.checks}</span>
            <span className="r">{w.head.aside}</span>
          </div>
          {rows.map((row) => (
            <AssessmentLine key={row.id} row={row} />
          ))}
        </section>
      )}
      {isOwner ? <MakeNew /> : null}
    </Frame>
  );
}

function MakeNew() {
  const rubric = useRubric();
  return (
    <>
      <section className="sheet pad below" id="new">
        <div className="head">
          <h2>{w.newTitle}</h2>
          <span className="small quiet">{w.newNote}</span>
        </div>
        {rubric.data ? <AssemblyPicker rubric={rubric.data} /> : null}
      </section>
      <div className="two below">
        <Demos />
        <BringIn />
      </div>
      <Bin />
    </>
  );
}

function Demos() {
  const demos = useDemos();
  const [, go] = useLocation();
  const [trouble, setTrouble] = useState('');
  const open = async (demo: string) => {
    try {
      const made = await call('openDemo', { params: { demo } });
      await queries.invalidateQueries({ queryKey: ['list'] });
      go(`/a/${made.id}`);
    } catch (error) {
      setTrouble(sayTrouble(error));
    }
  };
  if ((demos.data ?? []).length === 0) return <span />;
  return (
    <section className="sheet pad demo">
      <div className="head">
        <h2>{w.demos}</h2>
        <span className="small quiet">{w.demosNote}</span>
      </div>
      <ul>
        {demos.data!.map((demo) => (
          <li key={demo.id}>
            <button type="button" className="linkish" onClick={() => void open(demo.id)}>
              <b>{demo.name}</b>
              <span className="small quiet">{demo.about}</span>
            </button>
            <span className="small quiet num">{words.bench.components(demo.components)}</span>
          </li>
        ))}
      </ul>
      <p role="status" className="small">
        {trouble}
      </p>
    </section>
  );
}

function BringIn() {
  const input = useRef<HTMLInputElement>(null);
  const [, go] = useLocation();
  const [said, setSaid] = useState('');
  const [notes, setNotes] = useState<{ id: string; lines: string[] } | null>(null);
  const take = async (file: File) => {
    setSaid(w.importing);
    setNotes(null);
    try {
      const made = await call('importAssessment', { raw: new Blob([file]), query: { name: file.name } });
      setSaid('');
      await queries.invalidateQueries({ queryKey: ['list'] });
      if (made.notes.length === 0) go(`/a/${made.id}`);
      else setNotes({ id: made.id, lines: made.notes });
    } catch (error) {
      setSaid(sayTrouble(error));
    }
  };
  return (
    <section className="sheet pad">
      <h2>{w.importTitle}</h2>
      <p className="quiet">{w.importText}</p>
      <input
        ref={input}
        className="vh"
        type="file"
        aria-label={w.importButton}
        tabIndex={-1}
        accept=".zip,.json,.yaml,.yml,.csv"
        onChange={(event) => {
          const file = event.target.files?.[0];
          if (file) void take(file);
          event.target.value = '';
        }}
      />
      <button type="button" className="btn glove" onClick={() => input.current?.click()}>
        {w.importButton}
      </button>
      <p role="status" className="small">
        {said}
      </p>
      {notes ? (
        <div className="wrong">
          {notes.lines.map((line) => (
            <span key={line}>{line}</span>
          ))}
          <Link href={`/a/${notes.id}`}>{words.nav.bench}</Link>
        </div>
      ) : null}
    </section>
  );
}

function NotPaired() {
  return (
    <Frame title={words.share.notPaired.title}>
      <h1 className="vh">{words.share.notPaired.title}</h1>
      <Empty title={words.share.notPaired.title} text={words.share.notPaired.text}>
        <Link className="btn glove main" href="/pair">
          {words.share.pairTitle}
        </Link>
      </Empty>
    </Frame>
  );
}
