import type { Rung, StripOut, StripStep } from '../../../shared/strip.ts';
import { bare, duration, figure, hours, hundredths } from '../format.ts';
import { planWords } from '../words-plan.ts';
import { CautionLine } from './notices.tsx';
import { SaidLine, SaidList } from './said.tsx';

const w = planWords.strip;

/** The sheet for the wall: what to record, what to have ready, and every joint in order. */
export function StripSheet({ strip }: { strip: StripOut }) {
  return (
    <>
      <p className="lede quiet">
        {w.intro} {w.total(duration(strip.minutes.low), duration(strip.minutes.usual), duration(strip.minutes.high))}.
      </p>
      <div className="stack8">
        {strip.cautions.map((caution) => (
          <CautionLine key={caution.text} text={caution.text} />
        ))}
      </div>
      <div className="two below">
        <section className="sheet pad">
          <h2>{w.records}</h2>
          <ul className="ticklist">
            {strip.records.map((part) => (
              <li key={part.component}>
                <b>{part.name}</b>
                {part.photograph.length > 0 ? <p className="small">{w.photoLine(part.photograph.join('; '))}</p> : null}
                {part.record.length > 0 ? <p className="small">{w.recordLine(part.record.join('; '))}</p> : null}
              </li>
            ))}
          </ul>
        </section>
        <section className="sheet pad">
          {strip.soak.length > 0 ? (
            <>
              <h2>{w.soak}</h2>
              <ul className="ticklist">
                {strip.soak.map((joint) => (
                  <li key={joint.step}>
                    {joint.name}{' '}
                    <span className="small quiet">
                      {w.soakHours(hours(joint.hours))}. {joint.text}
                    </span>
                  </li>
                ))}
              </ul>
            </>
          ) : null}
          <h2 className={strip.soak.length > 0 ? 'below' : ''}>{w.ready}</h2>
          {(['tool', 'stand', 'consumable', 'safety'] as const).map((sort) => {
            const items = strip.ready.filter((item) => item.sort === sort);
            return items.length === 0 ? null : (
              <div key={sort} className="readygroup">
                <h3>{w.tools[sort]}</h3>
                <p className="small">
                  {items.map((item, i) => (
                    <span key={item.id}>
                      {i > 0 ? '; ' : ''}
                      {item.name}
                      {item.amount ? ` (${item.amount})` : ''}
                      <span className="quiet">
                        {item.onlyIf ? `, ${w.onlyIf(item.onlyIf)}` : ''}
                        {item.note ? `, ${item.note}` : ''}
                      </span>
                    </span>
                  ))}
                  .
                </p>
              </div>
            );
          })}
        </section>
      </div>
      <section className="sheet pad below">
        <div className="head">
          <h2>{w.order}</h2>
          <span className="note">{w.ladderNote}</span>
        </div>
        <ol className="strip-list">
          {strip.steps.map((step) => (
            <Step key={`${step.n} ${step.id}`} step={step} />
          ))}
        </ol>
      </section>
      <div className="two below">
        <section className="sheet pad">
          <h2>{w.staysOn}</h2>
          <ul className="plain">
            {strip.staysOn.map((part) => (
              <li key={part.component}>
                <b>{part.name}</b> <span className="small quiet">{part.why}</span>
              </li>
            ))}
          </ul>
          {strip.alreadyOff.length > 0 ? (
            <p className="small below8">
              <b>{w.alreadyOff}:</b> {strip.alreadyOff.map((part) => part.name).join(', ')}.
            </p>
          ) : null}
        </section>
        <section className="sheet pad">
          {strip.alignment.length > 0 ? (
            <>
              <h2>{w.alignment}</h2>
              <ul className="plain">
                {strip.alignment.map((line) => (
                  <li key={`${line.component} ${line.what}`}>
                    <b>{line.name}</b>, {line.what}: {line.found}. <span className="small quiet">{line.because}</span>
                  </li>
                ))}
              </ul>
            </>
          ) : null}
          {strip.beforeItMoves.length > 0 ? (
            <>
              <h2>{w.beforeMoves}</h2>
              <ul className="ticklist">
                {strip.beforeItMoves.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
            </>
          ) : null}
          {strip.notes.map((note) => (
            <p className="small quiet" key={note}>
              {note}
            </p>
          ))}
        </section>
      </div>
    </>
  );
}

function Step({ step }: { step: StripStep }) {
  const { torque, seized, joint } = step;
  return (
    <>
      {step.cautions.length > 0 ? (
        <li className="cau">
          {step.cautions.map((caution) => (
            <CautionLine key={caution.text} text={caution.text} />
          ))}
        </li>
      ) : null}
      <li>
        <span className="no num">{step.n}</span>
        <div>
          <h3>
            {step.name}
            {joint.thread ? <span className="quiet"> {joint.thread}</span> : null}
            {joint.class ? <span className="quiet"> {joint.class}</span> : null}
          </h3>
          <p className="small quiet">
            {step.why}
            {step.does === 'slacken' ? `; ${w.slacken}` : step.where === 'on-wheels' ? `; ${w.onWheels}` : ''}
          </p>
          {joint.isLeftHand ? <p className="small strong">{w.leftHand}</p> : null}
          {step.photograph.length > 0 ? <p className="small">{w.photoLine(step.photograph.join('; '))}</p> : null}
          {step.record.length > 0 ? <p className="small">{w.recordLine(step.record.join('; '))}</p> : null}
        </div>
        <div className="small steptext">
          {[
            ...step.lockFirst.map((text) => [w.lock, text]),
            ...step.hang.map((text) => [w.hang, text]),
            ...step.parting.map((said) => [w.apart, said.text]),
            ...step.earlier.map((found) => [w.earlier, found.text]),
          ].map(([lead, text]) => (
            <p key={`${lead} ${text}`}>
              <b>{lead}:</b> {text}
            </p>
          ))}
          {step.spills.map((spill) => (
            <p key={spill.fluid}>
              {w.catches(figure(spill.litres.usual), spill.name)}; {spill.refill}.
            </p>
          ))}
          {step.scrapped.map((scrap) => (
            <p key={scrap.what} className="quiet">
              {w.scrapped(scrap.count, scrap.what)}
            </p>
          ))}
        </div>
        <div className="small num">
          <p>{w.minutes(bare(step.minutes.low), bare(step.minutes.usual), bare(step.minutes.high))}</p>
          {torque.undo ? <p className="quiet">{w.torque(bare(torque.undo.low), bare(torque.undo.high))}</p> : null}
          {torque.breaksNm === null ? null : <p className="quiet">{w.breaks(bare(torque.breaksNm))}</p>}
          <p className="quiet">{w.seized(seized.words, hundredths(seized.chance.usual))}</p>
          <Spanners step={step} />
        </div>
        <Ladder rungs={step.ladder} expect={step.expect} />
        <details className="ko1 stepmore">
          <summary>{w.why}</summary>
          <p className="small">{torque.words}</p>
          <SaidList of={seized.reasons} />
          {step.ladder.map((rung) =>
            rung.barred.length === 0 ? (
              <p className="small" key={rung.id}>
                <b>{rung.short}:</b> {rung.text}
              </p>
            ) : (
              <p className="small" key={rung.id}>
                <b>{w.barredHere(rung.short)}:</b>{' '}
                {rung.barred.map((said) => (
                  <SaidLine key={said.rule} said={said} />
                ))}
              </p>
            ),
          )}
          {step.ifItBreaks ? (
            <p className="small">
              <b>{w.ifBreaks}:</b> {step.ifItBreaks.text}
            </p>
          ) : null}
        </details>
      </li>
    </>
  );
}

function Spanners({ step }: { step: StripStep }) {
  const usual = step.spanners.filter((spanner) => spanner.use === 'this');
  const also = step.spanners.filter((spanner) => spanner.use === 'also met');
  if (usual.length + also.length === 0 && !step.counterhold) return null;
  return (
    <p>
      {[...usual, ...also].map((spanner) => spanner.stamp).join(' or ')}
      {step.counterhold ? `. ${w.hold}: ${step.counterhold}` : ''}
    </p>
  );
}

/** From the gentlest rung to the harshest: dark as far as the work likely goes, struck out where it is barred. */
function Ladder({ rungs, expect }: { rungs: readonly Rung[]; expect: string }) {
  const reached = rungs.findIndex((rung) => rung.id === expect);
  const barred = rungs.filter((rung) => rung.barred.length > 0);
  return (
    <div
      className="ladder"
      role="img"
      aria-label={w.expect(
        rungs[reached]?.short ?? expect,
        barred.map((rung) => rung.short),
      )}
    >
      {rungs.map((rung, i) => (
        <span key={rung.id} className={rung.barred.length > 0 ? 'no2' : i <= reached ? 'here' : ''}>
          {rung.short}
        </span>
      ))}
    </div>
  );
}
