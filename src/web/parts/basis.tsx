import { words } from '../words.ts';

/** On what a number or a rule stands: the published source, else plainly whose word it is. */
export function Basis({ basis, source }: { basis: string; source?: string | null }) {
  return (
    <>
      {source ? <span>{source}</span> : null} <span className="basis">{words.basis[basis] ?? basis}</span>
    </>
  );
}
