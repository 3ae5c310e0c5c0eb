import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Assessment, Rubric } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { readRubric } from '../../src/adapters/files/read-rubric.ts';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { fillStream, thresholds, valueAt } from '../../src/engine/index.ts';
import { type PlanMade, planMade } from '../../src/planning/index.ts';
import { normalQuantile } from '../../src/standards/index.ts';
import { grown } from '../planning/grown.ts';
import { atMost, type BenchLine, median, ratioOf, timeOf } from './bench-line.ts';

const TODAY = '2026-11-25';
const DRAWS = 5000;
const TWO_TO_32 = 4294967296;

/**
 * Measures the plan of a whole job, verdicts and all: against drawing the same random numbers alone, and how it grows with
 * the number of parts.
 *
 * @param root folder of the repository
 */
export async function planningBench(root: string): Promise<BenchLine[]> {
  const rubric = await readRubric(join(root, 'rubric'));
  const demo = demoOf(root, rubric);
  const sixty = grown(demo, 60);
  const many = grown(demo, 500);
  const run = (assessment: Assessment) => planMade(rubric, assessment, { seed: 1, draws: DRAWS });
  const draw = randomNumbers(rubric, run(sixty));
  const { ratio, ms } = ratioOf(() => run(sixty), draw, 5);
  const growth = [0, 1, 2].map(() => timeOf(() => run(many)) / timeOf(() => run(sixty)));
  // Twice the parts and a little more: n log n from 250 to 500 parts is 2.25.
  const half = grown(demo, 250);
  const doubling = [0, 1, 2].map(() => timeOf(() => run(many)) / timeOf(() => run(half)));
  return [
    atMost(
      'plan of 60 components, 5,000 draws, against the same random numbers alone',
      ratio,
      8,
      `${Math.round(ms)} ms`,
    ),
    atMost('500 components against 60', median(growth), 12),
    atMost('500 components against 250 (n log n: 2.25)', median(doubling), 2.6),
  ];
}

function demoOf(root: string, rubric: Rubric): Assessment {
  const text = readFileSync(join(root, 'demo-data/corner.yaml'), 'utf8');
  const checked = checkAssessment(valueRead(parseDocumentText(text, 'corner.yaml')), rubric, { today: TODAY });
  if (checked.faults) throw new Error(`Cannot measure the demo: ${JSON.stringify(checked.faults[0])}`);
  return checked.assessment;
}

/** Draws every random number that the plan draws, turned into the values that it stands for, and does nothing with them. */
function randomNumbers(rubric: Rubric, { job, simulation }: PlanMade): () => void {
  const tables = new Map(
    rubric.rustiness.map((table) => [table.id, table.rows.map((row) => thresholds(row))] as const),
  );
  // An answer that is missing is drawn by rustiness, an uncertain one by its own odds; a certain one is not drawn.
  const answers = job.parts.flatMap(({ component, groups }) =>
    groups.flatMap(({ c, facts }) =>
      c.compiled.kind.checks.flatMap((check, v) => {
        const { state, weights } = facts.facts[v]!;
        if (state === 'not-applicable') return [];
        const name = `${component.id}|${check.id}`;
        if (!weights) return [{ name, limits: tables.get(check.rustiness)! }];
        return [...weights].filter((weight) => weight > 0).length > 1 ? [{ name, limits: [thresholds(weights)] }] : [];
      }),
    ),
  );
  const { uniform, normal } = simulation.streams;
  const integers = new Uint32Array(DRAWS);
  return () => {
    fillStream(integers, 1, 'rustiness');
    const steps = Uint8Array.from(integers, (u) => Math.min(4, Math.floor((u * 5) / TWO_TO_32)));
    for (const { name, limits } of answers) {
      fillStream(integers, 1, name);
      const values = new Uint8Array(DRAWS);
      for (let d = 0; d < DRAWS; d++)
        values[d] = valueAt(integers[d]!, limits.length === 1 ? limits[0]! : limits[steps[d]!]!);
    }
    for (const name of uniform) {
      fillStream(integers, 1, name);
      const values = new Float64Array(DRAWS);
      for (let d = 0; d < DRAWS; d++) values[d] = (integers[d]! + 0.5) / TWO_TO_32;
    }
    for (const name of normal) {
      fillStream(integers, 1, name);
      const values = new Float64Array(DRAWS);
      for (let d = 0; d < DRAWS; d++) values[d] = normalQuantile((integers[d]! + 0.5) / TWO_TO_32);
    }
  };
}
