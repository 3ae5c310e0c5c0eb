import { words } from '../words.ts';

/** An answer as drawn in a cell: a grade's speckle with its figure, or the state that stands for no grade. */
export type ChipState =
  | { type: 'grade'; grade: number; worse?: boolean; waiting?: boolean }
  | { type: 'text'; text: string; spoken?: string; worse?: boolean; waiting?: boolean }
  | { type: 'not-seen' | 'not-possible' | 'not-applicable'; waiting?: boolean }
  | { type: 'none' };

const CLASS = { 'not-seen': 'ns', 'not-possible': 'np', 'not-applicable': 'na' } as const;
const SPOKEN = {
  'not-seen': words.component.key.ns,
  'not-possible': words.component.key.np,
  'not-applicable': words.component.key.na,
} as const;

export function Chip({ state }: { state: ChipState }) {
  const waiting = 'waiting' in state && state.waiting ? ' wait' : '';
  switch (state.type) {
    case 'none':
      return (
        <span className="chip none" role="img" aria-label={words.component.noAnswer}>
          ·
        </span>
      );
    case 'grade':
      return (
        <span
          className={`chip${state.worse ? ' worse' : ''}${waiting}`}
          role="img"
          aria-label={`${words.rubric.grade} ${state.grade}`}
        >
          <svg aria-hidden="true" preserveAspectRatio="xMidYMid slice">
            <use href={`#grade-${Math.round(state.grade)}`} />
          </svg>
          <b>{state.grade}</b>
        </span>
      );
    case 'text':
      return (
        <span
          className={`chip text${state.worse ? ' worse' : ''}${waiting}`}
          role="img"
          aria-label={state.spoken ?? state.text}
        >
          <b>{state.text}</b>
        </span>
      );
    default:
      return <span className={`chip ${CLASS[state.type]}${waiting}`} role="img" aria-label={SPOKEN[state.type]} />;
  }
}
