import { useMemo, useState } from 'react';
import { photoAddress } from '../data/client.ts';
import { usePhotos } from '../data/queries.ts';
import { useWaiting } from '../data/use-outbox.ts';
import type { PartProps } from '../pages/component.tsx';
import { words } from '../words.ts';
import { AddPhotos } from './add-photos.tsx';
import { PhotoEditor } from './photo-editor.tsx';

const w = words.component;

/** Photos of this part; the chosen one large, with its outline, mask and tools. */
export function ComponentPhotos({ out, kind, assessment }: PartProps) {
  const id = assessment!.id;
  const photos = usePhotos(id);
  const own = useMemo(
    () => (photos.data ?? []).filter((photo) => photo.component === out.id && photo.removedAt === null),
    [photos.data, out.id],
  );
  const waiting = useWaiting().filter((item) => item.what.kind === 'photo' && item.what.component === out.id).length;
  const [chosen, setChosen] = useState<string | null>(null);
  const shown = own.find((photo) => photo.id === chosen) ?? own[0];
  const checks = kind.checks.filter((check) => check.photo === true);
  return (
    <section className="sheet o2 photosheet" aria-label={w.photosTitle}>
      {shown ? (
        <PhotoEditor key={shown.id} assessment={id} photo={shown} checks={checks} name={out.name} />
      ) : (
        <div className="pad">
          <h2>{w.photosTitle}</h2>
          <p className="quiet">{w.noPhotos}</p>
        </div>
      )}
      {own.length > 1 ? (
        <ul className="thumbs">
          {own.map((photo) => (
            <li key={photo.id}>
              <button
                type="button"
                aria-pressed={photo === shown}
                aria-label={words.photos.open(`${out.name}, ${photo.name}`)}
                onClick={() => setChosen(photo.id)}
              >
                <img src={photoAddress(id, photo.id, 160)} alt="" loading="lazy" />
              </button>
            </li>
          ))}
        </ul>
      ) : null}
      <div className="pad thin">
        <AddPhotos assessment={id} component={out.id} stage={out.stage} check={checks[0]?.id} label={w.addPhoto} />
        {waiting > 0 ? <span className="badge wait">{words.state.waiting(waiting)}</span> : null}
      </div>
    </section>
  );
}
