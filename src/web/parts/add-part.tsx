import { type FormEvent, useState } from 'react';
import { useLocation } from 'wouter';
import type { Assessment, Rubric } from '../../../shared/index.ts';
import { newId } from '../data/outbox.ts';
import { queueChange } from '../data/queue-change.ts';
import { words } from '../words.ts';
import { Field, Select, type Wrong } from './field.tsx';

const w = words.addPart;

/** A part that the assembly did not have. */
export function AddPart({ assessment, rubric }: { assessment: Assessment; rubric: Rubric }) {
  const [isOpen, setOpen] = useState(false);
  const [kind, setKind] = useState(rubric.kinds[0]?.id ?? '');
  const [name, setName] = useState('');
  const [position, setPosition] = useState('');
  const [area, setArea] = useState(assessment.areas[0]?.id ?? '');
  const [count, setCount] = useState('1');
  const [wrong, setWrong] = useState<Wrong | null>(null);
  const [, go] = useLocation();
  if (!isOpen) {
    return (
      <button type="button" className="btn" onClick={() => setOpen(true)}>
        {w.open}
      </button>
    );
  }
  const add = (event: FormEvent) => {
    event.preventDefault();
    const pieces = Number(count);
    if (!Number.isInteger(pieces) || pieces < 1 || pieces > 500) {
      return setWrong({ title: words.round.notNumber(count, '4') });
    }
    const shown = name.trim() || (rubric.kinds.find((entry) => entry.id === kind)?.name ?? kind);
    const id = freeId(assessment, `${shown} ${position}`);
    queueChange(assessment.id, {
      id: newId(),
      type: 'add-component',
      component: {
        id,
        name: shown,
        kind,
        stage: 'fitted',
        ...(position.trim() ? { position: position.trim() } : {}),
        ...(area ? { area } : {}),
        ...(pieces > 1 ? { count: pieces } : {}),
      },
    });
    setOpen(false);
    go(`/a/${assessment.id}/c/${id}`);
  };
  return (
    <form className="newform" onSubmit={add} noValidate>
      <h3>{w.title}</h3>
      <div className="fields">
        <Select
          label={w.kind}
          value={kind}
          options={[...rubric.kinds].sort((a, b) => a.name.localeCompare(b.name)).map((k) => [k.id, k.name] as const)}
          onPick={setKind}
        />
        <Field label={w.name} value={name} onChange={(event) => setName(event.target.value)} />
        <Field
          label={w.position}
          note={w.positionHint}
          value={position}
          onChange={(event) => setPosition(event.target.value)}
        />
        <Select
          label={w.area}
          value={area}
          options={[['', w.noArea] as const, ...assessment.areas.map((entry) => [entry.id, entry.name] as const)]}
          onPick={setArea}
        />
        <Field
          label={w.count}
          inputMode="numeric"
          value={count}
          wrong={wrong}
          onChange={(event) => setCount(event.target.value)}
        />
      </div>
      <div className="btnrow">
        <button type="submit" className="btn glove main">
          {w.add}
        </button>
        <button type="button" className="btn glove" onClick={() => setOpen(false)}>
          {words.leaveIt}
        </button>
      </div>
    </form>
  );
}

function freeId(assessment: Assessment, text: string): string {
  const base =
    text
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'part';
  const taken = new Set(assessment.components.map((component) => component.id));
  let id = base;
  for (let n = 2; taken.has(id); n++) id = `${base}-${n}`;
  return id;
}

/** Takes a part away, in two steps; undo brings it back. */
export function RemovePart({ assessment, component }: { assessment: string; component: string }) {
  const [isSure, setSure] = useState(false);
  const [, go] = useLocation();
  if (!isSure) {
    return (
      <p className="o6 removeline">
        <button type="button" className="linkish" onClick={() => setSure(true)}>
          {w.remove}
        </button>
      </p>
    );
  }
  return (
    <div className="sure o6">
      <span className="small">{w.removeText}</span>
      <button type="button" className="btn" onClick={() => setSure(false)}>
        {words.leaveIt}
      </button>
      <button
        type="button"
        className="btn"
        onClick={() => {
          queueChange(assessment, { id: newId(), type: 'remove-component', component });
          go(`/a/${assessment}`);
        }}
      >
        {w.remove}
      </button>
    </div>
  );
}
