import { type FormEvent, useState } from 'react';
import { ACTIONS, type Action, type ComponentOut, type Override } from '../../../shared/index.ts';
import { grader, setGrader } from '../data/settings.ts';
import { today } from '../format.ts';
import { words } from '../words.ts';
import { Field, type Wrong } from './field.tsx';
import { Mark } from './mark.tsx';
import { CautionLine } from './notices.tsx';

const w = words.component;

interface OverrideFormProps {
  out: ComponentOut;
  onRecord: (override: Override) => void;
  onClose: () => void;
}

/** A person decides otherwise: which, why, who. Nothing is recorded without a reason. */
export function OverrideForm({ out, onRecord, onClose }: OverrideFormProps) {
  const [action, setAction] = useState<Action>(out.verdict.action === 'replace' ? 'refinish' : 'replace');
  const [reason, setReason] = useState('');
  const [by, setBy] = useState(grader);
  const [wrong, setWrong] = useState<{ reason?: Wrong; by?: Wrong }>({});
  const barring = out.knockOuts.filter(
    (knockOut) =>
      knockOut.state !== 'clear' &&
      (action === 'reuse' || (action === 'refinish' && knockOut.bars === 'reuse-and-refinish')),
  );
  const record = (event: FormEvent) => {
    event.preventDefault();
    const found: typeof wrong = {};
    if (reason.trim().length < 3) found.reason = { title: w.whyWanted, text: w.whyWantedText };
    if (by.trim() === '') found.by = { title: w.nameWanted };
    setWrong(found);
    if (found.reason || found.by) return;
    setGrader(by.trim());
    onRecord({ action, reason: reason.trim(), by: by.trim(), date: today() });
  };
  return (
    <form className="sheet pad ovf" onSubmit={record} noValidate>
      <div className="head">
        <h2>{w.overrideTitle}</h2>
        <span className="note">{w.overrideNote}</span>
      </div>
      <fieldset className="three">
        <legend className="vh">{w.overrideTitle}</legend>
        {ACTIONS.map((entry) => (
          <button
            key={entry}
            type="button"
            className="btn glove"
            aria-pressed={entry === action}
            onClick={() => setAction(entry)}
          >
            <Mark action={entry} firmness="settled" quiet />
            {words.Action[entry]}
          </button>
        ))}
      </fieldset>
      <Field
        label={w.why}
        placeholder={w.whyHint}
        value={reason}
        wrong={wrong.reason}
        onChange={(event) => setReason(event.target.value)}
      />
      <Field
        label={w.name}
        value={by}
        wrong={wrong.by}
        autoComplete="name"
        onChange={(event) => setBy(event.target.value)}
      />
      {out.safetyCritical && barring.length > 0 ? (
        <CautionLine title={w.overKnockOut} text={w.overKnockOutText} />
      ) : null}
      <div className="btnrow">
        <button type="submit" className="btn glove main">
          {w.record}
        </button>
        <button type="button" className="btn glove" onClick={onClose}>
          {words.leaveIt}
        </button>
      </div>
    </form>
  );
}
