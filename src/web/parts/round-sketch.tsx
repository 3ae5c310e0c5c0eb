import type { ReactNode } from 'react';
import type { Question } from '../data/questions.ts';
import { words } from '../words.ts';

const w = words.round;

interface RoundSketchProps {
  question: Question;
  /** Name of the part's area. */
  area: string | null;
  children?: ReactNode;
}

/** Where on the car, and which zone of the part: every zone by its number, the one asked about ringed. */
export function RoundSketch({ question, area, children }: RoundSketchProps) {
  const { component, kind, check } = question;
  const place = `${component.position ?? ''} ${component.area ?? ''}`.toLowerCase();
  const zone = kind.zones.find((entry) => entry.id === check.zone);
  return (
    <div className="sketch zones">
      <CarSketch place={place} />
      <span className="sk-pos">{area ?? component.position ?? ''}</span>
      <ol className="zonelist" aria-label={w.zones}>
        {kind.zones.map((entry, i) => (
          <li
            key={entry.id}
            className={entry === zone ? 'here' : ''}
            aria-current={entry === zone ? 'true' : undefined}
          >
            <span className="zn">{i + 1}</span>
            <span>
              {entry.name}
              {entry === zone && entry.where ? <span className="small quiet">{entry.where}</span> : null}
            </span>
          </li>
        ))}
      </ol>
      {children}
    </div>
  );
}

/** A car from above, nose up, with the corner or the part of the body that is meant in blue. */
function CarSketch({ place }: { place: string }) {
  const isFront = /front|fore/.test(place);
  const isRear = /rear|back/.test(place);
  const isLeft = /left|near/.test(place);
  const isRight = /right|off/.test(place);
  const isUnder = /under|sill|floor/.test(place);
  const wheels = [
    { x: 0, y: 14, on: isFront && !isRight },
    { x: 44, y: 14, on: isFront && !isLeft },
    { x: 0, y: 58, on: isRear && !isRight },
    { x: 44, y: 58, on: isRear && !isLeft },
  ];
  return (
    <svg className="sk-car" viewBox="-6 -4 56 96" aria-hidden="true">
      <path d="M8 0h28l6 16v56l-5 16H7L2 72V16z" fill="none" stroke="var(--ink-2)" strokeWidth="2" />
      <path d="M7 26h30M8 62h28" stroke="var(--ink-2)" strokeWidth="1.5" />
      {isUnder ? <path d={underPath(isLeft, isRight)} stroke="var(--blue)" strokeWidth="7" /> : null}
      {wheels.map((wheel) => (
        <path
          key={`${wheel.x} ${wheel.y}`}
          d={`M${wheel.x} ${wheel.y}v16`}
          stroke={wheel.on && !isUnder ? 'var(--blue)' : 'var(--ink-2)'}
          strokeWidth={wheel.on && !isUnder ? 9 : 5}
        />
      ))}
    </svg>
  );
}

function underPath(isLeft: boolean, isRight: boolean): string {
  if (isLeft && !isRight) return 'M5 32v24';
  if (isRight && !isLeft) return 'M39 32v24';
  return 'M5 32v24M39 32v24M22 32v24';
}
