import { type KeyboardEvent, type PointerEvent, useId, useRef, useState } from 'react';
import type { StoredPhoto } from '../../../shared/api.ts';
import type { Check } from '../../../shared/index.ts';
import { photoAddress } from '../data/client.ts';
import { newId } from '../data/outbox.ts';
import { outbox } from '../data/use-outbox.ts';
import { type Point, type Tool, usePhotoEditor } from '../data/use-photo-editor.ts';
import { bare, figure, readFigure } from '../format.ts';
import { words } from '../words.ts';
import { Field } from './field.tsx';
import { Icon } from './mark.tsx';
import { PhotoMask } from './photo-mask.tsx';
import { PhotoMeasure } from './photo-measure.tsx';

const w = words.photos;

const TOOLS: readonly (readonly [Tool, string, string])[] = [
  ['outline', 'i-outline', w.tools.outline],
  ['rust', 'i-rust', w.tools.rust],
  ['not-rust', 'i-notrust', w.tools.notRust],
  ['scale', 'i-scale', w.tools.scale],
];

interface PhotoEditorProps {
  assessment: string;
  photo: StoredPhoto;
  checks: readonly Check[];
  name: string;
}

/** A photo with its outline, mask and taps. Everything is placed by single taps or by the keyboard; nothing needs dragging. */
export function PhotoEditor({ assessment, photo, checks, name }: PhotoEditorProps) {
  const editor = usePhotoEditor(assessment, photo);
  const { drawing, tool } = editor;
  const [cursor, setCursor] = useState<Point | null>(null);
  const pic = useRef<HTMLDivElement>(null);
  const isDown = useRef(false);
  const help = useId();
  const methodId = useId();
  const { width, height } = photo;
  const unit = Math.max(width, height) / 400;
  const fit = photo.measurement?.fit;
  const isDeclined = fit ? !fit.ok : false;

  const at = (event: PointerEvent): Point => {
    const box = pic.current!.getBoundingClientRect();
    const clamp = (value: number, most: number) => Math.min(most - 1, Math.max(0, value));
    return [
      clamp(((event.clientX - box.left) / box.width) * width, width),
      clamp(((event.clientY - box.top) / box.height) * height, height),
    ];
  };
  const onKey = (event: KeyboardEvent) => {
    const step = (event.shiftKey ? 20 : 4) * unit;
    const [x, y] = cursor ?? [width / 2, height / 2];
    const moves: Record<string, Point> = {
      ArrowLeft: [x - step, y],
      ArrowRight: [x + step, y],
      ArrowUp: [x, y - step],
      ArrowDown: [x, y + step],
    };
    const moved = moves[event.key];
    if (moved) setCursor([Math.min(width - 1, Math.max(0, moved[0])), Math.min(height - 1, Math.max(0, moved[1]))]);
    else if (event.key === 'Enter' || event.key === ' ') editor.place([x, y]);
    else if (event.key === 'Backspace' && editor.undo) editor.undo();
    else return;
    event.preventDefault();
  };
  const points = drawing.outline.map((corner) => corner.join(',')).join(' ');
  return (
    <>
      <div
        ref={pic}
        className={`pic${isDeclined ? ' decl' : ''}`}
        // Never letterboxed: what is drawn lies over the very pixels it is meant for.
        style={{ width: `min(100%, calc(70vh * ${width / height}))` }}
        role="application"
        aria-label={`${w.toolsLabel}: ${name}`}
        aria-describedby={help}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture is drawn on with the keyboard too.
        tabIndex={0}
        onKeyDown={onKey}
        onPointerDown={(event) => {
          isDown.current = true;
          editor.place(at(event));
        }}
        onPointerMove={(event) => {
          if (isDown.current) editor.drag(at(event));
        }}
        onPointerUp={() => {
          isDown.current = false;
        }}
        onPointerLeave={() => {
          isDown.current = false;
        }}
      >
        <img
          src={photoAddress(assessment, photo.id, 1024)}
          alt={`${name}, ${photo.name}`}
          width={width}
          height={height}
          draggable={false}
        />
        <PhotoMask assessment={assessment} photo={photo} mask={editor.mask} isTouched={editor.isTouched} />
        <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          {drawing.outline.length > 0 ? (
            <>
              <polygon className="ol-case" points={points} strokeWidth={unit * 3.4} />
              <polygon
                className="ol-line"
                points={points}
                strokeWidth={unit * 1.6}
                strokeDasharray={`${unit * 6} ${unit * 4}`}
              />
              {drawing.outline.map(([x, y]) => (
                <rect
                  key={`${x} ${y}`}
                  className="ol-handle"
                  x={x - 3.5 * unit}
                  y={y - 3.5 * unit}
                  width={7 * unit}
                  height={7 * unit}
                  strokeWidth={unit}
                />
              ))}
            </>
          ) : null}
          {drawing.hints.map((hint) => (
            <path
              key={`${hint.x} ${hint.y} ${hint.is}`}
              className={`hint ${hint.is}`}
              strokeWidth={unit * 1.6}
              d={`M${hint.x} ${hint.y - 8 * unit}l${8 * unit} ${8 * unit}l${-8 * unit} ${8 * unit}l${-8 * unit} ${-8 * unit}z`}
            />
          ))}
          {drawing.scale.length === 2 ? (
            <line
              className="scale-line"
              x1={drawing.scale[0]![0]}
              y1={drawing.scale[0]![1]}
              x2={drawing.scale[1]![0]}
              y2={drawing.scale[1]![1]}
              strokeWidth={unit * 2}
            />
          ) : null}
          {drawing.scale.map(([x, y]) => (
            <circle key={`${x} ${y}`} className="scale-end" cx={x} cy={y} r={unit * 4} strokeWidth={unit * 1.5} />
          ))}
          {cursor ? (
            <path
              className="cross"
              strokeWidth={unit}
              d={`M${cursor[0] - 10 * unit} ${cursor[1]}h${20 * unit}M${cursor[0]} ${cursor[1] - 10 * unit}v${20 * unit}`}
            />
          ) : null}
        </svg>
        {isDeclined && fit ? (
          <span className="declsay">
            <b>{fit.problems[0]?.advice}</b>
            <span className="small">{fit.problems[0]?.what}</span>
          </span>
        ) : null}
      </div>
      {/* biome-ignore lint/a11y/useSemanticElements: a row of tools. */}
      <div className="tools" role="group" aria-label={w.toolsLabel}>
        {TOOLS.map(([key, icon, text]) => (
          <button key={key} type="button" aria-pressed={tool === key} onClick={() => editor.setTool(key)}>
            <Icon name={icon} />
            {text}
          </button>
        ))}
        <button type="button" disabled={!editor.undo} onClick={() => editor.undo?.()}>
          <Icon name="i-undo" />
          {w.tools.undo}
        </button>
      </div>
      <p className="small quiet toolhelp" id={help}>
        {tool === 'scale' ? w.scaleHelp : tool === 'outline' ? w.outlineHelp : w.hintHelp}{' '}
        {w.corners(drawing.outline.length)}
      </p>
      <span className="vh" role="status">
        {cursor ? w.cursor(Math.round(cursor[0]), Math.round(cursor[1])) : ''}
      </span>
      <div className="pad thin field">
        <label htmlFor={methodId}>{w.method}</label>
        <select
          id={methodId}
          value={editor.method}
          onChange={(event) => editor.setMethod(event.target.value === 'colour' ? 'colour' : 'model')}
        >
          <option value="model">{w.methods.model}</option>
          <option value="colour">{w.methods.colour}</option>
        </select>
      </div>
      {tool === 'scale' ? <ScaleLength onLength={editor.setLengthMm} /> : null}
      <PhotoMeasure photo={photo} finding={editor.finding} />
      <div className="pad thin btnrow">
        {editor.isToKeep ? (
          <>
            <button
              type="button"
              className="btn glove main"
              disabled={editor.isBusy}
              onClick={() => void editor.save()}
            >
              {!editor.isTouched ? w.again : drawing.hints.length > 0 ? w.saveHints : w.save}
            </button>
            <button type="button" className="btn glove" onClick={editor.clear}>
              {w.clear}
            </button>
          </>
        ) : null}
        <span className="small" role="status">
          {editor.said}
        </span>
      </div>
      <Settle assessment={assessment} photo={photo} checks={checks} />
    </>
  );
}

function ScaleLength({ onLength }: { onLength: (mm: number | null) => void }) {
  const [text, setText] = useState('');
  const value = readFigure(text);
  return (
    <div className="pad thin">
      <Field
        label={w.scaleLength}
        inputMode="decimal"
        value={text}
        wrong={
          text.trim() !== '' && (value === null || value <= 0)
            ? { title: words.round.notNumber(text, figure(150)) }
            : null
        }
        onChange={(event) => {
          setText(event.target.value);
          const mm = readFigure(event.target.value);
          onLength(mm !== null && mm > 0 ? mm : null);
        }}
      />
    </div>
  );
}

/** Which check the photo shows, and striking its measurement. */
function Settle({ assessment, photo, checks }: { assessment: string; photo: StoredPhoto; checks: readonly Check[] }) {
  const [isStriking, setStriking] = useState(false);
  const [reason, setReason] = useState('');
  const [isShort, setShort] = useState(false);
  const id = useId();
  const put = (change: import('../../../shared/change.ts').Change) =>
    void outbox.put({ id: change.id, assessment, at: Date.now(), held: false, what: { kind: 'change', change } });
  if (photo.struck) {
    return <p className="pad thin small">{w.struck(photo.struck.by, photo.struck.reason)}</p>;
  }
  return (
    <div className="pad thin settle">
      {photo.component && checks.length > 0 ? (
        <div className="field">
          <label htmlFor={id}>{w.check}</label>
          <select
            id={id}
            value={photo.check ?? ''}
            onChange={(event) =>
              put({
                id: newId(),
                type: 'assign-photo',
                photo: photo.id,
                component: photo.component!,
                ...(event.target.value ? { check: event.target.value } : {}),
                ...(photo.stage ? { stage: photo.stage } : {}),
              })
            }
          >
            <option value="">{w.noCheck}</option>
            {checks.map((check) => (
              <option key={check.id} value={check.id}>
                {check.ask}
              </option>
            ))}
          </select>
        </div>
      ) : null}
      {photo.measurement?.rustAreaPercent && photo.outline ? (
        isStriking ? (
          <form
            onSubmit={(event) => {
              event.preventDefault();
              if (reason.trim().length < 3) return setShort(true);
              put({ id: newId(), type: 'strike-photo', photo: photo.id, reason: reason.trim() });
              setStriking(false);
            }}
          >
            <Field
              label={w.strikeWhy}
              value={reason}
              wrong={isShort ? { title: words.component.whyWanted } : null}
              onChange={(event) => setReason(event.target.value)}
            />
            <button type="submit" className="btn">
              {w.strike}
            </button>
          </form>
        ) : (
          <button type="button" className="linkish small" onClick={() => setStriking(true)}>
            {w.strike}
          </button>
        )
      ) : null}
      <p className="small quiet">
        {photo.measurement?.areaCm2
          ? w.area(bare(photo.measurement.areaCm2.part), bare(photo.measurement.areaCm2.rust))
          : w.noScale}
      </p>
    </div>
  );
}
