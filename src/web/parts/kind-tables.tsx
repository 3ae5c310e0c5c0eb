import { type Kind, type Rubric, STAGES } from '../../../shared/index.ts';
import { gradeWords } from '../data/questions.ts';
import { readFrom } from '../data/standing.ts';
import { figure, hundredths } from '../format.ts';
import { words } from '../words.ts';
import { Basis } from './basis.tsx';
import { vars } from './range.tsx';
import { REFERENCE_PERCENT, ReferencePicture } from './reference-picture.tsx';

const w = words.rubric;

/** What the grades mean, and how what is seen early turns out at the end. */
export function KindTables({ kind, rubric }: { kind: Kind; rubric: Rubric }) {
  const scales = [
    ...new Set(
      kind.checks.flatMap((check) => (check.answer.type === 'grade' && check.answer.scale ? [check.answer.scale] : [])),
    ),
  ];
  const reveals = [...new Set(kind.checks.flatMap((check) => (check.reveal ? [check.reveal] : [])))];
  const withPhoto = new Set(
    kind.checks
      .filter((check) => check.photo)
      .flatMap((check) => (check.answer.type === 'grade' ? [check.answer.scale] : [])),
  );
  return (
    <>
      {scales.map((id) => {
        const scale = rubric.scales.find((entry) => entry.id === id);
        const check = kind.checks.find((entry) => entry.answer.type === 'grade' && entry.answer.scale === id);
        if (!scale || !check) return null;
        return (
          <section className="sheet pad" key={id}>
            <div className="head">
              <h2>{w.gradeWords}</h2>
              <span className="note">{scale.name}</span>
            </div>
            <ol className="words">
              {gradeWords(check, rubric).map((text, grade) => (
                <li key={text}>
                  {withPhoto.has(id) ? (
                    <span className="rp">
                      <ReferencePicture percent={REFERENCE_PERCENT[grade]!} />
                    </span>
                  ) : null}
                  <b className="num">{grade}</b>
                  <span>
                    {text}
                    {withPhoto.has(id) ? (
                      <span className="small quiet">{w.percentOfPicture(figure(REFERENCE_PERCENT[grade]!))}</span>
                    ) : null}
                  </span>
                </li>
              ))}
            </ol>
            <p className="small basisline">
              <Basis {...readFrom(rubric, scale.from)} />
            </p>
          </section>
        );
      })}
      {reveals.map((id) => (
        <Reveal key={id} id={id} rubric={rubric} />
      ))}
    </>
  );
}

/** A reveal table as squares by area. */
function Reveal({ id, rubric }: { id: string; rubric: Rubric }) {
  const table = rubric.reveal.find((entry) => entry.id === id);
  const stage = STAGES.find((entry) => table?.stages[entry]);
  const rows = stage ? table?.stages[stage] : undefined;
  if (!table || !rows || !stage) return null;
  const spoken = rows
    .map((row, seen) => `${w.seen} ${seen}: ${row.map((p, found) => `${found} ${hundredths(p)}`).join(', ')}`)
    .join('; ');
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.reveal}</h2>
        <span className="note basisline">
          <Basis {...readFrom(rubric, table.from)} />
        </span>
      </div>
      <p className="small quiet">
        {w.revealText(words.stageLong[stage])} {table.because}
      </p>
      <div className="rev" role="img" aria-label={spoken} style={vars({ '--cols': rows.length })}>
        <span className="y">{w.seen}</span>
        {rows.map((_, found) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the place in the table is what the cell is.
          <span className="hh" key={found}>
            {found}
          </span>
        ))}
        {rows.map((row, seen) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the place in the table is what the cell is.
          <RevealRow key={seen} row={row} seen={seen} />
        ))}
        <span className="x">{w.found}</span>
      </div>
    </section>
  );
}

function RevealRow({ row, seen }: { row: readonly number[]; seen: number }) {
  return (
    <>
      <span className="hh">{seen}</span>
      {row.map((share, found) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the place in the table is what the cell is.
        <span className={`c${found === seen ? ' d' : ''}`} key={found}>
          {share > 0 ? (
            <>
              <i style={vars({ '--p': Math.sqrt(share) })} />
              <em>{hundredths(share)}</em>
            </>
          ) : null}
        </span>
      ))}
    </>
  );
}
