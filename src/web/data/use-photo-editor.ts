import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { StoredPhoto } from '../../../shared/api.ts';
import type { PhotoHint, PhotoRequest } from '../../../shared/photo.ts';
import type { Mask } from '../../imaging/image.ts';
import type { PhotoFinding } from '../../imaging/measurement.ts';
import { call, photoAddress, sayTrouble } from './client.ts';
import { newId } from './outbox.ts';
import type { Picture } from './picture.ts';
import { queries } from './queries.ts';

export type Point = [number, number];
export type Tool = 'outline' | 'rust' | 'not-rust' | 'scale';
export type Method = NonNullable<PhotoRequest['method']>;

/** What has been drawn on a photo and not yet kept. */
interface Drawing {
  outline: readonly Point[];
  hints: readonly PhotoHint[];
  scale: readonly Point[];
}

/** Outline, taps and scale of one photo, with the mask following what is drawn. */
export function usePhotoEditor(assessment: string, photo: StoredPhoto) {
  const { outline: keptOutline, hints: keptHints } = photo;
  const kept = useMemo(() => drawingOf({ outline: keptOutline, hints: keptHints }), [keptOutline, keptHints]);
  // What is drawn is held against what was last kept; a change from elsewhere is taken over while nobody draws.
  const [base, setBase] = useState(kept);
  const [drawing, setDrawing] = useState(kept);
  const [measuredBy, setMeasuredBy] = useState<Method>(photo.measurement?.method === 'colour' ? 'colour' : 'model');
  const [method, setMethod] = useState(measuredBy);
  const [past, setPast] = useState<readonly Drawing[]>([]);
  const [tool, setTool] = useState<Tool>('outline');
  const [lengthMm, setLengthMm] = useState<number | null>(null);
  const [picture, setPicture] = useState<Picture | null>(null);
  const [finding, setFinding] = useState<PhotoFinding | null>(null);
  const [said, setSaid] = useState('');
  const [isBusy, setBusy] = useState(false);
  const isTouched = drawing !== base;
  if (!isTouched && kept !== base) {
    setBase(kept);
    setDrawing(kept);
  }

  // The picture is only decoded once somebody draws: a wall of photos stays light.
  useEffect(() => {
    if (!isTouched || picture) return;
    let isLeft = false;
    void import('./picture.ts')
      .then(({ readPicture }) => readPicture(photoAddress(assessment, photo.id, 1024)))
      .then((read) => {
        if (!isLeft) setPicture({ ...read, original: { height: photo.height, width: photo.width } });
      })
      .catch((error: unknown) => setSaid(sayTrouble(error)));
    return () => {
      isLeft = true;
    };
  }, [isTouched, picture, assessment, photo.id, photo.height, photo.width]);

  const frame = useRef(0);
  useEffect(() => {
    if (!picture || !isTouched) return;
    cancelAnimationFrame(frame.current);
    frame.current = requestAnimationFrame(() => {
      void import('./picture.ts').then(({ quickMeasure }) => {
        setFinding(quickMeasure(picture, { outline: closed(drawing.outline), taps: drawing.hints }));
      });
    });
    return () => cancelAnimationFrame(frame.current);
  }, [picture, drawing, isTouched]);

  const change = useCallback(
    (next: Drawing) => {
      setPast((before) => [...before, drawing]);
      setDrawing(next);
    },
    [drawing],
  );

  const place = useCallback(
    ([x, y]: Point) => {
      const point: Point = [Math.round(x), Math.round(y)];
      if (tool === 'outline') change({ ...drawing, outline: [...drawing.outline, point] });
      else if (tool === 'scale') change({ ...drawing, scale: [...drawing.scale.slice(-1), point] });
      else change({ ...drawing, hints: [...drawing.hints, { x: point[0], y: point[1], is: tool }] });
    },
    [tool, drawing, change],
  );

  /** Moves the tap under the finger while it is held down. */
  const drag = useCallback(
    ([x, y]: Point) => {
      if (tool !== 'rust' && tool !== 'not-rust') return;
      setDrawing((now) => ({
        ...now,
        hints: [...now.hints.slice(0, -1), { x: Math.round(x), y: Math.round(y), is: tool }],
      }));
    },
    [tool],
  );

  const undo = useCallback(() => {
    const before = past.at(-1);
    if (!before) return;
    setPast(past.slice(0, -1));
    setDrawing(before);
  }, [past]);

  const clear = useCallback(() => change({ outline: [], hints: [], scale: [] }), [change]);

  const save = useCallback(async () => {
    setBusy(true);
    const outline = closed(drawing.outline);
    const [a, b] = drawing.scale;
    const drawn = a && b && lengthMm ? { lengthPx: Math.hypot(a[0] - b[0], a[1] - b[1]), lengthMm } : undefined;
    // A length drawn before holds until another one is drawn.
    const scale = drawn ?? photo.scale ?? undefined;
    try {
      const { photo: fresh } = await call('measurePhoto', {
        params: { id: assessment, photo: photo.id },
        json: {
          ...(outline ? { outline } : {}),
          ...(drawing.hints.length > 0 ? { hints: drawing.hints } : {}),
          ...(scale ? { scale } : {}),
          method,
          keep: newId(),
        },
      });
      queries.setQueryData<StoredPhoto[]>(['photos', assessment], (old) =>
        old?.map((other) => (other.id === fresh.id ? fresh : other)),
      );
      void queries.invalidateQueries({ queryKey: ['assessment', assessment] });
      const next = drawingOf(fresh);
      setBase(next);
      setDrawing(next);
      setMeasuredBy(method);
      setPast([]);
      setSaid('');
      return true;
    } catch (error) {
      setSaid(sayTrouble(error));
      return false;
    } finally {
      setBusy(false);
    }
  }, [assessment, photo.id, photo.scale, drawing, lengthMm, method]);

  return {
    drawing,
    tool,
    setTool,
    place,
    drag,
    undo: past.length > 0 ? undo : null,
    clear,
    save,
    lengthMm,
    setLengthMm,
    isTouched,
    isToKeep: isTouched || method !== measuredBy,
    method,
    setMethod,
    isBusy,
    finding: isTouched ? finding : null,
    mask: (isTouched ? finding?.rust : null) as Mask | null,
    said,
  };
}

function drawingOf({ outline, hints }: Pick<StoredPhoto, 'outline' | 'hints'>): Drawing {
  return { outline: outline ?? [], hints: hints ?? [], scale: [] };
}

/** An outline that encloses something. */
function closed(outline: readonly Point[]): Point[] | undefined {
  return outline.length >= 3 ? [...outline] : undefined;
}
