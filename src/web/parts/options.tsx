import type { ComponentOut, OptionOut } from '../../../shared/index.ts';
import { optionFor, spreadOf } from '../data/rows.ts';
import { bare, hours, hundredths, money, sentence } from '../format.ts';
import type { PartProps } from '../pages/component.tsx';
import { words } from '../words.ts';
import { Basis } from './basis.tsx';
import { BarredMark, Mark } from './mark.tsx';
import { type Spread, StandingRange, vars } from './range.tsx';

const w = words.component;

// More options than this do not fit side by side; the dearest are told in the list below.
const MOST = 4;

/** Options side by side on one scale, refused ones below with why. */
export function Options({ out, assessment, rubric }: PartProps) {
  const { currency } = assessment!;
  const rate = assessment!.rates.own ?? rubric!.prices.ownRate.value;
  const chosen = optionFor(out, out.verdict.override?.action ?? out.verdict.action);
  const open = out.options
    .filter((option) => option.allowed !== 'no')
    .sort((a, b) => a.expectedCost - b.expectedCost)
    .slice(0, MOST);
  const refused = out.options.filter((option) => option.allowed === 'no');
  const spreads = new Map(open.map((option) => [option.id, withOwnTime(option, rate)]));
  const { max, step } = scaleFor(Math.max(1, ...[...spreads.values()].map((spread) => spread.aside)));
  const ticks = Array.from({ length: Math.floor(max / step) + 1 }, (_, i) => i * step);
  return (
    <section className="sheet o4">
      <div className="pad headpad">
        <div className="head">
          <h2>{w.options}</h2>
          <span className="note">{w.optionsNote(money(rate, currency))}</span>
        </div>
      </div>
      {open.length === 0 ? (
        <p className="pad">{w.noOption}</p>
      ) : (
        <div className="opts" style={vars({ '--cols': open.length, '--step': `${(100 * step) / max}%` })}>
          <span className="ax" />
          {open.map((option) => (
            <div key={option.id} className={`oh${option === chosen ? ' pick' : ''}`}>
              <span className="m">
                <Mark
                  action={option.action}
                  firmness={option === chosen ? out.verdict.firmness : option.allowed === 'open' ? 'open' : 'settled'}
                />
              </span>
              <b>{option.name}</b>
            </div>
          ))}
          <div className="ax vb" aria-hidden="true">
            {ticks.map((tick) => (
              <em key={tick} style={vars({ bottom: `${(100 * tick) / max}%` })}>
                {tick === 0 ? money(0, currency) : bare(tick)}
              </em>
            ))}
          </div>
          {open.map((option) => (
            <div key={option.id} className={`vb${option === chosen ? ' pick' : ''}`}>
              <StandingRange
                spread={spreads.get(option.id)!}
                max={max}
                filling={option.allowed === 'open' ? 'open' : option.action}
                currency={currency}
              />
            </div>
          ))}
          <span className="ax" />
          {open.map((option) => (
            <OptionFacts key={option.id} option={option} isPick={option === chosen} currency={currency} />
          ))}
        </div>
      )}
      <Refused refused={refused} out={out} />
    </section>
  );
}

function withOwnTime(option: OptionOut, rate: number): Spread {
  const { money: m, hours: h } = option;
  return spreadOf({ low: m.low + rate * h.low, usual: m.usual + rate * h.usual, high: m.high + rate * h.high });
}

/** Four to six round steps above the tallest figure. */
function scaleFor(top: number): { max: number; step: number } {
  const rough = top / 4;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 2.5, 5, 10].map((n) => n * power).find((n) => n >= rough) ?? 10 * power;
  return {
    max:
      step *
      (Math.floor((top * 1.08) / step) + 0.7 > (top * 1.08) / step
        ? Math.floor((top * 1.08) / step) + 0.7
        : Math.ceil((top * 1.08) / step)),
    step,
  };
}

function OptionFacts({ option, isPick, currency }: { option: OptionOut; isPick: boolean; currency: string }) {
  const passes = 100 - hundredths(option.failChance);
  return (
    <dl className={isPick ? 'pick' : ''}>
      <dt>{w.ownTime}</dt>
      <dd>{w.hoursRange(hours(option.hours.low), hours(option.hours.high))}</dd>
      {option.action === 'reuse' ? null : (
        <>
          <dt>{option.action === 'replace' ? w.fits : w.comesBack}</dt>
          <dd>{w.ofHundred(passes)}</dd>
          <dt>{w.away}</dt>
          <dd>{option.leadDays.high > 0 ? w.days(bare(option.leadDays.low), bare(option.leadDays.high)) : w.none}</dd>
        </>
      )}
      {Math.round(option.costAlone) === Math.round(option.costShared) ? null : (
        <>
          <dt>{w.alone}</dt>
          <dd>{w.aloneValue(money(option.costAlone, currency), money(option.costShared, currency))}</dd>
        </>
      )}
      {option.allowed === 'open' ? <dd className="strong">{w.notKnownYet}</dd> : null}
    </dl>
  );
}

/** What is refused and why; ways refused for the very same reasons are told together. */
function Refused({ refused, out }: { refused: readonly OptionOut[]; out: ComponentOut }) {
  if (refused.length === 0) return null;
  const why = (option: OptionOut) => option.refused.map((step) => sentence(step.text)).join(' ');
  const groups = new Map<string, OptionOut[]>();
  for (const option of refused) {
    const key = `${option.action} ${why(option)}`;
    groups.set(key, [...(groups.get(key) ?? []), option]);
  }
  return (
    <ul className="refd" aria-label={w.refusedTitle}>
      {[...groups.values()].map((alike) => {
        const option = alike[0]!;
        const [first] = option.refused;
        return (
          <li key={`${out.id} ${option.id}`}>
            <BarredMark action={option.action} />
            <span>
              {alike.map((entry) => (
                <b key={entry.id}>{entry.name}</b>
              ))}
            </span>
            <span className="small">{why(option)}</span>
            <span className="small quiet">{first?.source ?? first?.rule}</span>
            <span className="small">{first ? <Basis basis={first.basis} /> : null}</span>
          </li>
        );
      })}
    </ul>
  );
}
