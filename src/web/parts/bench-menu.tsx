import { memo, useState } from 'react';
import { useLocation } from 'wouter';
import type { Assessment, Rubric } from '../../../shared/index.ts';
import { call, exportAddress, sayTrouble } from '../data/client.ts';
import { newId } from '../data/outbox.ts';
import { queries, useMe } from '../data/queries.ts';
import { words } from '../words.ts';
import { AddPart } from './add-part.tsx';
import { PartsIn } from './parts-in.tsx';

const w = words.bench;

/** What can be done with the whole assessment. Deleting takes two steps. */
export const BenchMenu = memo(function BenchMenu({ assessment, rubric }: { assessment: Assessment; rubric: Rubric }) {
  const [, go] = useLocation();
  const [said, setSaid] = useState('');
  const [isSure, setSure] = useState(false);
  const isOwner = useMe().data?.role === 'own';
  const run = async (work: () => Promise<unknown>, after: string) => {
    try {
      await work();
      setSaid(after);
    } catch (error) {
      setSaid(sayTrouble(error));
    }
  };
  const undo = () =>
    run(async () => {
      await call('undo', { params: { id: assessment.id }, json: { id: newId() } });
      await queries.invalidateQueries({ queryKey: ['assessment', assessment.id] });
    }, w.undone);
  const remove = () =>
    run(async () => {
      await call('deleteAssessment', { params: { id: assessment.id } });
      await queries.invalidateQueries({ queryKey: ['list'] });
      go('/');
    }, '');
  return (
    <section className="sheet pad menu" aria-label={w.more}>
      <h2 className="vh">{w.more}</h2>
      <div className="btnrow">
        <a className="btn" href={exportAddress(assessment.id, 'zip')} download>
          {w.exportZip}
        </a>
        <a className="btn" href={exportAddress(assessment.id, 'csv')} download>
          {w.exportCsv}
        </a>
        <button type="button" className="btn" onClick={() => window.print()}>
          {words.print}
        </button>
        <button type="button" className="btn" onClick={undo}>
          {w.undo}
        </button>
        {isOwner ? (
          isSure ? (
            <span className="sure">
              <span className="small">{w.removeText}</span>
              <button type="button" className="btn" onClick={() => setSure(false)}>
                {words.leaveIt}
              </button>
              <button type="button" className="btn" onClick={remove}>
                {w.remove}
              </button>
            </span>
          ) : (
            <button type="button" className="btn" onClick={() => setSure(true)}>
              {w.remove}
            </button>
          )
        ) : null}
      </div>
      <p className="small quiet" role="status">
        {said}
      </p>
      {isOwner ? <PartsIn assessment={assessment.id} /> : null}
      {isOwner ? <AddPart assessment={assessment} rubric={rubric} /> : null}
    </section>
  );
});
