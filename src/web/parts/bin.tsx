import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { call, sayTrouble } from '../data/client.ts';
import { queries } from '../data/queries.ts';
import { words } from '../words.ts';

const w = words.assessments;

/** Assessments in the bin: back with one press, gone for good with another. */
export function Bin() {
  const bin = useQuery({
    queryKey: ['list', 'bin'],
    queryFn: () => call('listAssessments', { query: { bin: 'true' } }),
  });
  const [said, setSaid] = useState('');
  const rows = (bin.data ?? []).filter((row) => row.deletedAt !== null);
  if (rows.length === 0) return null;
  const run = async (work: () => Promise<unknown>) => {
    try {
      await work();
      await queries.invalidateQueries({ queryKey: ['list'] });
      setSaid('');
    } catch (error) {
      setSaid(sayTrouble(error));
    }
  };
  return (
    <section className="sheet pad below" aria-label={w.bin}>
      <div className="head">
        <h2>{w.bin}</h2>
        <span className="small quiet">{w.binNote}</span>
      </div>
      <ul className="wk">
        {rows.map(({ id, name }) => (
          <li key={id}>
            <b>{name}</b>
            <span className="btnrow">
              <button
                type="button"
                className="btn"
                onClick={() => void run(() => call('restoreAssessment', { params: { id } }))}
              >
                {w.restore}
              </button>
              <button
                type="button"
                className="btn"
                onClick={() => void run(() => call('deleteAssessment', { params: { id }, query: { forever: 'true' } }))}
              >
                {w.forever}
              </button>
            </span>
          </li>
        ))}
      </ul>
      <p className="small" role="status">
        {said}
      </p>
    </section>
  );
}
