import type { RefitOut } from '../../../shared/strip.ts';
import { planWords } from '../words-plan.ts';
import { CautionLine } from './notices.tsx';
import { SaidList } from './said.tsx';

const w = planWords.refit;

/** The strip-down turned round: every joint with its torque, or with the word that there is none here. */
export function RefitSheet({ refit }: { refit: RefitOut }) {
  return (
    <>
      <p className="lede quiet">{w.intro}</p>
      <section className="sheet pad">
        <h2>{planWords.strip.order}</h2>
        <ol className="strip-list refit">
          {refit.steps.map((step) => (
            <li key={`${step.n} ${step.id}`}>
              <span className="no num">{step.n}</span>
              <div>
                <h3>
                  {step.name}
                  {step.joint.thread ? <span className="quiet"> {step.joint.thread}</span> : null}
                </h3>
                {step.positions.map((text) => (
                  <p className="small" key={text}>
                    {text}
                  </p>
                ))}
                {step.notes.map((text) => (
                  <p className="small quiet" key={text}>
                    {text}
                  </p>
                ))}
              </div>
              <div className="small steptext">
                {step.newHardware.length > 0 ? (
                  <p>
                    <b>{w.newOnes}:</b> {step.newHardware.join('; ')}
                  </p>
                ) : null}
                {step.lock.length > 0 ? (
                  <p>
                    <b>{w.lock}:</b> {step.lock.join('; ')}
                  </p>
                ) : null}
                {step.cautions.map((caution) => (
                  <CautionLine key={caution.text} text={caution.text} />
                ))}
              </div>
              <p className="small">
                <b className="num">{step.torque}</b>
              </p>
              <p className="small quiet">{step.tighten === 'now' ? w.now : w.rideHeight}</p>
            </li>
          ))}
        </ol>
      </section>
      <div className="two below">
        <section className="sheet pad">
          {refit.atRideHeight.length > 0 ? (
            <>
              <h2>{w.atRideHeight}</h2>
              <ul className="ticklist">
                {refit.atRideHeight.map((joint) => (
                  <li key={joint.step}>
                    {joint.name}: <b className="num">{joint.torque}</b>
                  </li>
                ))}
              </ul>
            </>
          ) : null}
          {refit.afterwards.length > 0 ? (
            <>
              <h2>{w.afterwards}</h2>
              <SaidList of={refit.afterwards} />
            </>
          ) : null}
        </section>
        <section className="sheet pad">
          {refit.alignment.length > 0 ? (
            <>
              <h2>{w.alignment}</h2>
              <ul className="plain">
                {refit.alignment.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
            </>
          ) : null}
          <h2>{w.beforeDriving}</h2>
          <SaidList of={refit.beforeDriving} />
          {refit.notes.map((note) => (
            <p className="small quiet" key={note}>
              {note}
            </p>
          ))}
        </section>
      </div>
    </>
  );
}
