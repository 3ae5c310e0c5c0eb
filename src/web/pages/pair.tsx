import { type FormEvent, useState } from 'react';
import { useLocation } from 'wouter';
import { call, sayTrouble } from '../data/client.ts';
import { pairingCode } from '../data/pairing-code.ts';
import { queries } from '../data/queries.ts';
import { grader, setGrader } from '../data/settings.ts';
import { Field, type Wrong, WrongNote } from '../parts/field.tsx';
import { Frame } from '../parts/frame.tsx';
import { words } from '../words.ts';

const w = words.share;

/** Spends a pairing code. */
export function PairPage() {
  const [, go] = useLocation();
  const [token, setToken] = useState(pairingCode);
  const [name, setName] = useState(grader);
  const [wrong, setWrong] = useState<{ name?: Wrong; all?: Wrong }>({});
  const [isBusy, setBusy] = useState(false);
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
