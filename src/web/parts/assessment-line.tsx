import { Link } from 'wouter';
import type { AssessmentRow } from '../../../shared/api.ts';
import { rowsOf, spreadOf } from '../data/rows.ts';
import { useWaiting } from '../data/use-outbox.ts';
import { useScored } from '../data/use-score.ts';
import { bare, day, money } from '../format.ts';
import { words } from '../words.ts';
import { Mark } from './mark.tsx';
import { Strip } from './range.tsx';

const w = words.assessments;

/** One assessment of the list, with its tray of marks. */
export function AssessmentLine({ row }: { row: AssessmentRow }) {
  const waiting = useWaiting().filter((item) => item.assessment === row.id).length;
  return (
    <Link className="row3" href={`/a/${row.id}`}>
      <span>
        <b>{row.name}</b>
        <span className="small quiet">
          {[
            row.vehicle,
            words.purpose[row.purpose as 'scope'] ?? row.purpose,
            words.finish[row.wantedFinish].toLowerCase(),
          ]
            .filter(Boolean)
            .join(' · ')}
        </span>
      </span>
      <Verdicts id={row.id} />
      <span className="small quiet when">
        {w.changed(day(row.changedAt))}
        {waiting > 0 ? `, ${words.state.waiting(waiting)}` : ''}
        {row.graders.length > 1 ? `, ${row.graders.join(', ')}` : ''}
      </span>
    </Link>
  );
}

/** Marks, progress and total of one assessment; drawn when they are there. */
function Verdicts({ id }: { id: string }) {
  const { score, assessment, answered } = useScored(id);
  if (!score || !assessment) {
    return (
      <>
        <span className="tray2" />
        <span className="ans" />
        <span className="r" />
      </>
    );
  }
  const rows = rowsOf(score);
  const total = spreadOf(score.totals.money);
  return (
    <>
      <span className="tray2" aria-hidden="true">
        {rows.slice(0, 48).map((row) => (
          <Mark key={row.component.id} action={row.action} firmness={row.firmness} quiet />
        ))}
      </span>
      <span className="ans">
        <Strip
          low={answered.all === 0 ? 0 : (100 * answered.done) / answered.all}
          high={100}
          spoken={w.answeredSpoken(answered.done, answered.all)}
        />
        <span className="small quiet num">{w.answered(answered.done, answered.all)}</span>
      </span>
      <span className="r num">
        <b>{money(total.aside, assessment.currency)}</b>
        <span className="small quiet">
          {words.likely} {bare(total.likely)}
        </span>
      </span>
    </>
  );
}
