import type { Check, Observation } from '../../../shared/index.ts';
import { figure } from '../format.ts';
import type { ChipState } from './chip.tsx';

/** An observation as its cell. */
export function chipOf(observation: Observation, check: Check, worse = false, waiting = false): ChipState {
  if (observation.none) return { type: observation.none, waiting };
  if (observation.split) {
    const text = observation.split.map((share) => share.count).join('+');
    const spoken = observation.split.map((share) => `${share.count}: ${share.value}`).join(', ');
    return { type: 'text', text, spoken, worse, waiting };
  }
  const { value } = observation;
  switch (check.answer.type) {
    case 'grade':
      return { type: 'grade', grade: Number(value), worse, waiting };
    case 'measure': {
      const unit = observation.unit ?? check.answer.unit;
      return { type: 'text', text: figure(Number(value)), spoken: `${figure(Number(value))} ${unit}`, worse, waiting };
    }
    case 'choice': {
      const option = check.answer.options.find((entry) => entry.id === value);
      const at = check.answer.options.findIndex((entry) => entry.id === value);
      return {
        type: 'text',
        text: at < 0 ? '?' : String.fromCharCode(97 + at),
        spoken: option?.words ?? String(value),
        worse,
        waiting,
      };
    }
  }
}
