import type { CSSProperties } from 'react';
import { bare, money } from '../format.ts';
import { words } from '../words.ts';

/** Custom properties as a style; React sets them through the DOM, which the Content-Security-Policy allows. */
export function vars(values: Record<string, string | number>): CSSProperties {
  return values as CSSProperties;
}

/** Low (P10), likely (P50) and the figure to set aside (P80), in one unit. */
export interface Spread {
  low: number;
  likely: number;
  aside: number;
}

export type Filling = 'reuse' | 'refinish' | 'replace' | 'open' | 'dark' | 'rust' | 'rust wide';

interface RangeProps {
  spread: Spread;
  /** Right end of the scale, in the spread's unit. */
  max: number;
  filling: Filling;
  spoken: string;
  big?: boolean;
  /** Bends the scale: the root scale of the bench. */
  scale?: (value: number) => number;
}

const straight = (value: number) => value;

/** A range of money, hours or rust: thin line from low to likely, bar to the stop. */
export function RangeBar({ spread, max, filling, spoken, big = false, scale = straight }: RangeProps) {
  const top = scale(max);
  const at = (value: number) => (top === 0 ? 0 : Math.min(100, (100 * scale(Math.min(value, max))) / top));
  return (
    <span
      className={`range ${filling}${big ? ' big' : ''}`}
      style={vars({ '--lo': at(spread.low), '--mid': at(spread.likely), '--nte': at(spread.aside), '--max': 100 })}
      {...spokenAs(spoken)}
    >
      <b />
    </span>
  );
}

/** A drawing's spoken text; with none it is decoration. */
function spokenAs(text: string) {
  return text === '' ? { 'aria-hidden': true } : { role: 'img', 'aria-label': text };
}

/** The same form standing up, for options side by side. */
export function StandingRange({ spread, max, filling, currency }: Omit<RangeProps, 'spoken'> & { currency: string }) {
  const at = (value: number) => `${(100 * value) / max}%`;
  const close = (spread.aside - spread.likely) / max < 0.09;
  return (
    <span
      className={`vr ${filling}`}
      style={vars({ '--lo': spread.low, '--mid': spread.likely, '--nte': spread.aside, '--max': max })}
      role="img"
      aria-label={spokenCost(spread, currency)}
    >
      <b />
      <u className="n" style={{ bottom: at(spread.aside) }}>
        {money(spread.aside, currency)}
      </u>
      <u className="l" style={{ bottom: close ? `calc(${at(spread.aside)} - 20px)` : at(spread.likely) }}>
        {words.likely} {bare(spread.likely)}
      </u>
    </span>
  );
}

export function spokenCost(spread: Spread, currency: string): string {
  return words.spokenCost(money(spread.aside, currency), money(spread.likely, currency), money(spread.low, currency));
}

interface StripProps {
  low: number;
  high: number;
  /** Where it most likely lies inside: the draws' P10 and P90. */
  likely?: readonly [low: number, high: number] | undefined;
  want?: number | null;
  barred?: boolean;
  big?: boolean;
  spoken?: string;
}

/** Condition index on 0 to 100: solid is sure, hatched is not known, outline is gone. */
export function Strip({ low, high, likely, want = null, barred = false, big = false, spoken }: StripProps) {
  const narrower = !barred && likely && (likely[0] > low || likely[1] < high) ? likely : null;
  return (
    <span
      className={`strip${big ? ' big' : ''}${barred ? ' out' : ''}${want === null ? ' noline' : ''}`}
      style={vars({
        '--lo': low,
        '--hi': high,
        ...(narrower ? { '--a': narrower[0], '--b': narrower[1] } : {}),
        ...(want === null ? {} : { '--want': want }),
      })}
      {...spokenAs(
        spoken ?? (barred ? words.bench.barred : words.spokenIndex(Math.round(low), Math.round(high), want, narrower)),
      )}
    >
      {narrower ? <b /> : null}
      {want === null ? null : <i />}
    </span>
  );
}

export interface Tick {
  /** Place, per cent of the rule. */
  at: number;
  label?: string;
  /** Left out where the rule is narrow. */
  fine?: boolean;
}

/** The engraved rule that heads a column of ranges. Decoration: every bar says its own figures. */
export function Rule({ ticks, minor = 1 }: { ticks: readonly Tick[]; minor?: number }) {
  return (
    <span className="rule" style={vars({ '--n': minor })} aria-hidden="true">
      {ticks.map((tick) => (
        <s
          key={tick.at}
          className={tick.label === undefined ? 'mi' : ''}
          style={{ left: tick.at >= 100 ? 'calc(100% - 1.5px)' : `${tick.at}%` }}
        >
          {tick.label === undefined ? null : <em className={tick.fine ? 'xs' : ''}>{tick.label}</em>}
        </s>
      ))}
    </span>
  );
}
