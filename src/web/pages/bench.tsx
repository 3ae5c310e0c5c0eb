import { useMemo, useState } from 'react';
import { benchScale, type Row, rowsOf, spreadOf } from '../data/rows.ts';
import { useScored } from '../data/use-score.ts';
import { useWhatIf } from '../data/use-what-if.ts';
import { bare, hours, money } from '../format.ts';
import { AlwaysNew } from '../parts/always-new.tsx';
import { BenchGraders } from '../parts/bench-graders.tsx';
import { BenchList } from '../parts/bench-list.tsx';
import { BenchMenu } from '../parts/bench-menu.tsx';
import { Frame } from '../parts/frame.tsx';
import { Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { RangeBar, spokenCost } from '../parts/range.tsx';
import { Tray } from '../parts/tray.tsx';
import { WhatIf } from '../parts/what-if.tsx';
import { words } from '../words.ts';

const w = words.bench;

export type Filter = 'all' | 'open' | 'life';
export type GroupBy = keyof typeof w.groups;

/** All components in rank order, with what decides each, and sliders that re-sort them. */
export function BenchPage({ id }: { id: string }) {
  const scored = useScored(id);
  const name = scored.assessment?.name ?? words.nav.bench;
  return (
    <Frame title={name} assessment={id} section="bench">
      {scored.trouble ? (
        <Trouble title={scored.trouble.title} text={scored.trouble.text} onRetry={scored.retry} />
      ) : scored.score === null || scored.assessment === null ? (
        <Waiting what={scored.assessment === null ? words.state.loading : words.state.working} />
      ) : scored.score.components.length === 0 ? (
        <Empty {...w.empty} />
      ) : (
        <Bench {...scored} score={scored.score} assessment={scored.assessment} />
      )}
    </Frame>
  );
}

type Scored = ReturnType<typeof useScored>;
type Full = Scored & { score: NonNullable<Scored['score']>; assessment: NonNullable<Scored['assessment']> };

function Bench({ score, assessment, rubric, version, isUpdating, answered }: Full) {
  const settled = useMemo(() => rowsOf(score), [score]);
  const whatIf = useWhatIf(assessment, rubric, settled, score);
  const [filter, setFilter] = useState<Filter>('all');
  const [search, setSearch] = useState('');
  const [groupBy, setGroupBy] = useState<GroupBy>('verdict');
  const [isWhatIfOpen, setWhatIfOpen] = useState(false);
  const { rows } = whatIf;
  const max = useMemo(() => benchScale(rows), [rows]);
  const shown = useMemo(() => rows.filter((row) => isShown(row, filter, search)), [rows, filter, search]);
  const { currency } = assessment;
  const total = spreadOf(whatIf.totals.money);
  const openCount = rows.filter((row) => row.firmness === 'open').length;
  const lifeCount = rows.filter((row) => row.component.safetyCritical).length;
  const finish = words.finish[whatIf.sliders.finish].toLowerCase();
  return (
    <>
      <div className="title">
        <div>
          <h1>{assessment.name}</h1>
          <p className="quiet small">
            {assessment.vehicle ? `${assessment.vehicle}, ` : ''}
            {w.wanted(finish)}
            <br />
            {w.checks(answered.done, answered.all)}
            {isUpdating || whatIf.isUpdating ? ` · ${words.state.updating}` : ''}
          </p>
        </div>
        <Tray rows={rows} />
        <div className="stopfig">
          <span>{w.whole}</span>
          <div className="fig num">{money(total.aside, currency)}</div>
          <RangeBar spread={total} max={total.aside * 1.01} filling="dark" spoken={spokenCost(total, currency)} />
          <span className="small quiet">
            {words.likely} {money(total.likely, currency)}
            {whatIf.totals.hours.usual > 0 ? ` · ${w.hours(hours(whatIf.totals.hours.usual))}` : ''}
          </span>
        </div>
      </div>
      <div className="chips">
        {(
          [
            ['all', w.all, rows.length],
            ['open', w.open, openCount],
            ['life', w.life, lifeCount],
          ] as const
        ).map(([key, text, count]) => (
          <button
            key={key}
            type="button"
            className="btn glove"
            aria-pressed={filter === key}
            onClick={() => setFilter(key)}
          >
            {text} {bare(count)}
          </button>
        ))}
        <button
          type="button"
          className="btn glove only-phone"
          aria-expanded={isWhatIfOpen}
          onClick={() => setWhatIfOpen(!isWhatIfOpen)}
        >
          {isWhatIfOpen ? w.whatIfHide : w.whatIf}
        </button>
        <label className="findbox">
          <span className="vh">{w.searchLabel}</span>
          <input
            type="search"
            value={search}
            placeholder={w.searchLabel}
            onChange={(event) => setSearch(event.target.value)}
          />
        </label>
        <label className="groupbox">
          <span>{w.groupLabel}</span>
          <select value={groupBy} onChange={(event) => setGroupBy(event.target.value as GroupBy)}>
            {Object.entries(w.groups).map(([key, text]) => (
              <option key={key} value={key}>
                {text}
              </option>
            ))}
          </select>
        </label>
      </div>
      <WhatIf whatIf={whatIf} assessment={assessment} score={score} version={version} isOpen={isWhatIfOpen} />
      <BenchList
        rows={shown}
        all={rows}
        groupBy={groupBy}
        assessment={assessment.id}
        currency={currency}
        want={whatIf.want}
        max={max}
        finish={finish}
        search={search}
      />
      <AlwaysNew list={score.alwaysNew} currency={currency} />
      {rubric ? <BenchGraders assessment={assessment} rubric={rubric} /> : null}
      {rubric ? <BenchMenu assessment={assessment} rubric={rubric} /> : null}
      <p className="small quiet limits">{w.limits}</p>
    </>
  );
}

function isShown(row: Row, filter: Filter, search: string): boolean {
  if (filter === 'open' && row.firmness !== 'open') return false;
  if (filter === 'life' && !row.component.safetyCritical) return false;
  if (search.trim() === '') return true;
  const { name, kindName, position } = row.component;
  const text = `${name} ${kindName} ${position ?? ''}`.toLowerCase();
  return search
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}
