import { Link } from 'wouter';
import type { Kind, Rubric } from '../../../shared/index.ts';
import { useRubric } from '../data/queries.ts';
import { readFrom, type Standing } from '../data/standing.ts';
import { duration, money } from '../format.ts';
import { Basis } from '../parts/basis.tsx';
import { Frame } from '../parts/frame.tsx';
import { KindChecks } from '../parts/kind-checks.tsx';
import { KindTables } from '../parts/kind-tables.tsx';
import { BarredMark, Pin } from '../parts/mark.tsx';
import { CautionLine, Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { words } from '../words.ts';

const w = words.rubric;

/** One kind on a page: what is looked at, what bars it, and who says so. */
export function KindPage({ kind: id }: { kind: string }) {
  const rubric = useRubric();
  const kind = rubric.data?.kinds.find((entry) => entry.id === id);
  return (
    <Frame title={kind?.name ?? w.title} section="rubric">
      {rubric.data && kind ? (
        <KindSheet kind={kind} rubric={rubric.data} />
      ) : rubric.data ? (
        <Empty title={w.none(id)} text={words.notFound.text}>
          <Link className="btn glove main" href="/rubric">
            {w.allKinds}
          </Link>
        </Empty>
      ) : rubric.error ? (
        <Trouble {...words.offline} onRetry={() => void rubric.refetch()} />
      ) : (
        <Waiting what={words.state.loading} />
      )}
    </Frame>
  );
}

function KindSheet({ kind, rubric }: { kind: Kind; rubric: Rubric }) {
  const minutes = duration(kind.checks.reduce((sum, check) => sum + check.minutes, 0));
  const cautions = rubric.cautions.filter((caution) => kind.cautions?.includes(caution.id));
  return (
    <>
      <div className="title ttl2">
        <div>
          <h1>{kind.name}</h1>
          <p className="quiet small">
            {w.kindLine(kind.checks.length, kind.knockOuts.length, minutes, w.replaceAs[kind.replaceAs])}
            {kind.safetyCritical ? (
              <>
                {' · '}
                <Pin withWord />
              </>
            ) : null}
          </p>
        </div>
        <span />
        <span className="btnrow">
          <Link className="btn" href="/rubric">
            {w.allKinds}
          </Link>
          <button type="button" className="btn only-desk" onClick={() => window.print()}>
            {words.print}
          </button>
        </span>
      </div>
      <p className="lede">{kind.about}</p>
      <div className="stack8 o0">
        {cautions.map((caution) => (
          <CautionLine key={caution.id} text={caution.text} />
        ))}
      </div>
      <div className="two rub">
        <div className="stack">
          <KindChecks kind={kind} rubric={rubric} />
          <KnockOuts kind={kind} rubric={rubric} />
          <KindTables kind={kind} rubric={rubric} />
        </div>
        <div className="stack">
          <section className="sheet">
            <ol className="zl" aria-label={w.zones}>
              {kind.zones.map((zone, i) => (
                <li key={zone.id}>
                  <span className="zn">{i + 1}</span>
                  <span>
                    {zone.name}
                    {zone.where ? <span className="small quiet"> {zone.where}</span> : null}
                  </span>
                  <span className="small quiet">{zone.loadPath ? w.loadPath : ''}</span>
                </li>
              ))}
            </ol>
          </section>
          <List
            title={w.weak}
            lines={kind.weakPoints.map((point) => ({ text: point.text, ...readFrom(rubric, point.from) }))}
          />
          <List
            title={w.mustNotMeet}
            lines={kind.mustNotMeet.map((harm) => ({
              strong: harm.aboveC === undefined ? w.harm[harm.harm] : `${w.harm[harm.harm]} ${w.above(harm.aboveC)}`,
              text: harm.because,
              ...readFrom(rubric, harm.from),
            }))}
          />
          <List
            title={w.mates}
            lines={(kind.mates ?? []).map((mate) => ({
              strong: rubric.kinds.find((other) => other.id === mate.kind)?.name ?? mate.kind,
              text: mate.because,
            }))}
          />
          <List title={w.symptoms} lines={kind.symptoms.map((symptom) => ({ text: symptom.symptom }))} />
          <List title={w.record} lines={kind.record.map((text) => ({ text }))} />
          <List title={w.photograph} lines={kind.photograph.map((text) => ({ text }))} />
          <List
            title={w.supplies}
            lines={kind.supplies.map((supply) => ({
              strong: `${w.supply[supply.type]}: ${money(supply.price[0], rubric.prices.base)} – ${money(supply.price[2], rubric.prices.base)}`,
              text: supply.note ?? '',
              ...readFrom(rubric, supply.from),
            }))}
          />
          <List
            title={w.roadworthiness}
            lines={(kind.roadworthiness ?? []).map((note) => ({
              strong: `${note.book.toUpperCase()} ${note.clause}: ${note.finding}`,
              text: note.text,
              ...readFrom(rubric, note.from),
            }))}
          />
          <p className="small quiet">{w.argue}</p>
        </div>
      </div>
    </>
  );
}

function KnockOuts({ kind, rubric }: { kind: Kind; rubric: Rubric }) {
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.knockOuts}</h2>
        <span className="note">{w.knockOutsNote}</span>
      </div>
      <ul className="ko">
        {kind.knockOuts.map((knockOut) => {
          const standing = readFrom(rubric, knockOut.from);
          return (
            <li key={knockOut.id} id={knockOut.id}>
              <span className="bm2">
                <BarredMark action="reuse" />
                {knockOut.bars === 'reuse-and-refinish' ? <BarredMark action="refinish" /> : null}
              </span>
              <div>
                <p>
                  <b>{knockOut.because}</b> <span className="quiet">{w.bars[knockOut.bars]}</span>
                </p>
                <p className="small quiet">
                  {kind.id}.{knockOut.id}
                </p>
              </div>
              <span className="small basisline">
                <Basis {...standing} />
              </span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

interface Line extends Partial<Standing> {
  strong?: string;
  text: string;
}

function List({ title, lines }: { title: string; lines: readonly Line[] }) {
  if (lines.length === 0) return null;
  return (
    <section className="sheet pad">
      <h2>{title}</h2>
      <ul className="wk">
        {lines.map((line) => (
          <li key={`${line.strong ?? ''} ${line.text}`}>
            <span>
              {line.strong ? <b>{line.strong} </b> : null}
              <span className={line.strong ? 'quiet' : ''}>{line.text}</span>
            </span>
            {line.basis ? (
              <span className="small basisline">
                <Basis basis={line.basis} source={line.source ?? null} />
              </span>
            ) : null}
          </li>
        ))}
      </ul>
    </section>
  );
}
