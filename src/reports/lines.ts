import { visible } from '../../shared/index.ts';

/** Makes text bold or dim on a terminal, and leaves it alone elsewhere. */
export type Paint = (text: string, style: 'bold' | 'dim') => string;

/** Columns of a printed sheet. */
export const WIDTH = 80;

/**
 * Breaks a line at blanks to at most 80 columns.
 *
 * @param first what the first line begins with: a mark, a number, a label
 * @param indent columns that the further lines are pushed in; those of `first` when left out
 */
export function fold(first: string, text: string, indent = [...first].length): string[] {
  const lines: string[] = [];
  let line = first;
  for (const word of visible(text).split(/\s+/).filter(Boolean)) {
    const isFresh = lines.length === 0 ? line === first : line.trim() === '';
    const joined = isFresh ? line + word : `${line} ${word}`;
    if (!isFresh && [...joined].length > WIDTH) {
      lines.push(line);
      line = ' '.repeat(indent) + word;
    } else line = joined;
  }
  if (line.trim() !== '') lines.push(line);
  return lines.map((one) => one.trimEnd());
}

/** A line with a label in front, its text folded beside it: `  Torque   90 Nm`. */
export function labelled(label: string, text: string, indent = 5): string[] {
  return fold(`${' '.repeat(indent)}${label.padEnd(9)}`, text);
}

/** A box to tick before a line. */
export function ticked(text: string, indent = 0): string[] {
  return fold(`${' '.repeat(indent)}[ ] `, text);
}

/** A heading in capitals with a rule under it. */
export function heading(text: string, paint: Paint): string[] {
  return ['', paint(text.toUpperCase(), 'bold'), '-'.repeat(Math.min(WIDTH, [...text].length))];
}

/** Text on the left, a figure at the right edge. */
export function aligned(left: string, right: string): string[] {
  const room = WIDTH - [...right].length - 2;
  const lines = fold('', left);
  const first = lines[0] ?? '';
  if ([...first].length <= room) return [first.padEnd(WIDTH - [...right].length) + right, ...lines.slice(1)];
  return [...lines, right.padStart(WIDTH)];
}

/** Minutes, or hours where they are many. */
export function time(minutes: number): string {
  if (minutes < 90) return `${Math.round(minutes)} min`;
  return `${Math.round(minutes / 6) / 10} h`;
}

/** `5 - 16 - 85 min`: low, usual, high in one unit. */
export function times({ low, usual, high }: { low: number; usual: number; high: number }): string {
  if (usual < 90) return `${Math.round(low)} - ${Math.round(usual)} - ${Math.round(high)} min`;
  const h = (minutes: number) => Math.round(minutes / 6) / 10;
  return `${h(low)} - ${h(usual)} - ${h(high)} h`;
}

/** Money or another figure, low to high, without needless decimals. */
export function span({ low, usual, high }: { low: number; usual: number; high: number }): string {
  const figure = (value: number) => (value >= 10 ? String(Math.round(value)) : String(Math.round(value * 10) / 10));
  return low === high ? figure(usual) : `${figure(usual)} (${figure(low)} to ${figure(high)})`;
}

/** Chance in a hundred. */
export function hundred(chance: number): string {
  return String(Math.round(chance * 100));
}
