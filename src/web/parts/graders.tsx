import { useEffect } from 'react';
import { Link } from 'wouter';
import { type Component, STAGES } from '../../../shared/index.ts';
import { anchorOf, type GradedTwice, gradedTwice } from '../data/graders.ts';
import { newId } from '../data/outbox.ts';
import { answerText, keyOf, questionsOfComponent } from '../data/questions.ts';
import { queueChange } from '../data/queue-change.ts';
import { day, figure } from '../format.ts';
import type { PartProps } from '../pages/component.tsx';
import { words } from '../words.ts';
import { vars } from './range.tsx';

const w = words.graders;

/** Checks that two people answered: who, when, how far apart, and what is made of it. Nothing when nobody did. */
export function Graders({ assessment, rubric, kind, record }: PartProps & { record: Component }) {
  const all = gradedTwice(questionsOfComponent(record, kind), assessment!.units);
  useEffect(() => bringUp(location.hash.slice(1)), []);
  if (all.length === 0) return null;
  const differ = all.filter((twice) => twice.apart > 0 && !twice.isPast).length;
  const none = {
    'not-seen': words.round.notSeen,
    'not-possible': words.round.notPossible,
    'not-applicable': words.round.notApplicable,
  };
  return (
    <section className="sheet pad o6">
      <div className="head">
        <h2>{w.title}</h2>
        <span className="note">{w.count(all.length, differ)}</span>
      </div>
      <ul className="twice">
        {all.map((twice) => (
          <li key={anchorOf(twice)} id={anchorOf(twice)} tabIndex={-1}>
            <p>
              <b>{twice.question.check.ask}</b>{' '}
              <span className="small quiet">
                {words.stageLong[twice.stage]}. {w.apart(apartWords(twice))}
              </span>
            </p>
            <Scale twice={twice} />
            <ul className="who">
              {twice.graded.map(({ observation }, n) => (
                <li key={observation.id ?? `${observation.grader} ${observation.date}`}>
                  <span>
                    <i className={n === 0 ? 'A' : 'B'} aria-hidden="true" /> <b>{observation.grader ?? w.unnamed}</b>,{' '}
                    {day(observation.date)}: {answerText(observation, twice.question.check, rubric!, none)}
                  </span>
                  {observation.id !== undefined && twice.apart > 0 ? (
                    <button
                      type="button"
                      className="linkish"
                      aria-label={w.takeBackWhose(observation.grader ?? w.unnamed, twice.question.check.ask)}
                      onClick={() =>
                        queueChange(assessment!.id, {
                          id: newId(),
                          type: 'withdraw-observation',
                          component: record.id,
                          observation: observation.id!,
                        })
                      }
                    >
                      {w.takeBack}
                    </button>
                  ) : null}
                </li>
              ))}
            </ul>
            <p className="small quiet">{treatment(twice)}</p>
            {twice.apart > 0 && !twice.isPast ? (
              <Link
                className="btn"
                href={`/a/${assessment!.id}/round?check=${encodeURIComponent(keyOf(twice.question))}`}
                aria-label={w.againTo(twice.question.check.ask)}
              >
                {w.again}
              </Link>
            ) : null}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Brings up the check that the address names. Photos above it come in later: it is held in view until a person moves. */
function bringUp(id: string): (() => void) | undefined {
  const asked = document.getElementById(id);
  if (!asked) return undefined;
  asked.focus({ preventScroll: true });
  const held = new ResizeObserver(() => asked.scrollIntoView({ block: 'center' }));
  held.observe(document.body);
  const moved = new AbortController();
  const leave = () => {
    held.disconnect();
    moved.abort();
  };
  for (const type of ['wheel', 'pointerdown', 'keydown']) addEventListener(type, leave, { signal: moved.signal });
  return leave;
}

/** Both answers on the scale, the span between them hatched. Choices have no scale. */
export function Scale({ twice: { question, graded, apart } }: { twice: GradedTwice }) {
  const { answer } = question.check;
  if (answer.type === 'choice') return null;
  const [from, to] = answer.type === 'grade' ? [0, 5] : answer.range;
  const left = (at: number) => `${(100 * (at - from)) / (to - from || 1)}%`;
  const [low, high] = [graded[0]!, graded.at(-1)!];
  return (
    <span
      className="pl"
      role="img"
      aria-label={w.spoken(
        graded.map(({ observation, at }) => `${observation.grader ?? w.unnamed} ${figure(at)}`),
        figure(from),
        figure(to),
      )}
    >
      <span className="ln" />
      {answer.type === 'grade' ? [0, 1, 2, 3, 4, 5].map((at) => <s key={at} style={vars({ left: left(at) })} />) : null}
      {apart > 0 ? (
        <span className="bt" style={vars({ left: left(low.at), width: `${(100 * apart) / (to - from || 1)}%` })} />
      ) : null}
      <span className="A" style={vars({ left: left(low.at) })} />
      <span className="B" style={vars({ left: left(high.at) })} />
    </span>
  );
}

export function apartWords({ question, apart }: GradedTwice): string {
  const { answer } = question.check;
  if (apart === 0) return w.agree;
  if (answer.type === 'grade') return w.gradesApart(apart);
  return answer.type === 'choice' ? w.differ : w.unitsApart(figure(apart), answer.unit);
}

/** What the score makes of it, in words. */
function treatment({ question, stage, graded, apart, isPast }: GradedTwice): string {
  if (isPast) return w.past;
  if (apart === 0) return w.asOne;
  const isFinal = STAGES.indexOf(stage) >= STAGES.indexOf(question.check.finalStage);
  const between =
    question.check.answer.type === 'choice'
      ? w.betweenChoices
      : w.between(figure(graded[0]!.at), figure(graded.at(-1)!.at));
  return `${between} ${w.share(graded.length)}${isFinal ? '' : ` ${w.notFinal(words.stageLong[question.check.finalStage])}`} ${w.settle}`;
}
