import type { ReactNode } from 'react';
import { words } from '../words.ts';
import { Icon } from './mark.tsx';

/** Something is missing: what, what it costs not to have it, one button. */
export function Empty({ title, text, children }: { title: string; text: string; children?: ReactNode }) {
  return (
    <section className="empty bigempty">
      <h2>{title}</h2>
      <p className="quiet">{text}</p>
      {children}
    </section>
  );
}

/** A one-line caution, once, before what it concerns. */
export function CautionLine({ title, text }: { title?: string; text: string }) {
  return (
    <div className="caution">
      <span>
        <Icon name="i-caution" />
      </span>
      <p>
        {title ? <b>{title} </b> : null}
        {text}
      </p>
    </div>
  );
}

/** Waiting that may last: says what for, and does not turn or blink. */
export function Waiting({ what }: { what: string }) {
  return (
    <p className="waitline quiet" role="status">
      <Icon name="i-clock" /> {what}
    </p>
  );
}

/** Something failed. Keeps the way on. */
export function Trouble({ title, text, onRetry }: { title: string; text: string; onRetry?: () => void }) {
  return (
    <section className="wrong trouble" role="alert">
      <b>{title}</b>
      <span>{text}</span>
      {onRetry ? (
        <button type="button" className="btn" onClick={onRetry}>
          {words.retry}
        </button>
      ) : null}
    </section>
  );
}
