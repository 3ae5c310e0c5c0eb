import { type FormEvent, useEffect, useState } from 'react';
import { useLocation } from 'wouter';
import { call, sayTrouble } from '../data/client.ts';
import { queries } from '../data/queries.ts';
import { grader, setGrader } from '../data/settings.ts';
import { Field, type Wrong, WrongNote } from '../parts/field.tsx';
import { Frame } from '../parts/frame.tsx';
import { words } from '../words.ts';

const w = words.share;

/** Spends a pairing code. The code comes behind `#`, which no browser sends, and leaves the address bar at once. */
export function PairPage() {
  const [, go] = useLocation();
  const [token, setToken] = useState(() => decodeURIComponent(location.hash.slice(1)));
  const [name, setName] = useState(grader);
  const [wrong, setWrong] = useState<{ name?: Wrong; all?: Wrong }>({});
  const [isBusy, setBusy] = useState(false);
  useEffect(() => {
    if (location.hash) history.replaceState(history.state, '', location.pathname);
  }, []);
  const pair = async (event: FormEvent) => {
    event.preventDefault();
    if (name.trim() === '') return setWrong({ name: { title: w.pairName } });
    setBusy(true);
    try {
      await call('pair', { json: { token: token.trim(), name: name.trim() } });
      setGrader(name.trim());
      await queries.invalidateQueries();
      go('/');
    } catch (error) {
      setWrong({ all: { title: sayTrouble(error) } });
    } finally {
      setBusy(false);
    }
  };
  return (
    <Frame title={w.pairTitle}>
      <form className="sheet pad newform pairform" onSubmit={pair} noValidate>
        <h1>{w.pairTitle}</h1>
        <Field
          label={w.pairCode}
          value={token}
          autoComplete="off"
          autoCapitalize="characters"
          onChange={(event) => setToken(event.target.value)}
        />
        <Field
          label={w.pairName}
          note={w.pairNameHint}
          value={name}
          wrong={wrong.name}
          onChange={(event) => setName(event.target.value)}
        />
        {wrong.all ? <WrongNote wrong={wrong.all} /> : null}
        <button type="submit" className="btn glove main" disabled={isBusy}>
          {isBusy ? w.pairing : w.pairDo}
        </button>
      </form>
    </Frame>
  );
}
