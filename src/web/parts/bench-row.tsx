import { memo } from 'react';
import { Link } from 'wouter';
import type { Row } from '../data/rows.ts';
import { bare, duration, hours, hundredths, money } from '../format.ts';
import { words } from '../words.ts';
import { Icon, Mark, Pin } from './mark.tsx';
import { RangeBar, Strip, spokenCost } from './range.tsx';

const w = words.bench;

interface BenchRowProps {
  row: Row;
  /** Null where the style sheet counts. */
  rank: number | null;
  assessment: string;
  currency: string;
  want: number | null;
  max: number;
}

/** One component on the bench. Drawn anew only when what it shows has changed. */
export const BenchRow = memo(function BenchRow({ row, rank, assessment, currency, want, max }: BenchRowProps) {
  const { component: c } = row;
  const filling = row.firmness === 'open' ? 'open' : row.action;
  return (
    <Link className={`row item${row.wasAction ? ' moved' : ''}`} href={`/a/${assessment}/c/${c.id}`} data-id={c.id}>
      {row.wasAction ? <span className="was-mk" /> : null}
      <span className="c-rk">{rank}</span>
      <Mark action={row.action} firmness={row.firmness} />
      <span className="c-nm">
        <b>{c.name}</b>
        <span className="sub">
          <Counts row={row} />
          {c.position ? `${c.position} ` : null}
          {c.safetyCritical ? <Pin /> : null}
          {row.firmness === 'settled' ? null : (
            <>
              {' · '}
              {row.firmness === 'open' ? w.openOdds(hundredths(row.odds)) : w.leaningOdds(hundredths(row.odds))}
            </>
          )}
        </span>
        {c.verdict.holdPoint ? (
          <span className="hold">
            <Icon name="i-hold" />
            {w.held(c.verdict.holdPoint)}
          </span>
        ) : null}
        {row.wasAction ? <span className="small waswhat">{w.wasAction(words.action[row.wasAction])}</span> : null}
      </span>
      <Why row={row} currency={currency} />
      <span className="c-ix">
        {c.index ? (
          <>
            <Strip
              low={c.index.low}
              high={c.index.high}
              likely={[c.index.likelyLow, c.index.likelyHigh]}
              want={want}
              barred={row.isBarred}
            />
            <span>
              {row.isBarred ? w.barred : `${Math.round(c.index.low)}–${Math.round(c.index.high)}`}
              {row.isBarred ? null : <Years row={row} />}
            </span>
          </>
        ) : (
          <>
            <Strip low={0} high={0} barred spoken={w.noIndex} />
            <span>{row.isBarred ? w.barred : w.noIndex}</span>
          </>
        )}
      </span>
      <span className="c-co">
        {row.cost ? (
          <RangeBar
            spread={row.cost}
            max={max}
            filling={filling}
            scale={Math.sqrt}
            spoken={spokenCost(row.cost, currency)}
          />
        ) : null}
      </span>
      <span className="c-fg num">
        <b>{row.cost ? money(row.cost.aside, currency) : '–'}</b>
        {row.cost ? (
          <span>
            {words.likely} {bare(row.cost.likely)}
            {row.ownHours > 0 ? ` · ${w.hours(hours(row.ownHours))}` : ''}
          </span>
        ) : null}
      </span>
      <NextLook row={row} currency={currency} />
    </Link>
  );
});

function Counts({ row }: { row: Row }) {
  const { counts } = row.component.verdict;
  const { count } = row.component;
  if (count === 1) return null;
  const kinds = counts ? (['replace', 'refinish', 'reuse'] as const).filter((action) => counts[action] > 0) : [];
  if (!counts || kinds.length < 2) return <>{w.pieces(count)}, </>;
  return (
    <>
      {kinds.map((action) => (
        <span className="cnt" key={action}>
          {counts[action]} <Mark action={action} firmness="settled" quiet /> {words.action[action]}
        </span>
      ))}
    </>
  );
}

function Why({ row, currency }: { row: Row; currency: string }) {
  const { verdict } = row.component;
  return (
    <span className="c-why">
      <span className="whytext">
        {verdict.override ? (
          <>
            “{verdict.override.reason}” {w.byPerson(verdict.override.by)}; {w.overridden(words.action[verdict.action])}.
          </>
        ) : verdict.spare ? (
          w.spare
        ) : (
          row.why
        )}
      </span>
      {verdict.ifClear && row.firmness === 'open' ? (
        <span className="ifc">
          {w.ifClear(words.action[row.action])} <Mark action={verdict.ifClear} firmness="settled" quiet />{' '}
          {words.action[verdict.ifClear]}
          {row.ifClearCost === null ? '' : `, ${money(row.ifClearCost, currency)}`}
        </span>
      ) : null}
    </span>
  );
}

function Years({ row }: { row: Row }) {
  const { yearsLeft } = row.component;
  if (!yearsLeft) return null;
  const low = Math.floor(yearsLeft.low);
  const high = Math.round(yearsLeft.high);
  return <em>{high === 0 ? w.spent : w.yearsLeft(low, Math.max(low, high))}</em>;
}

function NextLook({ row, currency }: { row: Row; currency: string }) {
  const look = row.component.looks[0];
  if (!look) {
    return (
      <span className="c-lk nil">
        <span role="img" aria-label={w.nothingToLook}>
          –
        </span>
      </span>
    );
  }
  const minutes = duration(look.minutes);
  return (
    <span className="c-lk">
      <span className="lk">{look.ask}</span>{' '}
      <span className="num">
        {look.compulsory
          ? w.lookLife(minutes)
          : w.lookWorth(minutes, look.value < 1 ? null : money(look.value, currency))}
      </span>
    </span>
  );
}
