import { type FormEvent, useState } from 'react';
import { call, sayTrouble } from '../data/client.ts';
import { queries } from '../data/queries.ts';
import { setGrader } from '../data/settings.ts';
import { words } from '../words.ts';
import { Field, type Wrong } from './field.tsx';

const w = words.share;

/** What this device is called: the name that stands beside its answers. */
export function DeviceName({ name }: { name: string }) {
  const [text, setText] = useState(name);
  const [wrong, setWrong] = useState<Wrong | null>(null);
  const [said, setSaid] = useState('');
  const rename = async (event: FormEvent) => {
    event.preventDefault();
    const wanted = text.trim();
    setSaid('');
    if (wanted === '' || wanted.length > 80) {
      setWrong({ title: w.nameWanted });
      return;
    }
    try {
      await call('rename', { json: { name: wanted } });
      setGrader(wanted);
      setWrong(null);
      setSaid(w.nameKept(wanted));
      await queries.invalidateQueries({ queryKey: ['me'] });
      await queries.invalidateQueries({ queryKey: ['devices'] });
    } catch (error) {
      setWrong({ title: sayTrouble(error) });
    }
  };
  return (
    <form className="sheet pad devname" onSubmit={rename} noValidate>
      <Field
        label={w.deviceName}
        note={w.deviceNameNote}
        value={text}
        wrong={wrong}
        maxLength={80}
        onChange={(event) => setText(event.target.value)}
      />
      <div className="btnrow">
        <button type="submit" className="btn">
          {w.rename}
        </button>
        <span className="small" role="status">
          {said}
        </span>
      </div>
    </form>
  );
}
