import type { Check, Fault, Kind } from '../../shared/index.ts';
import { STAGES } from '../../shared/index.ts';
import type { Placed, PlacedRubric } from './check-rubric.ts';

// Tables are written by hand to three or four places.
const SUM_TOLERANCE = 1e-6;

/** Tables of chances: sizes, sums, and that worse evidence never makes a better part likelier. */
export function checkTables(rubric: PlacedRubric): Fault[] {
  const { reveal, rustiness } = rubric.lists;
  const faults: Fault[] = [];
  for (const table of reveal) {
    for (const [stage, rows] of Object.entries(table.value?.stages ?? {})) {
      const at = (rest: string) => place(table, `stages.${stage}${rest}`);
      rows.forEach((row, i) => {
        if (row.length !== rows.length) {
          faults.push({
            ...at(`.${i}`),
            wanted: `${rows.length} chances, as many as there are rows`,
            found: `${row.length}`,
          });
        }
      });
      faults.push(...sums(rows, (i) => at(`.${i}`)), ...dominance(rows, (i) => at(`.${i}`)));
    }
  }
  for (const table of rustiness) {
    const rows = table.value?.rows ?? [];
    const at = (i: number) => place(table, `rows.${i}`);
    rows.forEach((row, i) => {
      if (row.length !== rows[0]!.length) {
        faults.push({ ...at(i), wanted: `${rows[0]!.length} chances, as in the first row`, found: `${row.length}` });
      }
    });
    faults.push(...sums(rows, at), ...likelihoodRatio(rows, at));
  }
  const { settings } = rubric;
  if (settings.value) {
    const { prior, follow } = settings.value.rustiness;
    const at = (i: number) => place(settings, `rustiness.follow.${i}`);
    faults.push(...sums([prior], () => place(settings, 'rustiness.prior')));
    faults.push(...sums(follow, at), ...likelihoodRatio(follow, at));
  }
  for (const kind of rubric.kinds) {
    kind.value?.checks.forEach((check, i) => {
      faults.push(...checkSizes(kind, check, `checks.${i}`, rubric));
    });
  }
  return faults;
}

function checkSizes(kind: Placed<Kind>, check: Check, path: string, rubric: PlacedRubric): Fault[] {
  const faults: Fault[] = [];
  const size = sizeOf(check);
  const rustiness = rubric.lists.rustiness.find((table) => table.id === check.rustiness)?.value;
  if (rustiness && rustiness.rows[0]!.length !== size) {
    const wanted = `a table with ${size} values a row, as the check has`;
    faults.push({
      ...place(kind, `${path}.rustiness`),
      wanted,
      found: `${check.rustiness} with ${rustiness.rows[0]!.length}`,
    });
  }
  const reveal = rubric.lists.reveal.find((table) => table.id === check.reveal)?.value;
  if (!reveal) return faults;
  const at = place(kind, `${path}.reveal`);
  const sizes = Object.values(reveal.stages).map((rows) => rows.length);
  if (sizes.some((rows) => rows !== size)) {
    const wanted = `a table with ${size} values, as the check has`;
    faults.push({ ...at, wanted, found: `${check.reveal} with ${[...new Set(sizes)].join(' and ')}` });
  }
  // A later stage may fall back on an earlier stage's table, which knows less; the earliest has none to fall back on.
  const earliest = STAGES.indexOf(check.earliestStage);
  if (!STAGES.slice(0, earliest + 1).some((stage) => reveal.stages[stage])) {
    const wanted = `a table for the stage ${check.earliestStage}, at which the check can first be answered`;
    faults.push({
      ...at,
      wanted,
      found: `${check.reveal} with ${Object.keys(reveal.stages).join(', ') || 'no stage'}`,
    });
  }
  return faults;
}

/** How many listed values a check has. */
export function sizeOf(check: Check): number {
  const { answer } = check;
  if (answer.type === 'grade') return 6;
  return answer.type === 'measure' ? answer.points.length : answer.options.length;
}

type Rows = readonly (readonly number[])[];
type At = (row: number) => { file: string; path: string };

function place(entry: Placed<unknown>, path: string): { file: string; path: string } {
  return { file: entry.file, path: entry.path === '' ? path : `${entry.path}.${path}` };
}

function sums(rows: Rows, at: At): Fault[] {
  return rows.flatMap((row, i) => {
    const sum = row.reduce((a, b) => a + b, 0);
    if (Math.abs(sum - 1) <= SUM_TOLERANCE) return [];
    return [{ ...at(i), wanted: 'chances that add up to 1', found: String(Number(sum.toFixed(6))) }];
  });
}

// First-order stochastic dominance: what looked worse is nowhere likelier to be at or better than any value.
function dominance(rows: Rows, at: At): Fault[] {
  return rows.slice(1).flatMap((row, i) => {
    let here = 0;
    let better = 0;
    const broken = row.some((p, k) => {
      here += p;
      better += rows[i]![k] ?? 0;
      return here > better + SUM_TOLERANCE;
    });
    return broken ? [{ ...at(i + 1), wanted: 'a row nowhere better than the row above', found: row.join(', ') }] : [];
  });
}

// Monotone likelihood ratio: a worse value always speaks for more rustiness, whatever the prior.
function likelihoodRatio(rows: Rows, at: At): Fault[] {
  return rows.slice(1).flatMap((row, i) => {
    const above = rows[i]!;
    for (let k = 0; k < row.length; k++) {
      for (let l = k + 1; l < row.length; l++) {
        if (row[k]! * (above[l] ?? 0) <= row[l]! * (above[k] ?? 0) + SUM_TOLERANCE ** 2) continue;
        const found = `values ${k} and ${l}: ${row[k]} to ${row[l]}, above ${above[k]} to ${above[l]}`;
        return [{ ...at(i + 1), wanted: 'odds of a worse value that rise from row to row', found }];
      }
    }
    return [];
  });
}
