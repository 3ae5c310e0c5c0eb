import { useId, useMemo } from 'react';
import type { Assessment, ScoreOut } from '../../../shared/index.ts';
import { newId } from '../data/outbox.ts';
import { queueChange } from '../data/queue-change.ts';
import { optionFor } from '../data/rows.ts';
import type { WhatIf as WhatIfState } from '../data/use-what-if.ts';
import { bare, money } from '../format.ts';
import { words } from '../words.ts';
import { FINISH_CHOICES } from './choices.ts';
import { Segments } from './field.tsx';
import { vars } from './range.tsx';

const w = words.bench;

interface WhatIfProps {
  whatIf: WhatIfState;
  assessment: Assessment;
  score: ScoreOut;
  version: number;
  isOpen: boolean;
}

/** Sliders above the bench. They change nothing that is kept. */
export function WhatIf({ whatIf, assessment, score, version, isOpen }: WhatIfProps) {
  const { sliders, start, set } = whatIf;
  const { currency } = assessment;
  const keep = () => {
    const [low, usual, high] = assessment.rates.shop ?? [sliders.shop, sliders.shop, sliders.shop];
    const scale = usual > 0 ? sliders.shop / usual : 1;
    const shop: [number, number, number] = [low * scale, sliders.shop, high * scale];
    queueChange(assessment.id, {
      id: newId(),
      type: 'set-assessment',
      seen: version,
      set: {
        wantedFinish: sliders.finish,
        rates: { ...assessment.rates, own: sliders.own, ...(sliders.shop === start.shop ? {} : { shop }) },
      },
    });
    whatIf.putBack();
  };
  const isMoved = Object.keys(start).some((key) => sliders[key as 'own'] !== start[key as 'own']);
  return (
    <section
      className={`sheet whatif${isOpen ? ' open' : ''}`}
      aria-label={w.whatIf}
      aria-busy={whatIf.isUpdating}
      data-added={whatIf.shown.rows.own}
      data-weighed={whatIf.shown.odds.own}
    >
      <h2>{w.whatIf}</h2>
      <Knob
        label={w.shop}
        value={sliders.shop}
        start={start.shop}
        max={Math.max(100, Math.ceil(start.shop / 50) * 100)}
        say={(value) => w.anHour(money(value, currency))}
        onSlide={(shop) => set({ shop })}
      />
      <Knob
        label={w.own}
        value={sliders.own}
        start={start.own}
        max={Math.max(40, Math.ceil(start.own / 20) * 40)}
        say={(value) => w.anHour(money(value, currency))}
        onSlide={(own) => set({ own })}
      />
      <PriceKnob whatIf={whatIf} score={score} currency={currency} />
      <Segments
        label={words.assessments.finish}
        value={sliders.finish}
        options={FINISH_CHOICES}
        onPick={(finish) => set({ finish })}
      />
      <span className="small quiet" role="status">
        {isMoved ? (whatIf.movedCount > 0 ? w.moved(whatIf.movedCount) : w.notMoved) : ''}
        {isMoved ? (
          <>
            <br />
            <button type="button" className="linkish" onClick={whatIf.putBack}>
              {w.putBack}
            </button>{' '}
            <button type="button" className="linkish" onClick={keep}>
              {w.keep}
            </button>
          </>
        ) : null}
      </span>
    </section>
  );
}

interface KnobProps {
  label: string;
  value: number;
  start: number;
  max: number;
  say: (value: number) => string;
  onSlide: (value: number) => void;
}

function Knob({ label, value, start, max, say, onSlide }: KnobProps) {
  const id = useId();
  return (
    <div className="knob">
      <label htmlFor={id}>{label}</label>
      <output htmlFor={id}>
        {say(value)} {value === start ? null : <span className="was">{w.was(bare(start))}</span>}
      </output>
      <input
        id={id}
        type="range"
        min={0}
        max={max}
        step={max > 200 ? 5 : 1}
        value={value}
        aria-valuetext={say(value)}
        style={vars({ '--p': `${(100 * value) / max}%` })}
        onChange={(event) => onSlide(Number(event.target.value))}
      />
    </div>
  );
}

/** The price of one part: chosen from those that can be bought. */
function PriceKnob({ whatIf, score, currency }: { whatIf: WhatIfState; score: ScoreOut; currency: string }) {
  const { sliders, set } = whatIf;
  const id = useId();
  const parts = useMemo(() => partsToBuy(score), [score]);
  const choices = useMemo(
    () =>
      parts.map((part) => (
        <option key={part.id} value={part.id}>
          {part.name}
        </option>
      )),
    [parts],
  );
  const chosen = parts.find((part) => part.id === sliders.price?.component);
  const value = sliders.price?.value ?? 0;
  const max = chosen ? Math.max(10, Math.ceil((chosen.usual * 3) / 10) * 10) : 100;
  return (
    <div className="knob">
      <label className="vh" htmlFor={`${id}s`}>
        {w.choosePart}
      </label>
      <select
        id={`${id}s`}
        className="slim"
        value={chosen?.id ?? ''}
        onChange={(event) => {
          const part = parts.find((other) => other.id === event.target.value);
          set({ price: part ? { component: part.id, value: Math.round(part.usual) } : null });
        }}
      >
        <option value="">
          {w.price} {w.aPart}
        </option>
        {choices}
      </select>
      <output htmlFor={id}>
        {chosen ? (
          <>
            {money(value, currency)}{' '}
            {Math.round(chosen.usual) === value ? null : <span className="was">{w.was(bare(chosen.usual))}</span>}
          </>
        ) : null}
      </output>
      <input
        id={id}
        type="range"
        min={0}
        max={max}
        value={value}
        disabled={!chosen}
        aria-label={chosen ? `${w.price} ${chosen.name}` : `${w.price} ${w.aPart}: ${w.priceNone}`}
        aria-valuetext={money(value, currency)}
        style={vars({ '--p': `${(100 * value) / max}%` })}
        onChange={(event) => chosen && set({ price: { component: chosen.id, value: Number(event.target.value) } })}
      />
    </div>
  );
}

/** Parts that can be bought, with what the cheapest of them comes to. */
function partsToBuy(score: ScoreOut): { id: string; name: string; usual: number }[] {
  return score.components.flatMap((component) => {
    const option = optionFor(component, 'replace');
    if (!option) return [];
    const name = component.position ? `${component.name}, ${component.position}` : component.name;
    return [{ id: component.id, name, usual: option.money.usual }];
  });
}
