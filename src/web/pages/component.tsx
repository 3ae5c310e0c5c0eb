import { useState } from 'react';
import { Link } from 'wouter';
import { type ComponentOut, type Kind, STAGES, type Stage } from '../../../shared/index.ts';
import { newId } from '../data/outbox.ts';
import { queueChange } from '../data/queue-change.ts';
import { optionFor, rowOf, spreadOf } from '../data/rows.ts';
import { type Scored, useScored } from '../data/use-score.ts';
import { wantedIndexOfKind } from '../data/wanted-index.ts';
import { hours, hundredths, money, sentence } from '../format.ts';
import { RemovePart } from '../parts/add-part.tsx';
import { Chain } from '../parts/chain.tsx';
import { ChecksByStage } from '../parts/checks-by-stage.tsx';
import { ComponentPhotos } from '../parts/component-photos.tsx';
import { Flips } from '../parts/flips.tsx';
import { Fork } from '../parts/fork.tsx';
import { Frame } from '../parts/frame.tsx';
import { Graders } from '../parts/graders.tsx';
import { Mark, Pin } from '../parts/mark.tsx';
import { CautionLine, Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { Options } from '../parts/options.tsx';
import { OverrideForm } from '../parts/override-form.tsx';
import { Rule, Strip } from '../parts/range.tsx';
import { RouteLine } from '../parts/route-line.tsx';
import { words } from '../words.ts';

const w = words.component;

/** One component: the verdict, how it came to it, what else could be done, and every answer. */
export function ComponentPage({ id, component }: { id: string; component: string }) {
  const scored = useScored(id);
  const rank = scored.score?.components.findIndex((c) => c.id === component) ?? -1;
  const out = scored.score?.components[rank];
  const record = scored.assessment?.components.find((c) => c.id === component);
  const kind = scored.rubric?.kinds.find((k) => k.id === record?.kind);
  return (
    <Frame title={record?.name ?? w.check} assessment={id} section="bench">
      {out && record && kind && scored.assessment && scored.rubric ? (
        <Whole {...scored} out={out} kind={kind} rank={rank + 1} />
      ) : scored.trouble ? (
        <Trouble {...scored.trouble} onRetry={scored.retry} />
      ) : scored.score && !record ? (
        <Empty {...words.notFound} />
      ) : scored.score && record && !out ? (
        <AlwaysNewPart name={record.name} id={id} />
      ) : (
        <Waiting what={words.state.loading} />
      )}
    </Frame>
  );
}

function AlwaysNewPart({ name, id }: { name: string; id: string }) {
  return (
    <>
      <div className="title ttl2">
        <div>
          <h1>{name}</h1>
          <p className="quiet small">{w.indexNone}</p>
        </div>
      </div>
      <section className="sheet pad">
        <Link className="btn glove" href={`/a/${id}`}>
          {words.round.done.button}
        </Link>
      </section>
    </>
  );
}

export interface PartProps extends Scored {
  out: ComponentOut;
  kind: Kind;
}

function Whole(props: PartProps & { rank: number }) {
  const { out, kind, rank, score, rubric } = props;
  const assessment = props.assessment!;
  const [isOverriding, setOverriding] = useState(false);
  const record = assessment.components.find((c) => c.id === out.id)!;
  const { verdict } = out;
  const put = (change: Parameters<typeof queueChange>[1]) => queueChange(assessment.id, change);
  return (
    <>
      <div className="crumb">
        <Link href={`/a/${assessment.id}`}>{w.crumb(rank, score!.components.length)}</Link>
        {verdict.override ? (
          <button
            type="button"
            className="linkish"
            onClick={() => put({ id: newId(), type: 'lift-override', component: out.id })}
          >
            {w.takeBack}
          </button>
        ) : (
          <button
            type="button"
            className="linkish"
            aria-expanded={isOverriding}
            onClick={() => setOverriding(!isOverriding)}
          >
            {w.override}
          </button>
        )}
      </div>
      <Head out={out} kind={kind} currency={assessment.currency} />
      {isOverriding && !verdict.override ? (
        <OverrideForm
          out={out}
          onClose={() => setOverriding(false)}
          onRecord={(override) => {
            put({ id: newId(), type: 'override', component: out.id, override });
            setOverriding(false);
          }}
        />
      ) : null}
      {verdict.firmness === 'open' && verdict.ifClear && !verdict.override ? (
        <Fork out={out} currency={assessment.currency} />
      ) : null}
      <div className="two">
        <div className="stack">
          <Chain {...props} />
          <RouteLine out={out} rubric={rubric!} currency={assessment.currency} />
          <Options {...props} />
          <Flips {...props} />
        </div>
        <div className="stack">
          {out.cautions.length > 0 || out.safetyCritical ? (
            <div className="stack8 o0">
              {out.cautions.map((caution) => (
                <CautionLine key={caution.id} text={caution.text} />
              ))}
            </div>
          ) : null}
          <ComponentPhotos {...props} />
          <IndexSheet {...props} />
          <Graders {...props} record={record} />
          <ChecksByStage {...props} record={record} />
          <section className="sheet pad o6">
            <h2>{w.stageNow}</h2>
            <div className="field">
              <label htmlFor="stage">{w.stageSet}</label>
              <select
                id="stage"
                value={record.stage}
                onChange={(event) =>
                  put({
                    id: newId(),
                    type: 'set-component',
                    component: out.id,
                    seen: props.version,
                    set: { stage: event.target.value as Stage },
                  })
                }
              >
                {STAGES.map((stage) => (
                  <option key={stage} value={stage}>
                    {words.stageLong[stage]}
                  </option>
                ))}
              </select>
            </div>
          </section>
          <Documents out={out} />
          <RemovePart assessment={assessment.id} component={out.id} />
        </div>
      </div>
    </>
  );
}

function Head({ out, kind, currency }: { out: ComponentOut; kind: Kind; currency: string }) {
  const { verdict } = out;
  const row = rowOf(out);
  const where = (
    <p className="small quiet">
      {[out.position, kind.name, words.stageLong[out.stage]].filter(Boolean).join(' · ')}
      {out.safetyCritical ? (
        <>
          {' · '}
          <Pin withWord />
        </>
      ) : null}
    </p>
  );
  if (verdict.override) {
    const worked = optionFor(out, verdict.action);
    return (
      <div className="verdict ovr">
        <span className="mine">
          <Mark action={verdict.override.action} firmness="settled" />
        </span>
        <div>
          {where}
          <h1>{out.name}</h1>
          <p className="say">
            <b>{w.by(words.Action[verdict.override.action], verdict.override.by)}</b>{' '}
            {row.cost
              ? `${words.setAside} ${money(row.cost.aside, currency)}, ${words.likely} ${money(row.cost.likely, currency)}.`
              : ''}
          </p>
          <p className="small">
            “{verdict.override.reason}” <span className="quiet">{verdict.override.date}</span>
          </p>
        </div>
        <div className="theirs">
          <Mark action={verdict.action} firmness={verdict.firmness} />
          <p className="small">
            <b>{w.workedOut(words.action[verdict.action], words.firmness[verdict.firmness])}</b>
            <br />
            {worked ? (
              <span className="quiet num">
                {words.setAside} {money(spreadOf(worked.money).aside, currency)}, {words.likely}{' '}
                {money(worked.money.usual, currency)}
              </span>
            ) : null}
            {verdict.override.overKnockOut ? <span className="strong"> {w.overKnockOut}</span> : null}
          </p>
        </div>
      </div>
    );
  }
  return (
    <div className="verdict">
      <Mark action={row.action} firmness={row.firmness} />
      <div>
        {where}
        <h1>{out.name}</h1>
      </div>
      <Say out={out} currency={currency} />
    </div>
  );
}

function Say({ out, currency }: { out: ComponentOut; currency: string }) {
  const { verdict } = out;
  const option = optionFor(out, verdict.action);
  const cost = option ? spreadOf(option.money) : null;
  const action = words.Action[verdict.action];
  const firmness = words.firmness[verdict.firmness];
  return (
    <p className="say full">
      <b>{verdict.holdPoint ? w.sayHeld(action, firmness, verdict.holdPoint) : `${w.say(action, firmness)}.`}</b>{' '}
      {option && cost ? (
        <>
          {w.sayCost(option.name)} <b>{money(cost.aside, currency)}</b>
          {option.hours.usual > 0
            ? w.likelyHours(money(cost.likely, currency), hours(option.hours.usual))
            : `, ${words.likely} ${money(cost.likely, currency)}.`}{' '}
        </>
      ) : (
        `${w.noOption} `
      )}
      {verdict.firmness === 'settled' ? null : w.cheapest(hundredths(verdict.odds[verdict.action]))}
      {verdict.hedge ? ` ${w.hedge}` : ''}
      {verdict.spare ? ` ${words.bench.spare}` : ''}
    </p>
  );
}

function IndexSheet({ out, kind, assessment }: PartProps) {
  const want = wantedIndexOfKind(kind, assessment!.wantedFinish);
  const isBarred = out.knockOuts.some((knockOut) => knockOut.state === 'fired');
  const { index, yearsLeft } = out;
  return (
    <section className="sheet pad o3">
      <div className="head">
        <h2>{w.index}</h2>
        <span className="note num">
          {index && !isBarred ? `${Math.round(index.low)} – ${Math.round(index.high)}` : words.bench.barred}
        </span>
      </div>
      {index ? (
        <div className="indexbox">
          <Strip
            big
            low={index.low}
            high={index.high}
            likely={[index.likelyLow, index.likelyHigh]}
            want={want}
            barred={isBarred}
          />
          <Rule minor={20} ticks={[0, 25, 50, 75, 100].map((at) => ({ at, label: String(at) }))} />
        </div>
      ) : null}
      <p className="small quiet">
        {!index ? w.indexNone : isBarred ? w.indexBarred : w.indexNote}{' '}
        {index && !isBarred && (index.likelyLow > index.low || index.likelyHigh < index.high)
          ? w.indexLikely(Math.round(index.likelyLow), Math.round(index.likelyHigh))
          : ''}{' '}
        {want !== null && !isBarred && index ? `${words.finish[assessment!.wantedFinish]}: ${Math.round(want)}.` : ''}
      </p>
      {yearsLeft ? (
        <p className="small">
          <b>{w.yearsLeft(hours(yearsLeft.low), hours(yearsLeft.high))}</b>{' '}
          <span className="quiet">
            {sentence(yearsLeft.because)} {w.yearsCaution}
          </span>
        </p>
      ) : null}
    </section>
  );
}

/** Roadworthiness documents and positions that are not to be trusted, where there are any. */
function Documents({ out }: { out: ComponentOut }) {
  if (out.roadworthiness.length === 0 && out.distrusted.length === 0) return null;
  return (
    <section className="sheet pad o6">
      {out.roadworthiness.length > 0 ? (
        <>
          <h2>{w.roadworthiness}</h2>
          <ul className="wk">
            {out.roadworthiness.map((note) => (
              <li key={`${note.book} ${note.clause} ${note.text}`}>
                <span>
                  <b>
                    {note.book.toUpperCase()} {note.clause}: {note.finding}
                  </b>{' '}
                  <span className="quiet">{note.text}</span>
                </span>
                <span className="small quiet">{note.source}</span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {out.distrusted.length > 0 ? (
        <>
          <h2>{w.distrusted}</h2>
          <ul className="wk">
            {out.distrusted.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </>
      ) : null}
    </section>
  );
}
