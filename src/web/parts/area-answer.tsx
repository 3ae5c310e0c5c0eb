import { useEffect, useRef, useState } from 'react';
import type { NoValue, Question } from '../data/questions.ts';
import { words } from '../words.ts';
import { Field } from './field.tsx';
import { Icon } from './mark.tsx';

const w = words.round;

interface AreaAnswerProps {
  area: { id: string; name: string };
  open: readonly Question[];
  onAnswer: (none: NoValue, name: string) => void;
  onClose: () => void;
}

/** One answer for a whole area. */
export function AreaAnswer({ area, open, onAnswer, onClose }: AreaAnswerProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [why, setWhy] = useState('');
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} className="sheet over" aria-labelledby="area-title" onClose={onClose}>
      <h2 id="area-title">{w.areaTitle(area.name)}</h2>
      <p>{w.areaText(open.length)}</p>
      <Field label={w.areaWhy} note={w.areaWhyHint} value={why} onChange={(event) => setWhy(event.target.value)} />
      <div className="keys uns">
        {(
          [
            ['not-seen', 'st-notseen', w.notSeen],
            ['not-possible', 'st-notpossible', w.notPossible],
            ['not-applicable', 'st-na', w.notApplicable],
          ] as const
        ).map(([none, icon, text]) => (
          <button
            key={none}
            type="button"
            className="key un"
            disabled={open.length === 0}
            onClick={() => onAnswer(none, why.trim())}
          >
            <Icon name={icon} />
            {text}
          </button>
        ))}
      </div>
      <button type="button" className="btn glove" onClick={onClose}>
        {words.leaveIt}
      </button>
    </dialog>
  );
}
