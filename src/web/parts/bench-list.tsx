import { memo, startTransition, useEffect, useState } from 'react';
import type { Action } from '../../../shared/index.ts';
import type { Row } from '../data/rows.ts';
import { bare, money } from '../format.ts';
import type { GroupBy } from '../pages/bench.tsx';
import { words } from '../words.ts';
import { BenchRow } from './bench-row.tsx';
import { Icon, Mark, Pin } from './mark.tsx';
import { RangeBar, Rule, Strip, type Tick } from './range.tsx';

const w = words.bench;

interface BenchListProps {
  rows: readonly Row[];
  all: readonly Row[];
  groupBy: GroupBy;
  assessment: string;
  currency: string;
  want: number | null;
  max: number;
  finish: string;
  search: string;
}

/** Rows of a long list that are drawn at once: more than a tall screen shows. The rest follows without holding up a tap. */
const FIRST_ROWS = 40;

/** The sheet of rows under its two engraved rules. */
export const BenchList = memo(function BenchList({
  rows,
  all,
  groupBy,
  assessment,
  currency,
  want,
  max,
  finish,
  search,
}: BenchListProps) {
  // All rows in rank order are counted by the style sheet: then a row that only moves is not drawn again.
  const isCounted = groupBy === 'verdict' && rows.length === all.length;
  const rank = isCounted ? null : new Map(all.map((row, i) => [row.component.id, i + 1]));
  const groups = groupRows(rows, groupBy);
  const [isWhole, setWhole] = useState(false);
  useEffect(() => startTransition(() => setWhole(true)), []);
  let room = isWhole ? rows.length : FIRST_ROWS;
  const withRoom = (of: readonly Row[]) => {
    const drawn = of.slice(0, room);
    room -= drawn.length;
    return drawn;
  };
  return (
    <section className={`sheet bench${isCounted ? ' counted' : ''}`} aria-label={words.nav.bench}>
      <div className="row hd">
        <span className="only-desk" />
        <span className="only-desk" />
        <span className="only-desk">{w.col.name}</span>
        <span className="only-desk">{w.col.why}</span>
        <span className="c-ix">
          <Rule minor={10} ticks={INDEX_TICKS} />
          <span className="ixw">
            {w.col.index}
            <br />
            {w.col.years}
          </span>
        </span>
        <span className="c-co">
          <Rule ticks={moneyTicks(max, currency)} />
        </span>
        <span className="only-desk right">{w.col.aside}</span>
        <span className="c-lk only-desk">{w.col.look}</span>
      </div>
      {rows.length === 0 && search ? <p className="pad quiet">{w.noneFound(search)}</p> : null}
      {groups.map(({ key, title, action, of }) => (
        <section key={key} aria-label={title}>
          <div className="group">
            {action ? <Mark action={action} firmness="settled" quiet /> : null}
            <h2>{title}</h2>
            <span className="small quiet">{w.components(of.length)}</span>
            <span className="note">{groupBy === 'verdict' && groups[0]?.key === key ? w.order : ''}</span>
          </div>
          {withRoom(of).map((row) => (
            <BenchRow
              key={row.component.id}
              row={row}
              rank={rank?.get(row.component.id) ?? null}
              assessment={assessment}
              currency={currency}
              want={want}
              max={max}
            />
          ))}
        </section>
      ))}
      <Legend finish={finish} />
    </section>
  );
});

interface Group {
  key: string;
  title: string;
  action: Action | null;
  of: Row[];
}

function groupRows(rows: readonly Row[], by: GroupBy): Group[] {
  const groups = new Map<string, Group>();
  for (const row of rows) {
    const key = keyOf(row, by);
    let group = groups.get(key);
    if (!group) {
      const action = by === 'verdict' ? row.action : null;
      group = { key, title: key, action, of: [] };
      groups.set(key, group);
    }
    group.of.push(row);
  }
  const list = [...groups.values()];
  if (by !== 'verdict') return list;
  const order = [words.Action.replace, words.Action.refinish, words.Action.reuse];
  return list.sort((a, b) => order.indexOf(a.title) - order.indexOf(b.title));
}

function keyOf(row: Row, by: GroupBy): string {
  switch (by) {
    case 'verdict':
      return words.Action[row.action];
    case 'position':
      return row.component.position ?? row.component.area ?? '–';
    case 'kind':
      return row.component.kindName;
    case 'firmness':
      return words.firmness[row.firmness];
  }
}

const INDEX_TICKS: readonly Tick[] = [
  { at: 0, label: '0' },
  { at: 50, label: '50' },
  { at: 100, label: '100' },
];

/** Places on the root scale of the fractions 1/80, 1/40 ... of its end; the labelled ones are always round figures. */
function moneyTicks(max: number, currency: string): Tick[] {
  const at = (share: number) => 100 * Math.sqrt(share);
  return [
    { at: 0, label: money(0, currency) },
    { at: at(1 / 80) },
    { at: at(1 / 40), label: bare(max / 40), fine: true },
    { at: at(1 / 20) },
    { at: at(3 / 40) },
    { at: at(1 / 10) },
    { at: at(1 / 8), label: bare(max / 8) },
    { at: at(3 / 16) },
    { at: at(1 / 4), label: bare(max / 4), fine: true },
    { at: at(3 / 8) },
    { at: at(1 / 2), label: bare(max / 2) },
    { at: at(5 / 8) },
    { at: at(3 / 4) },
    { at: at(7 / 8) },
    { at: 100, label: bare(max) },
  ];
}

function Legend({ finish }: { finish: string }) {
  const l = w.legend;
  return (
    <div className="legend">
      {(['settled', 'leaning', 'open'] as const).map((firmness) => (
        <span key={firmness}>
          <Mark action="refinish" firmness={firmness} quiet />
          {l[firmness]}
        </span>
      ))}
      <span>
        <Strip low={40} high={70} likely={[46, 62]} want={65} spoken="" />
        {l.index(finish)}
      </span>
      <span>
        <RangeBar spread={{ low: 10, likely: 40, aside: 80 }} max={100} filling="refinish" spoken="" />
        {l.range}
      </span>
      <span>
        <Pin withWord />
      </span>
      <span className="hold">
        <Icon name="i-hold" />
        {l.held}
      </span>
    </div>
  );
}
