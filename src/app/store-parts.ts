import papaparse from 'papaparse';
import { type Assessment, Component, type Fault, faultsOf, InputError, type Rubric } from '../../shared/index.ts';
import { idFrom } from './store-new.ts';

/** Columns of the parts list, in order; any other column is a property that the rubric knows, or goes into the note. */
const COLUMNS = [
  'id',
  'name',
  'kind',
  'count',
  'area',
  'position',
  'stage',
  'sitsIn',
  'pair',
  'material',
  'massKg',
  'areaDm2',
  'keepOriginal',
  'colour',
  'note',
] as const;
type Column = (typeof COLUMNS)[number];
const NUMBERS: ReadonlySet<string> = new Set(['count', 'massKg', 'areaDm2', 'keepOriginal']);
/** Properties that look like numbers and are names: property class 8.8, alloy 6082. */
const NAMES: ReadonlySet<string> = new Set(['class', 'thread', 'alloy', 'grade', 'size']);
/** What the fields that every new part needs hold, in a person's words. */
const WANTED: Record<string, string> = { name: 'a name', kind: 'a kind of the rubric' };
const PREFIX = 'property.';
const MOST_ROWS = 20_000;

// A spreadsheet takes a cell that begins with one of these for a formula; the apostrophe is in the set so that taking the
// mark off is exact.
const RISKY = /^[=+\-@\t\r']/;

/** A cell that no spreadsheet takes for a formula: an apostrophe stands before a risky one. */
export function markCell(text: string): string {
  return RISKY.test(text) ? `'${text}` : text;
}

/** The opposite of `markCell`, exactly: takes off an apostrophe only where one was put. */
export function unmarkCell(text: string): string {
  return text.startsWith("'") && RISKY.test(text.slice(1)) ? text.slice(1) : text;
}

/** The parts list as CSV (RFC 4180) with a byte order mark, so that spreadsheets read it as UTF-8. */
export function partsToCsv(assessment: Assessment): string {
  const properties = [...new Set(assessment.components.flatMap((c) => Object.keys(c.properties ?? {})))].sort();
  const header = [...COLUMNS, ...properties.map((name) => (isColumn(name) ? PREFIX + name : name))];
  const rows = assessment.components.map((component) => [
    ...COLUMNS.map((column) => component[column]),
    ...properties.map((name) => component.properties?.[name]),
  ]);
  const cells = [header, ...rows].map((row) => row.map((cell) => (cell === undefined ? '' : markCell(String(cell)))));
  return `\ufeff${papaparse.unparse(cells, { newline: '\r\n' })}\r\n`;
}

/** What a parts list says. */
export interface Parts {
  components: Component[];
  /** Columns that nothing asks for: kept in the notes of the parts. */
  noted: string[];
}

/** Every property that a kind of this rubric or a fastener has. */
export function propertiesOf(rubric: Rubric): ReadonlySet<string> {
  const names = rubric.kinds.flatMap((kind) => [
    ...Object.keys(kind.properties ?? {}),
    ...(kind.derived ?? []).flatMap((derived) => Object.keys(derived.sizes ?? {})),
  ]);
  return new Set(['thread', 'class', 'hardnessHV', 'lengthMm', ...names]);
}

/**
 * Reads a parts list: comma, semicolon or tab between cells, `2,5` and `2.5` both numbers, an empty cell says nothing.
 *
 * @param known properties that a part may have, from `propertiesOf`
 * @param before components that rows with the same id change
 * @throws {InputError} with every fault, `row 3, kind`
 */
export function partsFromCsv(text: string, known: ReadonlySet<string>, before: readonly Component[] = []): Parts {
  const parsed = papaparse.parse<string[]>(text.replace(/^\ufeff/, ''));
  const faults: Fault[] = parsed.errors
    .filter((error) => error.type === 'Quotes')
    .map((error) => ({
      file: '',
      path: `row ${(error.row ?? 0) + 1}`,
      wanted: 'quotation marks in pairs',
      found: error.message,
    }));
  // Blank rows say nothing, and still count: a fault names the row that a spreadsheet shows.
  const [first, ...below] = parsed.data
    .map((row, at) => ({ at, cells: row.map((cell) => unmarkCell(cell.trim())) }))
    .filter(({ cells }) => cells.some((cell) => cell !== ''));
  const header = first?.cells ?? [];
  const rows = below.map(({ cells }) => cells);
  const headerRow = `row ${(first?.at ?? 0) + 1}`;
  const columns = header.map((name) => COLUMNS.find((column) => column.toLowerCase() === name.toLowerCase()) ?? name);
  const nameOf = (column: string) => (column.startsWith(PREFIX) ? column.slice(PREFIX.length) : column);
  const isNoted = (column: string) => column !== '' && !isColumn(column) && !known.has(nameOf(column));
  const path = (row: number, column: string) => `row ${below[row]!.at + 1}, ${column}`;
  if (!columns.includes('name') && !columns.includes('id')) {
    faults.push({
      file: '',
      path: headerRow,
      wanted: 'a column "name" or "id"',
      found: header.slice(0, 5).join(', ') || 'nothing',
    });
  }
  const twice = columns.find((column, at) => column !== '' && columns.indexOf(column) !== at);
  if (twice !== undefined) faults.push({ file: '', path: headerRow, wanted: 'each column once', found: twice });
  if (rows.length === 0)
    faults.push({ file: '', path: '', wanted: 'at least one row under the header', found: 'none' });
  if (rows.length > MOST_ROWS)
    faults.push({ file: '', path: '', wanted: `at most ${MOST_ROWS} rows`, found: String(rows.length) });
  if (faults.length > 0) throw new InputError(faults);

  const taken = new Set(before.map((component) => component.id));
  const inFile = new Set<string>();
  const components = rows.map((cells, row) => {
    const values: Partial<Record<Column, string | number>> = {};
    const properties: Record<string, string | number> = {};
    const remarks: string[] = [];
    for (const [at, column] of columns.entries()) {
      const cell = cells[at] ?? '';
      if (cell === '' || column === '') continue;
      if (isNoted(column)) remarks.push(`${column}: ${cell}`);
      else if (!isColumn(column)) properties[nameOf(column)] = propertyOf(column, cell);
      else if (!NUMBERS.has(column)) values[column] = cell;
      else {
        const number = Number(/^\d+,\d+$/.test(cell) ? cell.replace(',', '.') : cell);
        if (Number.isFinite(number)) values[column] = number;
        else faults.push({ file: '', path: path(row, column), wanted: 'a number', found: cell });
      }
    }
    let id = typeof values.id === 'string' ? values.id : idFrom(String(values.name ?? ''));
    if (values.id === undefined)
      for (let n = 2; taken.has(id) || inFile.has(id); n++) id = `${idFrom(String(values.name ?? ''))}-${n}`;
    else if (inFile.has(id)) faults.push({ file: '', path: path(row, 'id'), wanted: 'each id once', found: id });
    inFile.add(id);
    const old = before.find((component) => component.id === id);
    const kept = Object.fromEntries(
      Object.entries(properties).map(([name, value]) => {
        const was = old?.properties?.[name];
        return [name, was !== undefined && String(was) === String(value) ? was : value];
      }),
    );
    const note = String(values.note ?? old?.note ?? '');
    const more = remarks.filter((remark) => !note.includes(remark));
    const merged = {
      stage: 'fitted',
      ...old,
      ...values,
      id,
      ...(more.length > 0 ? { note: [note, ...more].filter(Boolean).join('; ') } : {}),
      ...(Object.keys(kept).length > 0 ? { properties: { ...old?.properties, ...kept } } : {}),
    };
    const checked = Component.safeParse(merged);
    if (checked.success) return checked.data;
    for (const { path: place, ...fault } of faultsOf(checked.error, merged)) {
      const field = place.split('.')[0] || 'row';
      faults.push({ ...fault, wanted: WANTED[field] ?? fault.wanted, path: path(row, field) });
    }
    return null;
  });
  if (faults.length > 0) throw new InputError(faults.slice(0, 200));
  return {
    components: components.filter((component) => component !== null),
    noted: columns.filter(isNoted),
  };
}

function isColumn(name: string): name is Column {
  return (COLUMNS as readonly string[]).includes(name);
}

function propertyOf(column: string, cell: string): string | number {
  const number = Number(cell);
  return !NAMES.has(column) && String(number) === cell && Number.isFinite(number) ? number : cell;
}
