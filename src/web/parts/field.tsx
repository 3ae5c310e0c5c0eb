import { type ComponentProps, type ReactNode, useId } from 'react';
import { words } from '../words.ts';

/** What is wrong with a field: the sentence, and what may follow it. */
export interface Wrong {
  title: string;
  text?: string;
}

interface FieldProps extends Omit<ComponentProps<'input'>, 'id'> {
  label: ReactNode;
  wrong?: Wrong | null | undefined;
  note?: string | undefined;
}

/** A labelled text field that keeps what was typed and says beside itself what is wrong. */
export function Field({ label, wrong, note, ...input }: FieldProps) {
  const id = useId();
  return (
    <div className={`field${wrong ? ' bad' : ''}`}>
      <label htmlFor={id}>{label}</label>
      <input
        {...input}
        id={id}
        aria-invalid={wrong ? true : undefined}
        aria-describedby={wrong ? `${id}w` : note ? `${id}n` : undefined}
      />
      {wrong ? <WrongNote id={`${id}w`} wrong={wrong} /> : null}
      {note && !wrong ? (
        <p className="small quiet" id={`${id}n`}>
          {note}
        </p>
      ) : null}
    </div>
  );
}

export function WrongNote({ wrong, id }: { wrong: Wrong; id?: string }) {
  return (
    <div className="wrong" id={id} role="alert">
      <b>{wrong.title}</b> {wrong.text ?? words.kept}
    </div>
  );
}

interface SelectProps<T extends string> {
  label: ReactNode;
  value: T;
  options: readonly (readonly [T, string])[];
  onPick: (value: T) => void;
}

export function Select<T extends string>({ label, value, options, onPick }: SelectProps<T>) {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onPick(event.target.value as T)}>
        {options.map(([key, text]) => (
          <option key={key} value={key}>
            {text}
          </option>
        ))}
      </select>
    </div>
  );
}

interface SegmentsProps<T extends string> {
  label: string;
  value: T;
  options: readonly (readonly [T, string])[];
  onPick: (value: T) => void;
}

/** A row of buttons of which one is pressed. */
export function Segments<T extends string>({ label, value, options, onPick }: SegmentsProps<T>) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as one row of cells in every browser.
    <span className="seg" role="group" aria-label={label}>
      {options.map(([key, text]) => (
        <button key={key} type="button" aria-pressed={key === value} onClick={() => onPick(key)}>
          {text}
        </button>
      ))}
    </span>
  );
}
