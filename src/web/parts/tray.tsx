import { memo } from 'react';
import { ACTIONS, type Action } from '../../../shared/index.ts';
import type { Row } from '../data/rows.ts';
import { words } from '../words.ts';
import { Mark } from './mark.tsx';

/** Every mark in rank order: the whole car at a glance. */
export const Tray = memo(function Tray({ rows }: { rows: readonly Row[] }) {
  const byAction = [...ACTIONS]
    .reverse()
    .map((action) => ({ action, of: rows.filter((row) => row.action === action) }))
    .filter((group) => group.of.length > 0);
  return (
    <ul className="tray" aria-label={words.bench.tray}>
      {byAction.map(({ action, of }) => (
        <TrayGroup key={action} action={action} rows={of} />
      ))}
    </ul>
  );
});

// More marks than this are a grey band; the count says the rest.
const MOST = 48;

function TrayGroup({ action, rows }: { action: Action; rows: readonly Row[] }) {
  const open = rows.filter((row) => row.firmness === 'open').length;
  return (
    <li>
      <div aria-hidden="true">
        {rows.slice(0, MOST).map((row) => (
          <Mark key={row.component.id} action={row.action} firmness={row.firmness} quiet />
        ))}
      </div>
      <span>
        <b>{rows.length}</b> {words.action[action]}
        {open > 0 ? <span className="only-desk">, {open} of them open</span> : null}
      </span>
    </li>
  );
}
