import type { z } from 'zod';

/** One thing wrong with an input: where, what was wanted, what was found. */
export interface Fault {
  /** File as the user named it, empty when the input was not a file. */
  file: string;
  /** Place in the file: `components.3.observations.0.value`; empty for the whole file. */
  path: string;
  wanted: string;
  found: string;
}

/** The input is at fault. Carries every fault at once, never only the first. */
export class InputError extends Error {
  readonly faults: readonly Fault[];
  constructor(faults: readonly Fault[], options?: ErrorOptions) {
    super(faults.map(describeFault).join('\n'), options);
    this.name = 'InputError';
    this.faults = faults;
  }
}

/** Usage was wrong: a missing argument, an unknown option. */
export class UsageError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'UsageError';
  }
}

/** `demo.yaml at components.2.kind: wanted a kind of the rubric, found "arm"` */
export function describeFault(fault: Fault): string {
  const place = [fault.file, fault.path && `at ${fault.path}`].filter(Boolean).join(' ');
  return `${place}${place ? ': ' : ''}wanted ${fault.wanted}, found ${fault.found}`;
}

/** How a found value is shown in a message: short, quoted, with control and bidi characters made visible. */
export function showFound(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'number') return String(value);
  let text: string;
  try {
    text = JSON.stringify(value) ?? String(value);
  } catch {
    text = String(value);
  }
  return visible(text.length > 80 ? `${text.slice(0, 77)}...` : text);
}

/**
 * Makes characters visible that could act on a terminal or turn text round: C0 and C1 controls, and the
 * bidirectional marks of Unicode UAX #9. `\u{1b}` is shown as `\u{1b}`, never sent.
 */
export function visible(text: string): string {
  return text.replace(
    /[\u0000-\u001f\u007f-\u009f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/g,
    (character) => `\\u{${character.codePointAt(0)!.toString(16)}}`,
  );
}

/** Turns zod's issues into faults; `value` is what was parsed, so that the message can show what was found. */
export function faultsOf(error: z.ZodError, value: unknown, file = ''): Fault[] {
  return error.issues.flatMap((issue) => faultsOfIssue(issue as unknown as Issue, value, file, []));
}

interface Issue {
  code: string;
  path: PropertyKey[];
  message: string;
  keys?: string[];
  errors?: Issue[][];
}

function faultsOfIssue(issue: Issue, value: unknown, file: string, before: PropertyKey[]): Fault[] {
  const path = [...before, ...issue.path];
  if (issue.code === 'unrecognized_keys') {
    return (issue.keys ?? []).map((key) => ({
      file,
      path: [...path, key].map(String).join('.'),
      wanted: 'no such field here',
      found: showFound(key),
    }));
  }
  if (issue.code === 'invalid_union' && issue.errors && issue.errors.length > 0) {
    // The branch that got furthest is the one the writer meant.
    const branch = [...issue.errors].sort((a, b) => depth(b) - depth(a))[0]!;
    if (depth(branch) > 0) return branch.flatMap((inner) => faultsOfIssue(inner, value, file, path));
  }
  return [
    { file, path: path.map(String).join('.'), wanted: wantedOf(issue.message), found: showFound(valueAt(value, path)) },
  ];
}

function depth(issues: Issue[]): number {
  return Math.max(0, ...issues.map((issue) => issue.path.length));
}

function valueAt(value: unknown, path: PropertyKey[]): unknown {
  let here = value;
  for (const key of path) {
    if (here === null || typeof here !== 'object') return undefined;
    here = (here as Record<PropertyKey, unknown>)[key];
  }
  return here;
}

function wantedOf(message: string): string {
  return message
    .replace(/^Invalid input: expected ([^,]+), received .*$/, '$1')
    .replace(/^Invalid input: expected /, '')
    .replace(/^Invalid option: expected /, '')
    .replace(/^Too small: expected \S+ to (?:have|be) /, '')
    .replace(/^Too big: expected \S+ to (?:have|be) /, '')
    .replace(/^Invalid ISO date$/, 'a date such as 2026-11-25')
    .replace(/^Invalid input$/, 'another form')
    .replace(/^wanted /, '');
}
