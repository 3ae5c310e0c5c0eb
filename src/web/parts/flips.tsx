import { type Flip, WANTED_FINISHES, type WantedFinish } from '../../../shared/index.ts';
import { optionFor } from '../data/rows.ts';
import { hundredths, money } from '../format.ts';
import type { PartProps } from '../pages/component.tsx';
import { words } from '../words.ts';
import { vars } from './range.tsx';

const w = words.component;

/** What would flip the verdict: each as a price line with a hard edge, and where one stands now. */
export function Flips({ out, assessment, rubric }: PartProps) {
  const { flips } = out.verdict;
  const { currency } = assessment!;
  const now: Record<string, number | undefined> = {
    price: optionFor(out, 'replace')?.money.usual,
    'own time': assessment!.rates.own ?? rubric!.prices.ownRate.value,
    'labour rate': assessment!.rates.shop?.[1] ?? rubric!.prices.shopRate.value[1],
    'chance of failing': optionFor(out, 'refinish')?.failChance,
  };
  return (
    <section className="sheet pad o5">
      <div className="head">
        <h2>{w.flips}</h2>
      </div>
      {flips.length === 0 ? <p className="quiet">{w.flipNone}</p> : null}
      {flips.map((flip) =>
        typeof flip.at === 'number' ? (
          <FlipLine
            key={`${flip.what} ${flip.to} ${flip.at}`}
            flip={flip}
            at={flip.at}
            now={now[flip.what]}
            currency={currency}
          />
        ) : (
          <p key={`${flip.what} ${flip.at}`} className="flip single">
            {w.flipFinish(words.Action[flip.to], finishWord(flip.at))}
          </p>
        ),
      )}
    </section>
  );
}

function finishWord(finish: string): string {
  return WANTED_FINISHES.includes(finish as WantedFinish) ? words.finish[finish as WantedFinish].toLowerCase() : finish;
}

const FILL = { reuse: 'r', refinish: 'f', replace: 'x' } as const;

interface FlipLineProps {
  flip: Flip;
  at: number;
  now: number | undefined;
  currency: string;
}

function FlipLine({ flip, at, now, currency }: FlipLineProps) {
  const isChance = flip.what === 'chance of failing';
  const say = (value: number) =>
    isChance
      ? w.ofHundred(hundredths(value))
      : flip.what === 'price'
        ? money(value, currency)
        : words.bench.anHour(money(value, currency));
  const isAbove = now === undefined || at > now;
  const end = isChance ? 1 : Math.max(at, now ?? 0) * 1.35 || 1;
  const place = (100 * at) / end;
  const here = now === undefined ? null : (100 * now) / end;
  // Left of the edge stands what wins there.
  const [left, right] = isAbove ? [flip.from, flip.to] : [flip.to, flip.from];
  const isClose = here !== null && Math.abs(here - place) < 22;
  return (
    <div className="flip">
      <p>
        {w.flipSay(words.Action[flip.to], w.flipWhat[flip.what] ?? flip.what, isAbove)} <b>{say(at)}</b>.
        {now === undefined ? null : (
          <>
            <br />
            <span className="small quiet">{w.now(say(now))}</span>
          </>
        )}
      </p>
      <div className="fl" aria-hidden="true">
        <span className={`seg2 ${FILL[left]}`} style={vars({ left: 0, width: `${place}%` })} />
        <span className={`seg2 ${FILL[right]}`} style={vars({ left: `${place}%`, right: 0 })} />
        <span className="at" style={vars({ left: `${place}%` })} />
        <em style={within(place)}>{say(at)}</em>
        {here === null ? null : (
          <>
            <span className="now" style={vars({ left: `${here}%` })} />
            {isClose ? null : (
              <em className="n" style={within(here)}>
                {w.now(say(now!))}
              </em>
            )}
          </>
        )}
      </div>
    </div>
  );
}

/** Words at a place of the line, shifted by the same share of their own width: they never reach beyond its ends. */
function within(place: number) {
  return vars({ left: `${place}%`, transform: `translateX(-${place}%)` });
}
