import { useState } from 'react';
import type { PlanOut } from '../../../shared/plan.ts';
import { bare, hours, hundredths, money } from '../format.ts';
import { planWords as w } from '../words-plan.ts';
import { Basis } from './basis.tsx';
import { Segments } from './field.tsx';
import { Histogram } from './plan-total.tsx';
import { vars } from './range.tsx';

const MOST = 9;

/** What the spread of the total comes from, largest share first. */
export function PlanDrivers({ plan }: { plan: PlanOut }) {
  const [which, setWhich] = useState<'money' | 'hours'>('money');
  const { currency } = plan.assessment;
  const total = plan.total[which];
  const drivers = total.drivers.filter((driver) => driver.share > 0.004).slice(0, MOST);
  const most = Math.max(0.01, ...drivers.map((driver) => driver.share));
  const say = (value: number) => (which === 'money' ? money(value, currency) : w.hoursUnit(hours(value)));
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.drivers}</h2>
        <span className="note">{w.driversNote}</span>
      </div>
      <Segments
        label={w.drivers}
        value={which}
        options={[
          ['money', w.drives],
          ['hours', w.drivesHours],
        ]}
        onPick={setWhich}
      />
      <ul className="drvlist">
        {drivers.map((driver) => (
          <li className="drv share" key={driver.id}>
            <span>
              {driver.name}
              <span className="small">
                {w.driverSort[driver.what]}
                {driver.text ? ` · ${driver.text}` : ''}
              </span>
            </span>
            <span className="tor" aria-hidden="true">
              <i
                className={driver.what === 'cause' ? 'dn' : 'up'}
                style={vars({ width: `${(100 * driver.share) / most}%` })}
              />
            </span>
            <span className="num strong">{w.ofSpread(hundredths(driver.share))}</span>
          </li>
        ))}
      </ul>
      <div className="head below">
        <h3>{w.spread}</h3>
        <span className="note">{w.spreadNote}</span>
      </div>
      <Histogram of={total} say={say} />
    </section>
  );
}

/** Every line of the budget, opened on demand. */
export function PlanLines({ plan }: { plan: PlanOut }) {
  const { currency } = plan.assessment;
  const lines = [...plan.total.lines].sort((a, b) => b.money.p80 - a.money.p80 || b.hours.p80 - a.hours.p80);
  return (
    <section className="sheet pad">
      <details>
        <summary>
          <h2>{w.lines}</h2> <span className="small quiet">{w.linesNote}</span>
        </summary>
        <table className="shop lines">
          <thead>
            <tr>
              <th>{w.th.what}</th>
              <th className="r">{w.th.money}</th>
              <th className="r">{w.th.hours}</th>
              <th className="only-desk">{w.th.how}</th>
            </tr>
          </thead>
          <tbody>
            {lines.map((line) => (
              <tr key={line.id}>
                <td>{line.name}</td>
                <td className="r num">
                  <b>{money(line.money.p80, currency)}</b>
                  <span className="small quiet"> {w.likelyAt(bare(line.money.p50))}</span>
                </td>
                <td className="r num">{hours(line.hours.p80)}</td>
                <td className="only-desk small quiet">
                  {line.text}{' '}
                  <span className="basisline">
                    <Basis {...line.because} />
                  </span>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </section>
  );
}
