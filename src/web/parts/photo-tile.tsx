import type { StoredPhoto } from '../../../shared/api.ts';
import type { Component } from '../../../shared/index.ts';
import { isUnsure } from '../../../shared/photo.ts';
import { photoAddress } from '../data/client.ts';
import { bare } from '../format.ts';
import { words } from '../words.ts';
import { RangeBar } from './range.tsx';

const w = words.photos;

interface PhotoTileProps {
  assessment: string;
  photo: StoredPhoto;
  component: Component | undefined;
  isChosen: boolean;
  onChoose: () => void;
  onOpen: () => void;
}

/** One picture of the wall. */
export function PhotoTile({ assessment, photo, component, isChosen, onChoose, onOpen }: PhotoTileProps) {
  const { measurement } = photo;
  const area = measurement?.rustAreaPercent;
  const problem = measurement && !measurement.fit.ok ? measurement.fit.problems[0] : undefined;
  const name = component?.name ?? w.unnamed;
  return (
    <li className={`ph${isChosen ? ' sel' : ''}${problem ? ' dec' : ''}`}>
      <button type="button" className="im" aria-label={w.open(`${name}, ${photo.name}`)} onClick={onOpen}>
        <img src={photoAddress(assessment, photo.id, 320)} alt="" loading="lazy" />
        {measurement?.assessed === 'whole-frame' && area ? <span className="wf">{w.wholeFrame}</span> : null}
      </button>
      {isChosen ? <span className="ck">{w.chosenMark}</span> : null}
      {problem ? (
        <span className="todo">
          <b>{problem.advice}</b>
          <span>{problem.what}</span>
        </span>
      ) : area ? (
        <span className="cap">
          <b className="num">{w.percent(bare(area.value))}</b>
          <RangeBar
            spread={{ low: area.low, likely: area.value, aside: area.high }}
            max={100}
            filling={isUnsure(area) ? 'rust wide' : 'rust'}
            spoken={w.spoken(bare(area.low), bare(area.high), bare(area.value))}
          />
          {isUnsure(area) ? (
            <b className="small" style={{ gridColumn: '1 / -1' }}>
              {w.unsure}
            </b>
          ) : null}
        </span>
      ) : (
        <span className="todo">
          <b>{w.drawRound}</b>
          <span>{w.notMeasured}</span>
        </span>
      )}
      <button
        type="button"
        className={`nm linkish${component ? '' : ' none'}`}
        aria-pressed={isChosen}
        onClick={onChoose}
      >
        <span className="vh">{w.chooseWord} </span>
        {component ? (
          <>
            {component.position ? `${name}, ${component.position}` : name}
            {photo.stage ? <i className="st">{words.stage[photo.stage]}</i> : null}
          </>
        ) : (
          w.assign
        )}
      </button>
    </li>
  );
}
