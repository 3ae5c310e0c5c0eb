import type { PlanOut } from '../../../shared/plan.ts';
import { bare, hours, sentence } from '../format.ts';
import { planWords as w } from '../words-plan.ts';
import { niceScale } from './plan-total.tsx';
import { Rule, type Tick, vars } from './range.tsx';

/** When it is done: each activity from start to finish, with how late it may run. */
export function PlanDays({ plan: { days } }: { plan: PlanOut }) {
  const { activities } = days;
  if (activities.length === 0) return null;
  const { end, step } = niceScale(Math.max(...activities.map((activity) => activity.finish + activity.slack)));
  const at = (value: number) => `${(100 * value) / end}%`;
  const ticks: Tick[] = [];
  for (let value = 0; value <= end; value += step) ticks.push({ at: (100 * value) / end, label: bare(value) });
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.days}</h2>
        <span className="note">{w.daysAt(hours(days.hoursPerWeek), days.hoursAssumed)}</span>
      </div>
      <p className="strong">{w.daysTotal(bare(days.p80), bare(days.p50))}</p>
      <div className="days">
        <div className="d" aria-hidden="true">
          <span />
          <Rule ticks={ticks} />
        </div>
        <ul className="daylist">
          {activities.map((activity) => (
            <li className="d" key={activity.id}>
              <span>{activity.name}</span>
              <span
                className="ln"
                role="img"
                aria-label={w.spokenActivity(
                  bare(activity.start),
                  bare(activity.finish),
                  bare(activity.slack),
                  w.activitySort[activity.sort],
                  activity.critical,
                )}
              >
                <i
                  className={activity.critical ? 'c' : ''}
                  style={vars({ left: at(activity.start), width: at(Math.max(0.4, activity.finish - activity.start)) })}
                />
                {activity.slack > 0.05 ? (
                  <u style={vars({ left: at(activity.finish), width: at(activity.slack) })} />
                ) : null}
              </span>
            </li>
          ))}
        </ul>
      </div>
      <p className="small quiet below8">
        {sentence(days.text)} {w.daysKey}
      </p>
    </section>
  );
}
