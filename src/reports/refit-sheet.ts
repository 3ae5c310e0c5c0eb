import type { PlanOut, RefitStep } from '../../shared/index.ts';
import { fold, heading, labelled, type Paint, ticked } from './lines.ts';

/** The re-fit order at 80 columns. */
export function refitSheet(plan: PlanOut, paint: Paint): string[] {
  const { refit, assessment } = plan;
  if (!refit || refit.steps.length === 0) return [paint(`Re-fit: ${assessment.name}`, 'bold'), 'Nothing is off.'];
  const title = (text: string, lines: readonly string[]) =>
    lines.length > 0 ? [...heading(text, paint), ...lines] : [];
  return [
    paint(`Re-fit: ${assessment.name}`, 'bold'),
    ...refit.notes.flatMap((note) => fold('', note)),
    ...title(
      'Not put back as found',
      refit.alignment.flatMap((line) => ticked(line)),
    ),
    ...heading('In this order', paint),
    ...refit.steps.flatMap((step) => stepLines(step, paint)),
    ...title(
      'Last, on its wheels at ride height',
      refit.atRideHeight.flatMap((joint) => ticked(`${joint.name}: ${joint.torque}`)),
    ),
    ...title(
      'Then',
      refit.afterwards.flatMap((line) => ticked(line.text)),
    ),
    ...title(
      'Before it is driven',
      refit.beforeDriving.flatMap((line) => ticked(line.text)),
    ),
  ];
}

function stepLines(step: RefitStep, paint: Paint): string[] {
  const { joint } = step;
  const size =
    joint.thread === null
      ? joint.locking
      : `${joint.count} x ${joint.thread}${joint.class === null ? '' : ` ${joint.class}`}`;
  const add = (label: string, texts: readonly string[]) =>
    texts.length > 0 ? labelled(label, texts.join('. ').replaceAll('..', '.'), 7) : [];
  return [
    '',
    ...fold(`${String(step.n).padStart(2)} [ ] `, `${step.name}: ${size}`, 7).map((line, i) =>
      i === 0 ? paint(line, 'bold') : line,
    ),
    ...add('Place', step.positions),
    ...add('New', step.newHardware),
    ...(joint.thread === null
      ? []
      : add('Torque', [step.tighten === 'ride-height' ? `nip up now; ${step.torque}, at ride height` : step.torque])),
    ...add('Lock', step.lock),
    ...add('Mind', step.notes),
    ...step.cautions.flatMap((caution) => fold('       ! ', caution.text)),
  ];
}
