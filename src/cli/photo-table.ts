import { visible } from '../../shared/faults.ts';
import { isUnsure, type PhotoMeasurement } from '../../shared/photo.ts';
import { NOT_MEASURED } from '../imaging/index.ts';

const WIDTH = 80;
const FILE_WIDTH = 30;

/** A measured photo that stands for its group. */
interface Row {
  readonly photo: PhotoMeasurement;
  readonly others: number;
}

/**
 * The list of photos, worst first, 80 columns wide.
 *
 * One row a group, by its worst photo. A whole frame is marked and stands after an outlined photo of the same value.
 *
 * @param photos Measured photos in any order
 * @returns Lines without line ends
 */
export function photoTable(photos: readonly PhotoMeasurement[]): string[] {
  const fit = photos.filter((photo) => photo.rustAreaPercent !== null);
  const declined = photos.filter((photo) => photo.rustAreaPercent === null);
  const lines: string[] = [];
  if (fit.length > 0) {
    lines.push(line('  #', 'Rust %', '90 % interval ', 'ISO 4628-3', 'D610', 'Photo'));
    for (const [index, row] of rank(fit).entries()) lines.push(rowText(index + 1, row));
    const marks = [
      ...(fit.some((photo) => photo.assessed === 'whole-frame')
        ? ['~ whole frame, background counted: says where to look, measures no part']
        : []),
      ...(fit.some((photo) => isUnsure(photo.rustAreaPercent!))
        ? ['? unsure, wherever it stands: look at it, draw round the part, or tap']
        : []),
    ];
    if (marks.length > 0) lines.push('', ...marks);
    lines.push(...areaLines(fit));
    lines.push('', `Not measured by this method: ${NOT_MEASURED.join(', ')}.`);
    lines.push('A photo can worsen a verdict; it never clears a crack, a thread or a wall.');
  }
  if (declined.length > 0) {
    if (fit.length > 0) lines.push('');
    lines.push('Not fit to measure:');
    for (const photo of declined) {
      lines.push(`  ${shorten(photo.file, WIDTH - 2)}`);
      for (const { what, advice } of photo.fit.problems) lines.push(...wrap(`${what}. ${advice}.`, '    '));
    }
  }
  return lines;
}

/** Areas of photos with a scale, for the blasting and coating order. */
function areaLines(photos: readonly PhotoMeasurement[]): string[] {
  const scaled = photos.filter((photo) => photo.areaCm2 !== undefined);
  if (scaled.length === 0) return [];
  const lines = ['', 'Seen side only, cm2:  part (to blast and coat)      rust  Photo'];
  for (const { areaCm2, file } of scaled) {
    const [part, rust] = [areaCm2!.part, areaCm2!.rust].map((area) => area.toFixed(area < 10 ? 1 : 0));
    lines.push(`${part!.padStart(44)}${rust!.padStart(10)}  ${shorten(file, WIDTH - 56)}`);
  }
  return lines;
}

/** Worst first; equal as shown: outlined before whole frame, then by name. */
function rank(photos: readonly PhotoMeasurement[]): Row[] {
  const sorted = [...photos].sort(
    (a, b) =>
      Number(shown(b.rustAreaPercent!.value)) - Number(shown(a.rustAreaPercent!.value)) ||
      Number(a.assessed === 'whole-frame') - Number(b.assessed === 'whole-frame') ||
      (a.file < b.file ? -1 : 1),
  );
  const rows = new Map<number, Row>();
  for (const photo of sorted) {
    const row = rows.get(photo.group);
    rows.set(photo.group, row === undefined ? { photo, others: 0 } : { ...row, others: row.others + 1 });
  }
  return [...rows.values()];
}

function rowText(place: number, { photo, others }: Row): string {
  const { value, low, high } = photo.rustAreaPercent!;
  const mark = photo.assessed === 'whole-frame' ? '~' : ' ';
  const more = others === 0 ? '' : ` +${others} alike`;
  const name = shorten(photo.file, FILE_WIDTH - more.length) + more;
  return line(
    String(place).padStart(3),
    `${mark}${shown(value)}`,
    `${shown(low)} to ${shown(high)}${isUnsure({ low, high }) ? '?' : ' '}`,
    photo.grades!.iso4628_3.join('/').replaceAll('Ri ', ''),
    photo.grades!.astmD610,
    name,
  );
}

function line(place: string, value: string, interval: string, ri: string, d610: string, name: string): string {
  return `${place} ${value.padStart(8)}  ${interval.padStart(15)} ${ri.padEnd(10)}  ${d610.padEnd(5)} ${name}`.trimEnd();
}

/** Two figures are as many as a photo can carry; below 1 % two places. */
function shown(percent: number): string {
  if (percent >= 10) return percent.toFixed(0);
  return percent.toFixed(percent >= 1 ? 1 : 2);
}

/** The end of a path tells more than its beginning. */
function shorten(file: string, width: number): string {
  const name = visible(file);
  return name.length <= width ? name : `...${name.slice(name.length - width + 3)}`;
}

function wrap(text: string, indent: string): string[] {
  const lines: string[] = [];
  let current = indent;
  for (const word of text.split(' ')) {
    if (current.length + word.length + 1 > WIDTH && current !== indent) {
      lines.push(current.trimEnd());
      current = indent;
    }
    current += current === indent ? word : ` ${word}`;
  }
  lines.push(current);
  return lines;
}
