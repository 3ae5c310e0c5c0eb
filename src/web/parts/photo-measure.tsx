import type { StoredPhoto } from '../../../shared/api.ts';
import { isUnsure } from '../../../shared/photo.ts';
import type { PhotoFinding } from '../../imaging/measurement.ts';
import { figure } from '../format.ts';
import { words } from '../words.ts';
import { RangeBar, Rule } from './range.tsx';

const w = words.photos;

/** The rusted share: as the server measured it, or at once by the colour rule while somebody draws. */
export function PhotoMeasure({ photo, finding }: { photo: StoredPhoto; finding: PhotoFinding | null }) {
  if (finding) {
    const percent = finding.area && 100 * finding.area.fraction;
    const problem = finding.fit.problems[0];
    return (
      <div className="meas">
        <span className="fig num">{percent === null ? '–' : w.percent(figure(round(percent)))}</span>
        <p className="small quiet">
          {finding.assessed === 'outline' ? w.ofOutline : w.ofFrame}
          <br />
          {problem ? `${problem.what}. ${problem.advice}.` : w.quick}
        </p>
      </div>
    );
  }
  const { measurement } = photo;
  const area = measurement?.rustAreaPercent;
  if (!measurement || !area) {
    return (
      <p className="pad thin small">
        {measurement && !measurement.fit.ok
          ? measurement.fit.problems.map((problem) => `${problem.what}. ${problem.advice}.`).join(' ')
          : `${w.drawRound}. ${w.notMeasured}`}
      </p>
    );
  }
  const max = Math.min(100, Math.max(10, Math.ceil((area.high * 1.15) / 10) * 10));
  return (
    <div className="meas">
      <span className="fig num">{w.percent(figure(round(area.value)))}</span>
      <p className="small quiet">
        {measurement.assessed === 'outline' ? w.ofOutline : w.ofFrame}
        <br />
        {w.between(figure(round(area.low)), figure(round(area.high)))}
      </p>
      <span className="measbar">
        <RangeBar
          spread={{ low: area.low, likely: area.value, aside: area.high }}
          max={max}
          filling={isUnsure(area) ? 'rust wide' : 'rust'}
          spoken={w.spoken(figure(round(area.low)), figure(round(area.high)), figure(round(area.value)))}
        />
        <Rule
          minor={max / 2}
          ticks={[0, 25, 50, 75, 100].map((at) => ({ at, label: `${figure((at * max) / 100)} %` }))}
        />
      </span>
      {measurement.grades ? (
        <p className="small quiet measgr">
          ISO 4628-3 {measurement.grades.iso4628_3.join(' – ')} · ASTM D610 {measurement.grades.astmD610} · ISO 10289{' '}
          {measurement.grades.iso10289} · {measurement.method}
        </p>
      ) : null}
    </div>
  );
}

/** Two figures are all that such a measure bears. */
function round(percent: number): number {
  return percent < 1
    ? Math.round(percent * 100) / 100
    : percent < 10
      ? Math.round(percent * 10) / 10
      : Math.round(percent);
}
