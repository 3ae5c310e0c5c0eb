import { memo } from 'react';
import type { AlwaysNewOut } from '../../../shared/index.ts';
import { bare, money, setAside } from '../format.ts';
import { words } from '../words.ts';

const w = words.bench;

/** Hardware that is used once: apart from the bench, no mark, no rank, no index. */
export const AlwaysNew = memo(function AlwaysNew({
  list,
  currency,
}: {
  list: readonly AlwaysNewOut[];
  currency: string;
}) {
  const lines = merged(list);
  if (lines.length === 0) return null;
  const aside = lines.reduce((sum, line) => sum + setAside(line.money), 0);
  const likely = lines.reduce((sum, line) => sum + line.money.usual, 0);
  return (
    <section className="sheet fresh" aria-label={w.alwaysNew}>
      <div className="head pad">
        <h2>{w.alwaysNew}</h2>
        <span className="small quiet">{w.alwaysNewNote}</span>
        <span className="note num">
          {words.setAside} {money(aside, currency)}, {words.likely} {money(likely, currency)}
        </span>
      </div>
      <ul>
        {lines.map((line) => (
          <li key={`${line.id} ${line.name} ${line.thread ?? ''}`}>
            <b className="num">{line.count}</b>
            <span>
              <b>{line.name}</b>
              <span className="small quiet">{line.thread}</span>
            </span>
            <span className="small quiet why">{line.because}</span>
            <span className="num">
              {line.money.low === line.money.high
                ? money(line.money.usual, currency)
                : `${money(line.money.low, currency)} – ${bare(line.money.high)}`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
});

/** Lines of the same thing and thread become one, with their pieces and money added. */
function merged(list: readonly AlwaysNewOut[]): AlwaysNewOut[] {
  const byName = new Map<string, AlwaysNewOut>();
  for (const line of list) {
    const key = `${line.name} ${line.thread ?? ''}`;
    const before = byName.get(key);
    byName.set(
      key,
      before
        ? {
            ...before,
            count: before.count + line.count,
            money: {
              low: before.money.low + line.money.low,
              usual: before.money.usual + line.money.usual,
              high: before.money.high + line.money.high,
            },
          }
        : line,
    );
  }
  return [...byName.values()];
}
