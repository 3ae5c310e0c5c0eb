import type { Batch, PlanOut } from '../../../shared/plan.ts';
import { bare, hours, hundredths, money, sentence } from '../format.ts';
import { planWords as w } from '../words-plan.ts';
import { Mark } from './mark.tsx';
import { vars } from './range.tsx';

/** What goes out together: the bill, what each part takes of it, and where the minimum lies. */
export function PlanBatches({ plan }: { plan: PlanOut }) {
  const { currency } = plan.assessment;
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.batches}</h2>
        {plan.batches.length > 0 ? <span className="note">{w.batchesNote}</span> : null}
      </div>
      {plan.batches.length === 0 ? <p className="quiet">{w.noBatch}</p> : null}
      {plan.batches.map((batch) => (
        <BatchBlock key={batch.id} batch={batch} currency={currency} />
      ))}
      {plan.sharedCharges.length > 0 ? (
        <>
          <div className="head below">
            <h3>{w.shared}</h3>
            <span className="note">{w.sharedNote}</span>
          </div>
          <ul className="rows2">
            {plan.sharedCharges.map((charge) => (
              <li key={charge.id}>
                <span>
                  {charge.name}
                  <span className="small quiet">
                    {charge.where ? `, ${charge.where.replaceAll('-', ' ')}` : ''},{' '}
                    {w.sharedParts(charge.covers.length)}
                  </span>
                </span>
                <span className="num r">
                  {charge.isPaid
                    ? w.sharedPaid
                    : charge.money.usual > 0
                      ? `${money(charge.money.usual, currency)} (${bare(charge.ifEachPaid.money)})`
                      : `${w.hoursUnit(hours(charge.hours.usual))} (${hours(charge.ifEachPaid.hours)})`}
                </span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  );
}

function BatchBlock({ batch, currency }: { batch: Batch; currency: string }) {
  const work = batch.work.usual;
  const minimum = batch.goesAnyway ? 0 : batch.minimum.usual;
  const end = Math.max(work, minimum, 0.01);
  const share = batch.parts.reduce((sum, part) => sum + part.areaDm2.usual + part.massKg.usual, 0) || 1;
  const said = batch.goesAnyway
    ? w.goesAnyway
    : !batch.paysMinimum
      ? w.overMinimum(bare(Math.max(0, work - minimum)))
      : batch.slack > 0
        ? w.minimumPaid(bare(batch.slack))
        : w.minimumJust;
  return (
    <div className="batch">
      <div>
        <h3>
          {batch.name}
          {batch.colour ? `, ${batch.colour}` : ''}
        </h3>
        <p className="small quiet">
          {batch.metal} · {w.lead(bare(batch.leadDays.low), bare(batch.leadDays.high))}
        </p>
      </div>
      <p className="fg">
        <b className="num">{money(batch.bill.usual, currency)}</b>
        <br />
        <span className="small quiet">{said}</span>
      </p>
      <div
        className="fill"
        role="img"
        aria-label={w.spokenFill(money(work, currency), money(batch.minimum.usual, currency))}
      >
        {batch.parts.map((part) => (
          <i
            key={`${part.component} ${part.group}`}
            className="y"
            style={vars({ width: `${((100 * work) / end) * ((part.areaDm2.usual + part.massKg.usual) / share)}%` })}
          />
        ))}
        {minimum > 0 ? <s style={vars({ left: `calc(${(100 * minimum) / end}% - 1.5px)` })} /> : null}
      </div>
      <ul className="batchparts small">
        {batch.parts.map((part) => (
          <li key={`${part.component} ${part.group}`}>
            {part.pieces > 1 ? `${part.pieces} × ` : ''}
            {part.name}{' '}
            <span className="quiet num">
              {w.alone(money(part.adds, currency), money(part.alone, currency))}
              {part.chance < 0.995 ? `, ${w.partChance(hundredths(part.chance))}` : ''}
            </span>
          </li>
        ))}
      </ul>
      <p className="small quiet wide">
        {sentence(batch.oneMore.text)}{' '}
        {batch.couldJoin.length > 0
          ? `${w.couldJoin}: ${batch.couldJoin
              .slice(0, 3)
              .map((part) => w.joinAdds(part.name, money(part.adds, currency), money(part.alone, currency)))
              .join('; ')}.`
          : ''}
      </p>
    </div>
  );
}

/** Parts whose verdict the whole job changes: both are shown. */
export function PlanDiffers({ plan }: { plan: PlanOut }) {
  const differing = plan.verdicts.filter((verdict) => verdict.differs);
  if (differing.length === 0) return null;
  return (
    <section className="sheet pad">
      <div className="head">
        <h2>{w.differs}</h2>
        <span className="note">{w.differsNote}</span>
      </div>
      <ul className="rows2">
        {differing.map((verdict) => (
          <li key={`${verdict.component} ${verdict.group}`}>
            <span>
              <b>{verdict.name}</b>
              <span className="small quiet"> {verdict.why}</span>
            </span>
            <span className="twomarks">
              <Mark action={verdict.joint.action} firmness="settled" quiet />{' '}
              {w.jointSay(verdict.joint.name, verdict.alone.name)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
