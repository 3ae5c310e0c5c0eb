import type { PlanOut, Quantiles, Total } from '../../../shared/plan.ts';
import { bare, hours, hundredths, money, sentence } from '../format.ts';
import { planWords as w } from '../words-plan.ts';
import { Basis } from './basis.tsx';
import { RangeBar, Rule, type Tick, vars } from './range.tsx';

/** What to set aside, in money and in own hours, with the ranges drawn. */
export function PlanTotals({ plan }: { plan: PlanOut }) {
  const { currency } = plan.assessment;
  const { money: cash, hours: own, contingency, estimateClass, statement, sumOfLikely } = plan.total;
  return (
    <section className="sheet pad">
      <BigRange title={w.money} of={cash} say={(value) => money(value, currency)} sum={sumOfLikely.money} />
      <BigRange title={w.hours} of={own} say={(value) => w.hoursUnit(hours(value))} sum={null} />
      <p className="small quiet totalsay">
        {[plan.setAside.text, statement, contingency.text].map(sentence).join(' ')}
      </p>
      <p className="small quiet totalsay">
        <b>{w.trust}:</b> {estimateClass.name}, {w.known(hundredths(estimateClass.known))}.{' '}
        {sentence(estimateClass.text)}{' '}
        <span className="basisline">
          <Basis {...estimateClass.because} />
        </span>
      </p>
    </section>
  );
}

interface BigRangeProps {
  title: string;
  of: Quantiles;
  say: (value: number) => string;
  /** The sum of the lines' likely values, dotted. */
  sum: number | null;
}

function BigRange({ title, of: { p10, p50, p80 }, say, sum }: BigRangeProps) {
  const { end, step } = niceScale(Math.max(p80 * 1.15, sum ?? 0));
  const at = (value: number) => `${Math.min(100, (100 * value) / end)}%`;
  const ticks: Tick[] = [];
  for (let value = 0; value <= end; value += step) {
    ticks.push({ at: (100 * value) / end, label: value === 0 ? say(0) : bare(value) });
  }
  const isClose = (p50 - p10) / end < 0.2;
  return (
    <div className="total">
      <div>
        <p className="small quiet">{title}</p>
        <p className="fig num">{say(p80)}</p>
      </div>
      <div className="bigrange">
        <div className="lab" aria-hidden="true">
          <span className="lo" style={{ left: at(p10) }}>
            {w.lowAt(bare(p10))}
          </span>
          <span className={isClose ? 'hi' : ''} style={{ left: at(p50) }}>
            {w.likelyAt(bare(p50))}
          </span>
          {sum === null ? null : (
            <span className={`sumv${sum > end / 2 ? ' leftward' : ''}`} style={{ left: at(sum) }}>
              {w.sumLikely(bare(sum))}
            </span>
          )}
        </div>
        <RangeBar
          big
          spread={{ low: p10, likely: p50, aside: p80 }}
          max={end}
          filling="dark"
          spoken={w.spokenTotal(say(p80), say(p50), say(p10))}
        />
        <Rule ticks={ticks} minor={ticks.length > 1 ? (ticks.length - 1) * 5 : 5} />
      </div>
    </div>
  );
}

/** A round right end above the largest value, and the step of its ticks: 4 to 6 of them. */
export function niceScale(top: number): { end: number; step: number } {
  const size = 10 ** Math.floor(Math.log10(Math.max(top, 1)));
  for (const step of [size / 10, size / 5, size / 4, size / 2, size, size * 2, size * 2.5]) {
    if (Math.ceil(top / step) <= 6) return { end: Math.ceil(top / step) * step, step };
  }
  return { end: size * 10, step: size * 5 };
}

/** The whole distribution: hollow above what is set aside. */
export function Histogram({ of, say }: { of: Total; say: (value: number) => string }) {
  const most = Math.max(...of.histogram.map((bar) => bar.share), 0.001);
  return (
    <div
      className="histo"
      role="img"
      aria-label={of.histogram
        .filter((bar) => bar.share >= 0.02)
        .map((bar) => w.spokenBar(say(bar.from), say(bar.to), hundredths(bar.share)))
        .join('; ')}
    >
      {of.histogram.map((bar) => (
        <i
          key={bar.from}
          className={(bar.from + bar.to) / 2 > of.p80 ? 'over' : ''}
          style={vars({ height: `${(100 * bar.share) / most}%` })}
        />
      ))}
      <em>{say(of.histogram[0]?.from ?? 0)}</em>
      <em>{say(of.histogram.at(-1)?.to ?? 0)}</em>
    </div>
  );
}
