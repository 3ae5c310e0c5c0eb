import { useRef, useState } from 'react';
import type { StoredPhoto } from '../../../shared/api.ts';
import type { Component } from '../../../shared/index.ts';
import { newId } from '../data/outbox.ts';
import { outbox } from '../data/use-outbox.ts';
import { words } from '../words.ts';
import { Field } from './field.tsx';

const w = words.photos;

interface AssignPanelProps {
  assessment: string;
  components: readonly Component[];
  photos: readonly StoredPhoto[];
  chosen: readonly StoredPhoto[];
  onDone: () => void;
}

/** Names the part of the chosen photos: beside the wall on the desk, a bar above the tabs on the phone. */
export function AssignPanel({ assessment, components, photos, chosen, onDone }: AssignPanelProps) {
  const [search, setSearch] = useState('');
  const [picked, setPicked] = useState<string | null>(null);
  const panel = useRef<HTMLElement>(null);
  if (chosen.length === 0) return <aside className="sheet assign idle small quiet">{w.never}</aside>;
  const found = components
    .filter((c) =>
      search
        .toLowerCase()
        .split(/\s+/)
        .every((word) => `${c.name} ${c.position ?? ''}`.toLowerCase().includes(word)),
    )
    .slice(0, 6);
  const part = components.find((c) => c.id === picked);
  const assign = () => {
    if (!part) return;
    for (const photo of chosen) {
      const id = newId();
      void outbox.put({
        id,
        assessment,
        at: Date.now(),
        held: false,
        what: {
          kind: 'change',
          change: { id, type: 'assign-photo', photo: photo.id, component: part.id, stage: photo.stage ?? part.stage },
        },
      });
    }
    setPicked(null);
    setSearch('');
    onDone();
  };
  return (
    <>
      <aside ref={panel} className="sheet assign" aria-label={w.which}>
        <div className="head">
          <h2>{w.chosen(chosen.length)}</h2>
          <span className="note">
            <button type="button" className="linkish" onClick={onDone}>
              {w.letGo}
            </button>
          </span>
        </div>
        <Field
          label={w.which}
          placeholder={w.whichHint}
          value={search}
          onChange={(event) => setSearch(event.target.value)}
        />
        <ul className="sug">
          {found.map((c) => (
            <li key={c.id}>
              <button
                type="button"
                className={c.id === picked ? 'on' : ''}
                aria-pressed={c.id === picked}
                onClick={() => setPicked(c.id)}
              >
                <span style={{ gridColumn: '1 / -1' }}>
                  <b>{c.name}</b>
                  <span className="small quiet">
                    {[
                      c.position,
                      words.stage[c.stage],
                      w.count(photos.filter((photo) => photo.component === c.id).length),
                    ]
                      .filter(Boolean)
                      .join(' · ')}
                  </span>
                </span>
              </button>
            </li>
          ))}
        </ul>
        <button type="button" className="btn glove main" disabled={!part} onClick={assign}>
          {part ? w.assignTo(chosen.length, part.name.toLowerCase()) : w.which}
        </button>
        <p className="small quiet">{w.never}</p>
      </aside>
      <div className="pbar">
        <b className="small">{w.chosen(chosen.length)}</b>
        <button type="button" className="btn" onClick={onDone}>
          {w.letGo}
        </button>
        <button
          type="button"
          className="btn main"
          onClick={() => {
            panel.current?.scrollIntoView();
            panel.current?.querySelector('input')?.focus({ preventScroll: true });
          }}
        >
          {w.which}
        </button>
      </div>
    </>
  );
}
