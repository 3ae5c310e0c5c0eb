import { useMemo, useState } from 'react';
import type { StoredPhoto } from '../../../shared/api.ts';
import type { Component } from '../../../shared/index.ts';
import { isUnsure } from '../../../shared/photo.ts';
import { usePhotos } from '../data/queries.ts';
import { useWaiting } from '../data/use-outbox.ts';
import { useScored } from '../data/use-score.ts';
import { AddPhotos } from '../parts/add-photos.tsx';
import { AssignPanel } from '../parts/assign-panel.tsx';
import { Frame } from '../parts/frame.tsx';
import { Empty, Waiting } from '../parts/notices.tsx';
import { PhotoEditor } from '../parts/photo-editor.tsx';
import { PhotoTile } from '../parts/photo-tile.tsx';
import { words } from '../words.ts';

const w = words.photos;
type Filter = keyof typeof w.filters;

/** The wall: outlined photos worst first, then those without an outline worst first, then the declined. */
export function PhotosPage({ id }: { id: string }) {
  const { assessment, rubric } = useScored(id);
  const query = usePhotos(id);
  const waiting = useWaiting().filter(
    (item) => item.assessment === id && item.what.kind === 'photo' && item.refused === undefined,
  );
  const toSend = waiting.length;
  // The most that waited since nothing did is what there is to send in all.
  const [most, setMost] = useState(0);
  if (toSend > most || (toSend === 0 && most > 0)) setMost(toSend);
  const [filter, setFilter] = useState<Filter>('all');
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const [open, setOpen] = useState<string | null>(null);
  const photos = useMemo(() => (query.data ?? []).filter((photo) => photo.removedAt === null), [query.data]);
  const components = useMemo(() => new Map((assessment?.components ?? []).map((c) => [c.id, c])), [assessment]);
  const shown = photos.filter((photo) => FILTERS[filter](photo));
  const isMeasured = (photo: StoredPhoto) => photo.measurement?.rustAreaPercent != null && photo.measurement.fit.ok;
  const measured = shown.filter((photo) => photo.outline !== null && isMeasured(photo)).sort(worstFirst);
  const declined = shown.filter(FILTERS.declined);
  const bare = shown
    .filter((photo) => !(photo.outline !== null && isMeasured(photo)) && !FILTERS.declined(photo))
    .sort(worstFirst);
  const toggle = (photo: string) => {
    const next = new Set(chosen);
    if (!next.delete(photo)) next.add(photo);
    setChosen(next);
  };
  const opened = photos.find((photo) => photo.id === open);
  const openedPart = opened?.component ? components.get(opened.component) : undefined;
  const kind = rubric?.kinds.find((entry) => entry.id === openedPart?.kind);
  const sections = [
    { title: w.measured, note: w.measuredNote, of: measured },
    { title: w.noOutline, note: w.noOutlineNote, of: bare },
    { title: w.declined, note: '', of: declined },
  ].filter((section) => section.of.length > 0);
  return (
    <Frame title={w.title} assessment={id} section="photos" className="pg-photos">
      <div className="title ttl2">
        <div>
          <h1>{w.title}</h1>
          <p className="quiet small">{photos.length > 0 ? w.taken(photos.length) : assessment?.name}</p>
        </div>
        <div className="upl">
          {toSend > 0 ? (
            <label className="small">
              <b>{w.sending(most - toSend, most)}</b>
              <progress max={most} value={most - toSend} />
            </label>
          ) : null}
        </div>
        <span className="pbtn wide">
          <AddPhotos assessment={id} label={w.add} isMain />
        </span>
      </div>
      {query.isPending ? (
        <Waiting what={words.state.loading} />
      ) : photos.length === 0 ? (
        toSend === 0 && <Empty {...w.empty} />
      ) : (
        <>
          <div className="chips pchips">
            {(Object.keys(w.filters) as Filter[]).map((key) => (
              <button
                key={key}
                type="button"
                className="btn"
                aria-pressed={filter === key}
                onClick={() => setFilter(key)}
              >
                {w.filters[key]} {photos.filter(FILTERS[key]).length}
              </button>
            ))}
          </div>
          <div className="pwall">
            <div>
              {opened ? (
                <section className="sheet opened" aria-label={opened.name}>
                  <PhotoEditor
                    key={opened.id}
                    assessment={id}
                    photo={opened}
                    name={openedPart?.name ?? w.unnamed}
                    checks={(kind?.checks ?? []).filter((check) => check.photo === true)}
                  />
                  <button type="button" className="btn glove" onClick={() => setOpen(null)}>
                    {words.close}
                  </button>
                </section>
              ) : null}
              {sections.map((section) => (
                <section key={section.title} className="sheet wallsec" aria-label={section.title}>
                  <div className="head">
                    <h2>{section.title}</h2>
                    <span className="note only-desk">{section.note}</span>
                  </div>
                  <ul className="wall">
                    {section.of.map((photo) => (
                      <PhotoTile
                        key={photo.id}
                        assessment={id}
                        photo={photo}
                        component={photo.component ? components.get(photo.component) : undefined}
                        isChosen={chosen.has(photo.id)}
                        onChoose={() => toggle(photo.id)}
                        onOpen={() => {
                          setOpen(photo.id);
                          scrollTo({ top: 0 });
                        }}
                      />
                    ))}
                  </ul>
                </section>
              ))}
            </div>
            <AssignPanel
              assessment={id}
              components={[...components.values()] as Component[]}
              photos={photos}
              chosen={photos.filter((photo) => chosen.has(photo.id))}
              onDone={() => setChosen(new Set())}
            />
          </div>
        </>
      )}
    </Frame>
  );
}

/** An outlined photo by its low end, which is what counts; a whole frame by its value, as it only says where to look. */
function worstFirst(one: StoredPhoto, other: StoredPhoto): number {
  const [a, b] = [one.measurement?.rustAreaPercent, other.measurement?.rustAreaPercent];
  if (!a || !b) return Number(!a) - Number(!b);
  return one.outline && other.outline ? b.low - a.low || b.value - a.value : b.value - a.value;
}

const FILTERS: Record<Filter, (photo: StoredPhoto) => boolean> = {
  all: () => true,
  declined: (photo) => photo.measurement?.fit.ok === false,
  outline: (photo) => photo.outline === null && photo.measurement?.fit.ok !== false,
  assigned: (photo) => photo.component === null,
  uncertain: (photo) => {
    const area = photo.measurement?.rustAreaPercent;
    return area != null && isUnsure(area);
  },
};
