import type { Action, Firmness } from '../../../shared/index.ts';
import { words } from '../words.ts';

/** A verdict as a bolt head seen from above. With `quiet` it says nothing: the word stands beside it. */
export function Mark({ action, firmness, quiet = false }: { action: Action; firmness: Firmness; quiet?: boolean }) {
  const label = `${words.action[action]}, ${words.firmness[firmness]}`;
  const drawing = <use href={`#${action}-${firmness}`} />;
  return quiet ? (
    <svg className="mk" aria-hidden="true">
      {drawing}
    </svg>
  ) : (
    <svg className="mk" role="img" aria-label={label}>
      {drawing}
    </svg>
  );
}

/** A refused option: its mark with a bar across. */
export function BarredMark({ action }: { action: Action }) {
  return (
    <span className="bm" role="img" aria-label={`${words.action[action]}, ${words.bench.barred}`}>
      <svg className="mk" aria-hidden="true">
        <use href={`#${action}-settled`} />
      </svg>
      <svg className="mk" aria-hidden="true">
        <use href="#barred" />
      </svg>
    </span>
  );
}

/** An icon of the sprite, always beside a word or in a control that has a name. */
export function Icon({ name }: { name: string }) {
  return (
    <svg className="ic" aria-hidden="true">
      <use href={`#${name}`} />
    </svg>
  );
}

/** The split pin: guards life. */
export function Pin({ withWord = false }: { withWord?: boolean }) {
  return (
    <>
      <span className="pinned" title={words.guardsLife}>
        <Icon name="i-pin" />
        {withWord ? null : <span className="vh">{words.guardsLife}</span>}
      </span>
      {withWord ? ` ${words.guardsLife}` : null}
    </>
  );
}
