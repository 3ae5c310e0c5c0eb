import { type Check, type Kind, type Rubric, WANTED_FINISHES } from '../../../shared/index.ts';
import { readFrom } from '../data/standing.ts';
import { limitOf } from '../data/wanted-index.ts';
import { figure } from '../format.ts';
import { words } from '../words.ts';
import { Basis } from './basis.tsx';
import { Chip } from './chip.tsx';

const w = words.rubric;

/** Checks with how to look and where the limit is for each finish. */
export function KindChecks({ kind, rubric }: { kind: Kind; rubric: Rubric }) {
  const zones = new Map(kind.zones.map((zone, i) => [zone.id, i + 1]));
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.checks}</h2>
        <span className="note">{w.checksNote}</span>
      </div>
      <table className="chk">
        <thead>
          <tr>
            <th scope="col">{w.th.zone}</th>
            <th scope="col">{w.th.what}</th>
            <th scope="col" className="r">
              {w.th.min}
            </th>
            <th scope="col">{w.th.stages}</th>
            <th scope="col">{w.th.by}</th>
            <th scope="col" className="lim">
              {w.th.limit}
            </th>
          </tr>
        </thead>
        <tbody>
          {kind.checks.map((check) => (
            <tr key={check.id} id={check.id}>
              <td>
                <span className="zn">{zones.get(check.zone)}</span>
              </td>
              <td>
                <b>{check.ask}</b>
                <span className="small quiet">{check.how}</span>
                <span className="small basisline">
                  <Basis {...readFrom(rubric, check.from)} />
                </span>
              </td>
              <td className="r num">{figure(check.minutes)}</td>
              <td className="small">
                {words.stage[check.earliestStage]}{' '}
                <span className="quiet">
                  {w.to} {words.stage[check.finalStage]}
                </span>
              </td>
              <td className="small">
                {words.method[check.method]}
                <span className="quiet only-desk">
                  {check.answer.type === 'measure'
                    ? `, ${check.answer.unit}`
                    : check.answer.type === 'grade'
                      ? `, ${w.grade}`
                      : ''}
                </span>
              </td>
              <td className="lim num">
                <Limits check={check} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** One cell a finish; a choice that is the same for all is told once, in words. */
function Limits({ check }: { check: Check }) {
  const limits = WANTED_FINISHES.map((finish) => ({ finish, limit: limitOf(check, finish) }));
  const [first] = limits;
  if (check.answer.type === 'choice' && limits.every(({ limit }) => limit === first?.limit)) {
    return (
      <p className="small">
        <LimitCell check={check} limit={first?.limit ?? null} />
      </p>
    );
  }
  return limits.map(({ finish, limit }) => (
    <span key={finish} className={check.answer.type === 'choice' ? 'wide' : ''}>
      <LimitCell check={check} limit={limit} />
    </span>
  ));
}

/** A limit in the check's own terms: a grade, the figure at which that grade ends, or the worst choice that passes. */
function LimitCell({ check, limit }: { check: Check; limit: number | null }) {
  if (limit === null) return <>{w.noLimit}</>;
  switch (check.answer.type) {
    case 'grade':
      return <Chip state={{ type: 'grade', grade: limit }} />;
    case 'measure': {
      const edge = check.answer.grades[Math.floor(limit)];
      return <>{edge === undefined ? w.noLimit : figure(edge)}</>;
    }
    case 'choice': {
      const worst = [...check.answer.options].filter((option) => option.grade <= limit).at(-1);
      return <>{worst?.words ?? w.noLimit}</>;
    }
  }
}
