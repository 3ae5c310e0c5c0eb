import { useEffect, useRef, useState } from 'react';
import { Link, useSearch } from 'wouter';
import type { Check } from '../../../shared/index.ts';
import { keyOf, type Question, questionsOfComponent } from '../data/questions.ts';
import { type Hand, hand, keysAreOn, minutesThere, setHand, setKeysOn, setMinutesThere } from '../data/settings.ts';
import { outbox, useConnection, useWaiting } from '../data/use-outbox.ts';
import { useRound } from '../data/use-round.ts';
import { useScored } from '../data/use-score.ts';
import { duration, money } from '../format.ts';
import { AnswerKeys, NoneKeys } from '../parts/answer-keys.tsx';
import { AreaAnswer } from '../parts/area-answer.tsx';
import { Frame, useTitle } from '../parts/frame.tsx';
import { Icon, Pin } from '../parts/mark.tsx';
import { Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { PhotoButton } from '../parts/photo-button.tsx';
import { RoundSketch } from '../parts/round-sketch.tsx';
import { SplitKeys } from '../parts/split-keys.tsx';
import { words } from '../words.ts';

const w = words.round;

/** Round the car: one check a screen. */
export function RoundPage({ id }: { id: string }) {
  const [minutes, setMinutes] = useState(minutesThere);
  const scored = useScored(id, minutes);
  const first = new URLSearchParams(useSearch()).get('check');
  const { assessment, rubric } = scored;
  // The first question is chosen by its worth, so the verdicts are waited for, but not for long.
  const isLate = useLate(assessment !== null && rubric !== null, 1500);
  if (assessment && rubric && (scored.score || isLate)) {
    const bound = {
      minutes,
      set: (to: number | null) => {
        setMinutesThere(to);
        setMinutes(to);
      },
    };
    return <Round {...scored} assessment={assessment} rubric={rubric} first={first} bound={bound} />;
  }
  return (
    <Frame title={words.nav.round} assessment={id} section="round">
      <h1 className="vh">{words.nav.round}</h1>
      {scored.trouble && !assessment ? (
        <Trouble {...scored.trouble} onRetry={scored.retry} />
      ) : (
        <Waiting what={words.state.loading} />
      )}
    </Frame>
  );
}

function useLate(isOn: boolean, ms: number): boolean {
  const [isLate, setLate] = useState(false);
  useEffect(() => {
    if (!isOn) return;
    const timer = setTimeout(() => setLate(true), ms);
    return () => clearTimeout(timer);
  }, [isOn, ms]);
  return isLate;
}

interface Bound {
  minutes: number | null;
  set: (minutes: number | null) => void;
}

type RoundProps = Parameters<typeof useRound>[0] & { first: string | null; bound: Bound };

function Round(props: RoundProps) {
  const { assessment, rubric, score } = props;
  const round = useRound(props, props.first);
  const [which, setWhich] = useState<Hand>(hand);
  const [isMatching, setMatching] = useState(false);
  const [isArea, setArea] = useState(false);
  const [keysOn, setKeys] = useState(keysAreOn);
  const [isSplit, setSplit] = useState(false);
  const [photoSaid, setPhotoSaid] = useState('');
  const { question, given } = round;
  const turnKeysOff = () => {
    setKeysOn(false);
    setKeys(false);
  };
  const title = useRef<HTMLHeadingElement>(null);
  const key = question ? keyOf(question) : null;
  useTitle(`${words.nav.round}, ${assessment.name}`);
  // Each check is a screen of its own: the reading starts at its question.
  const shown = useRef(key);
  useEffect(() => {
    if (shown.current === key) return;
    shown.current = key;
    setSplit(false);
    setPhotoSaid('');
    title.current?.focus();
  }, [key]);
  useEffect(() => () => void outbox.release(), []);
  useNumberKeys(keysOn && !isArea, question, round.give, round.next, round.previous);

  if (!question) return <Done id={assessment.id} />;
  const { component, check, kind } = question;
  const look = score?.components.find((c) => c.id === component.id)?.looks.find((entry) => entry.check === check.id);
  const canMatch = check.answer.type === 'grade' && check.photo === true;
  const area = component.area ? (assessment.areas.find((entry) => entry.id === component.area) ?? null) : null;
  const openInArea = area ? round.questions.filter((q) => q.answer === null && q.component.area === area.id) : [];
  return (
    <div className={`rtc bare${which === 'left' ? ' left' : ''}${isMatching && canMatch ? ' match' : ''}`}>
      <main className="phone" id="main">
        <div className="oxide rtop">
          <div className="bar">
            <Link href={`/a/${assessment.id}`} aria-label={w.backToBench}>
              <Icon name="i-back" />
            </Link>
            <span>
              <b>{component.position ? `${component.name}, ${component.position}` : component.name}</b>
              <MinutesThere bound={props.bound} count={round.count} left={round.minutes} score={score} />
            </span>
            <RoundState />
            <button
              type="button"
              className="hnd"
              aria-label={which === 'left' ? w.right : w.left}
              onClick={() => {
                const other = which === 'left' ? 'right' : 'left';
                setHand(other);
                setWhich(other);
              }}
            >
              <Icon name={which === 'left' ? 'i-righty' : 'i-lefty'} />
            </button>
          </div>
          <SoFar question={question} isGiven={given !== null} />
        </div>
        <RoundSketch question={question} area={area?.name ?? null}>
          {canMatch ? (
            <button
              type="button"
              className="btn matchb"
              aria-pressed={isMatching}
              onClick={() => setMatching(!isMatching)}
            >
              <Icon name="i-match" />
              {isMatching ? w.matchDone : w.match}
            </button>
          ) : null}
        </RoundSketch>
        <div className="work">
          <div className="ask">
            <h1 ref={title} tabIndex={-1}>
              {check.ask}
            </h1>
            <p>
              {check.how}{' '}
              <span className="num">
                {duration(check.minutes)}
                {check.compulsory ? (
                  <>
                    , <Pin withWord />
                  </>
                ) : look && look.value >= 1 ? (
                  `, ${w.worth(money(look.value, assessment.currency))}`
                ) : (
                  ''
                )}
                .
              </span>
            </p>
            <Earlier question={question} />
          </div>
          {isSplit ? (
            <SplitKeys key={key} question={question} rubric={rubric} given={given} onGive={round.give} />
          ) : (
            <AnswerKeys key={key} check={check} rubric={rubric} given={given} onGive={round.give} />
          )}
          <NoneKeys given={given} onGive={round.give} />
          {(component.count ?? 1) > 1 && check.answer.type !== 'measure' ? (
            <button
              type="button"
              className="btn glove splitb"
              aria-pressed={isSplit}
              onClick={() => setSplit(!isSplit)}
            >
              {isSplit ? w.alike : w.each}
            </button>
          ) : null}
          {keysOn ? <KeyHelp check={check} onOff={turnKeysOff} hasPrevious={round.previous !== null} /> : null}
          <p className="photosay small" role="status">
            {photoSaid}
          </p>
          <div className="foot">
            <button
              type="button"
              className="btn glove two-l prevb"
              disabled={!round.previous}
              aria-label={w.previous}
              onClick={round.previous ?? undefined}
            >
              <Icon name="i-undo" />
              <span>{w.before}</span>
            </button>
            <PhotoButton
              assessment={assessment.id}
              component={component}
              onSaid={setPhotoSaid}
              {...(check.photo ? { check: check.id } : {})}
            />
            <button type="button" className="btn glove two-l" disabled={!area} onClick={() => setArea(true)}>
              <Icon name="i-area" />
              <span>{w.area}</span>
            </button>
            <button type="button" className="btn glove main" onClick={round.next}>
              {w.next} <Icon name="i-more" />
            </button>
          </div>
        </div>
        <aside className="upnext">
          <h2>{w.best}</h2>
          <ol>
            {round.upNext.map((next) => (
              <li key={keyOf(next)}>
                <button type="button" className="linkish" onClick={() => round.skip(next)}>
                  <b>{next.check.ask}</b>
                  <span className="small quiet">
                    {next.component.name}, {words.method[next.check.method]}, {duration(next.check.minutes)}
                  </span>
                </button>
              </li>
            ))}
          </ol>
          <p className="small quiet">{w.areaNote(openInArea.length)}</p>
        </aside>
      </main>
      {isArea && area ? (
        <AreaAnswer
          area={area}
          open={openInArea}
          onAnswer={(none, name) => {
            setArea(false);
            void round.answerArea(none, name, openInArea);
          }}
          onClose={() => setArea(false)}
        />
      ) : null}
      <span className="vh" role="status">
        {kind.name}
      </span>
    </div>
  );
}

const BOUNDS = [10, 20, 30, 60, 120];

/** How far one is, and how many minutes there are: the best looks that fit them come first. */
function MinutesThere({ bound, count, left, score }: MinutesThereProps) {
  const guarding = bound.minutes === null ? 0 : (score?.looksLeft.filter((look) => look.compulsory).length ?? 0);
  return (
    <span className="small budget">
      <span>
        {w.count(count.at, count.all)}
        {guarding > 0 ? `, ${w.minutesNote(guarding)}` : ''}
      </span>
      <select
        aria-label={w.minutesThere}
        value={bound.minutes ?? ''}
        onChange={(event) => bound.set(event.target.value === '' ? null : Number(event.target.value))}
      >
        <option value="">{w.noBound(duration(left))}</option>
        {BOUNDS.map((minutes) => (
          <option key={minutes} value={minutes}>
            {w.bound(duration(minutes))}
          </option>
        ))}
      </select>
    </span>
  );
}

interface MinutesThereProps {
  bound: Bound;
  count: { at: number; all: number };
  /** Minutes that all open checks take. */
  left: number;
  score: RoundProps['score'];
}

function RoundState() {
  const waiting = useWaiting().filter((item) => !item.held).length;
  const { isOnline } = useConnection();
  return (
    <span role="status">
      {waiting > 0 || !isOnline ? (
        <span className="badge wait" title={words.state.noNetLong}>
          <Icon name={isOnline ? 'i-waiting' : 'i-nonet'} />
          {waiting > 0 ? words.state.waiting(waiting) : words.state.noNet}
        </span>
      ) : null}
    </span>
  );
}

/** The checks of this part: answered, answered with none, here, still open. */
function SoFar({ question, isGiven }: { question: Question; isGiven: boolean }) {
  const all = questionsOfComponent(question.component, question.kind);
  const at = all.findIndex((entry) => entry.check.id === question.check.id);
  return (
    <div className="sofar" role="img" aria-label={w.countSpoken(at + 1, all.length)}>
      {all.map((entry, i) => (
        <i
          key={entry.check.id}
          className={i === at ? (isGiven ? 'h y' : 'h') : entry.answer ? (entry.answer.none ? 'n' : 'y') : 'o'}
        />
      ))}
    </div>
  );
}

function Earlier({ question }: { question: Question }) {
  const before = question.history.filter((observation) => observation !== question.answer && !observation.none);
  const last = before.at(-1);
  if (!last || last.value === undefined) return null;
  const stage = last.stage ? words.stage[last.stage] : '';
  return <p className="small quiet">{w.earlier(`${last.value}, ${stage}`)}</p>;
}

interface KeyHelpProps {
  check: Check;
  onOff: () => void;
  hasPrevious: boolean;
}

function KeyHelp({ check: { answer }, onOff, hasPrevious }: KeyHelpProps) {
  return (
    <div className="kb small quiet">
      <p>
        {w.keys}{' '}
        {answer.type === 'measure' ? (
          w.keyFigure
        ) : (
          <>
            <kbd>{answer.type === 'grade' ? 0 : 1}</kbd> {w.keyTo}{' '}
            <kbd>{answer.type === 'grade' ? 5 : answer.options.length}</kbd>
          </>
        )}
        , <kbd>N</kbd> {w.keyNotSeen}, <kbd>P</kbd> {w.keyNotPossible}, <kbd>A</kbd> {w.keyNa}, <kbd>Enter</kbd>{' '}
        {w.keyNext}
        {hasPrevious ? (
          <>
            , <kbd>B</kbd> {w.keyBack}
          </>
        ) : null}
      </p>
      <button type="button" className="btn glove" onClick={onOff}>
        {w.keysOff}
      </button>
    </div>
  );
}

/** Figures and letters answer, Enter goes on. Not while something is being typed. */
function useNumberKeys(
  isOn: boolean,
  question: Question | null,
  give: ReturnType<typeof useRound>['give'],
  next: () => void,
  previous: (() => void) | null,
): void {
  useEffect(() => {
    if (!isOn || !question) return;
    const { answer } = question.check;
    const onKey = (event: KeyboardEvent) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const isField = event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement;
      if (event.key === 'Enter') {
        // On a button or link Enter does what that says.
        if (event.target instanceof HTMLButtonElement || event.target instanceof HTMLAnchorElement) return;
        next();
      } else if (isField) {
        return;
      } else if (/^[0-9]$/.test(event.key)) {
        const figure = Number(event.key);
        if (answer.type === 'measure') {
          // The figure is typed where it belongs.
          document.querySelector<HTMLInputElement>('.measure input')?.focus();
          return;
        }
        if (answer.type === 'grade' && figure <= 5) give({ value: figure });
        else if (answer.type === 'choice' && answer.options[figure - 1])
          give({ value: answer.options[figure - 1]!.id });
        else return;
      } else if (event.key === 'n' || event.key === 'N') give({ none: 'not-seen' });
      else if (event.key === 'p' || event.key === 'P') give({ none: 'not-possible' });
      else if (event.key === 'a' || event.key === 'A') give({ none: 'not-applicable' });
      else if ((event.key === 'b' || event.key === 'B') && previous) previous();
      else return;
      event.preventDefault();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [isOn, question, give, next, previous]);
}

function Done({ id }: { id: string }) {
  return (
    <Frame title={words.nav.round} assessment={id} section="round">
      <h1 className="vh">{w.done.title}</h1>
      <Empty title={w.done.title} text={w.done.text}>
        <Link className="btn glove main" href={`/a/${id}`}>
          {w.done.button}
        </Link>
      </Empty>
    </Frame>
  );
}
