import type { ReactElement } from 'react';
import { Link } from 'wouter';
import type { PlanOut } from '../../../shared/plan.ts';
import { bare, duration, figure, hours, hundredths, money } from '../format.ts';
import { words } from '../words.ts';
import { planWords as w } from '../words-plan.ts';
import { Basis } from './basis.tsx';
import { Mark } from './mark.tsx';
import { CautionLine } from './notices.tsx';

/** Steps of a part told before the rest is a number. */
const STEPS = 3;
/** Lines of a long list shown before the rest is folded away. */
const SHOWN = 8;

/** What to do now, at most five things. */
export function PlanNext({ plan }: { plan: PlanOut }) {
  const { actions, warning, finishOne } = plan.nextFive;
  const { currency, id } = plan.assessment;
  if (actions.length === 0) return null;
  return (
    <section className="sheet pad five">
      <h2>{w.nextFive}</h2>
      {warning ? <CautionLine text={warning} /> : null}
      <ol>
        {actions.map((action, i) => (
          <li key={action.text}>
            <span className="no num">{i + 1}</span>
            <span>
              <b>
                {action.components.length === 1 ? (
                  <Link href={`/a/${id}/c/${action.components[0]}`}>{action.text}</Link>
                ) : (
                  action.text
                )}
              </b>
              <span className="small quiet">
                {action.why}
                {action.minutes === null ? '' : ` ${duration(action.minutes)}.`}{' '}
              </span>
            </span>
          </li>
        ))}
      </ol>
      {finishOne.length > 0 ? (
        <>
          <h3>{w.finishOne}</h3>
          <ul className="rows2">
            {finishOne.map((part) => (
              <li key={part.component}>
                <span>
                  {part.name}
                  <span className="small quiet">
                    {' '}
                    {part.steps.slice(0, STEPS).join(', then ')}
                    {part.steps.length > STEPS ? w.moreSteps(part.steps.length - STEPS) : ''}
                    {part.waitsFor ? `; ${w.waitsFor(part.waitsFor)}` : ''}
                  </span>
                </span>
                <span className="num r">{w.finishText(hours(part.hoursLeft), money(part.moneyLeft, currency))}</span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  );
}

/** What happens if nothing is done. */
export function PlanLeft({ plan: { ifLeft, assessment } }: { plan: PlanOut }) {
  const { currency } = assessment;
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.ifLeft}</h2>
        <span className="note">{w.ifLeftNote}</span>
      </div>
      <Folded
        of={ifLeft.parts.map((part) => (
          <li key={`${part.component} ${part.check}`}>
            <span>
              <Link href={`/a/${assessment.id}/c/${part.component}`}>{part.name}</Link>
              <span className="small quiet"> {part.because}</span>
            </span>
            <span className="num r">
              <b>{years(part.years)}</b>
              <span className="small quiet">
                <br />
                {w.within(hundredths(part.withinHorizon))}, {w.costThen(money(part.costThen, currency))}
              </span>
            </span>
          </li>
        ))}
      />
      {ifLeft.zinc.length > 0 ? (
        <>
          <h3 className="below">{w.zinc}</h3>
          <ul className="rows2">
            {ifLeft.zinc.map((coat) => (
              <li key={`${coat.component} ${coat.operation}`}>
                <span>
                  {coat.name}
                  <span className="small quiet">
                    {' '}
                    {figure(coat.um)} µm <Basis {...coat.because} />
                  </span>
                </span>
                <span className="num r">{years(coat.years)}</span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      <CautionLine text={ifLeft.caution} />
    </section>
  );
}

/** A long list: its head, and the rest folded away. */
function Folded({ of, list = 'rows2' }: { of: readonly ReactElement[]; list?: string }) {
  const rest = of.slice(SHOWN);
  return (
    <>
      <ul className={list}>{of.slice(0, SHOWN)}</ul>
      {rest.length > 0 ? (
        <details className="rest">
          <summary>{w.theRest(rest.length)}</summary>
          <ul className={list}>{rest}</ul>
        </details>
      ) : null}
    </>
  );
}

/** The order in which to do the work when the money may run out. */
export function PlanOrder({ plan: { ifLeft, assessment } }: { plan: PlanOut }) {
  const { currency } = assessment;
  if (ifLeft.order.length === 0) return null;
  const most = Math.max(1, ...ifLeft.order.map((line) => line.moneySoFar));
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.order}</h2>
        <span className="note">{w.orderNote}</span>
      </div>
      <Folded
        list="rel"
        of={ifLeft.order.map((line) => (
          <li key={`${line.component} ${line.name}`}>
            <div>
              <b>
                <Mark action={line.action} firmness="settled" quiet /> {line.name}
              </b>
              <p className="small quiet">{line.why}</p>
            </div>
            <b className="num">{money(line.money, currency)}</b>
            <span className="relb" role="img" aria-label={w.orderSoFar(money(line.moneySoFar, currency))}>
              <i style={{ width: `${(100 * line.moneySoFar) / most}%` }} />
            </span>
          </li>
        ))}
      />
    </section>
  );
}

function years({ low, high }: { low: number; high: number | null }): string {
  if (high === null) return w.yearsFrom(bare(Math.floor(low)));
  const [from, to] = [Math.floor(low), Math.max(Math.floor(low), Math.round(high))];
  return to === 0 ? words.bench.spent : w.years(bare(from), bare(to));
}

/** What to offer for a car looked at before buying. */
export function PlanOffer({ plan: { offer, assessment } }: { plan: PlanOut }) {
  if (!offer) return null;
  const say = (value: number) => money(value, assessment.currency);
  const known = [
    [w.offerAsking, offer.asking],
    [w.offerCeiling, offer.ceiling],
    [w.offerWorth, offer.worthDone],
  ] as const;
  const most = Math.max(1, ...offer.split.map((part) => part.money.p80));
  return (
    <section className="sheet pad offer">
      <h2>{w.offer}</h2>
      <div className="offerfigs">
        {offer.offerLessP80 === null ? null : (
          <div>
            <p className="small quiet">{w.offerMost}</p>
            <p className="fig num">{say(offer.offerLessP80)}</p>
            {offer.offerLessP50 === null ? null : (
              <p className="small quiet">
                {say(offer.offerLessP50)} {w.offerLikely}
              </p>
            )}
          </div>
        )}
        <div>
          <p className="small quiet">{w.offerPutRight}</p>
          <p className="fig num">{say(offer.toPutRight.p80)}</p>
          <p className="small quiet">
            {words.likely} {say(offer.toPutRight.p50)}, {w.hoursUnit(hours(offer.hours.p80))}
          </p>
        </div>
        <dl>
          {known.map(([name, value]) =>
            value === null ? null : (
              <div key={name}>
                <dt className="small quiet">{name}</dt>
                <dd className="num strong">{say(value)}</dd>
              </div>
            ),
          )}
        </dl>
      </div>
      {offer.text.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <h3 className="below">{w.offerSplit}</h3>
      <ol className="rel">
        {offer.split.map((part) => (
          <li key={part.when}>
            <div>
              <b>{part.name}</b>
              <p className="small quiet">{w.sharedParts(part.components.length)}</p>
            </div>
            <b className="num">{say(part.money.p80)}</b>
            <span className="relb" aria-hidden="true">
              <i style={{ width: `${(100 * part.money.p80) / most}%` }} />
            </span>
          </li>
        ))}
      </ol>
      {offer.notSeen.length > 0 ? (
        <>
          <h3 className="below">{w.notSeen}</h3>
          <Folded
            list="plain"
            of={offer.notSeen.map((part) => (
              <li key={part.component}>
                <Link href={`/a/${assessment.id}/c/${part.component}`}>{part.name}</Link>{' '}
                <span className="small quiet">{part.text}</span>
              </li>
            ))}
          />
        </>
      ) : null}
      {offer.looks.length > 0 ? (
        <>
          <h3 className="below">{w.offerLooks}</h3>
          <ul className="rows2">
            {offer.looks.map((look) => (
              <li key={`${look.component} ${look.check}`}>
                <span>
                  <Link href={`/a/${assessment.id}/round?check=${look.component}/${look.check}`}>{look.ask}</Link>
                  <span className="small quiet"> {duration(look.minutes)}</span>
                </span>
                <span className="small num r">
                  {w.lookBest(hundredths(look.best.chance), say(look.best.p80))}
                  <br />
                  {w.lookBest(hundredths(look.worst.chance), say(look.worst.p80))}
                </span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  );
}

/** What was really spent against what was reckoned. */
export function PlanSpent({ plan: { actuals, assessment } }: { plan: PlanOut }) {
  const { currency } = assessment;
  if (actuals.entries.length === 0) return null;
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.spent}</h2>
        <span className="note">{w.spentText(money(actuals.spent.money, currency), hours(actuals.spent.hours))}</span>
      </div>
      <ul className="rows2">
        {actuals.entries.map((entry) => (
          <li key={`${entry.component} ${entry.on} ${entry.date}`}>
            <span>
              {entry.name}
              <span className="small quiet"> {entry.on}</span>
            </span>
            <span className="num small r">
              {entry.hours ? w.ratio(w.hoursUnit(hours(entry.hours.actual)), hours(entry.hours.estimate)) : ''}
              {entry.hours && entry.money ? <br /> : null}
              {entry.money ? w.ratio(money(entry.money.actual, currency), bare(entry.money.estimate)) : ''}
            </span>
          </li>
        ))}
      </ul>
      <p className="small quiet below8">
        {w.atEnd(money(actuals.atCompletion.money.p80, currency), hours(actuals.atCompletion.hours.p80))}.{' '}
        {actuals.optimism.text}
      </p>
    </section>
  );
}
