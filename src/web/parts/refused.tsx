import { outbox, useWaiting } from '../data/use-outbox.ts';
import { words } from '../words.ts';

const w = words.refused;

/** What the server would not take: shown until a person has read why. Nothing is dropped by itself. */
export function RefusedList() {
  const refused = useWaiting().filter((item) => item.refused !== undefined);
  if (refused.length === 0) return null;
  return (
    <section className="wrong refusedlist" aria-label={w.title}>
      <b>{w.title}</b>
      <ul>
        {refused.map((item) => (
          <li key={item.id}>
            <span>
              {item.what.kind === 'photo' ? item.what.name : w.what[item.what.change.type]}: {item.refused}
            </span>{' '}
            <button type="button" className="linkish" onClick={() => void outbox.again(item.id)}>
              {words.retry}
            </button>{' '}
            <button type="button" className="linkish" onClick={() => void outbox.drop(item.id)}>
              {w.drop}
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}
