import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { Engine, type NestedCondition, type TopLevelCondition } from 'json-rules-engine';
import {
  type Assessment,
  type Check,
  type Component,
  type Condition,
  type Observation,
  type Rubric,
  STAGES,
} from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { readRubric } from '../../src/adapters/files/read-rubric.ts';
import { statesOf } from '../../src/engine/barring-states.ts';
import { checkAssessment } from '../../src/engine/check-assessment.ts';
import { columnsOf } from '../../src/engine/columns.ts';
import { evidenceOf, type Prepared } from '../../src/engine/component-case.ts';
import { oddsOf } from '../../src/engine/decide.ts';
import { drawComponent } from '../../src/engine/draws.ts';
import { factsOf } from '../../src/engine/facts.ts';
import { prepare, readd, reweigh, score } from '../../src/engine/index.ts';
import { looksOf, nextLooks } from '../../src/engine/looks.ts';
import { outlooksOf } from '../../src/engine/outlook.ts';
import { rustinessOf } from '../../src/engine/rustiness.ts';
import { fillStream } from '../../src/engine/streams.ts';
import { tablesOf } from '../../src/engine/tables.ts';
import { parseThread, stressDiameterMm } from '../../src/standards/index.ts';
import { atMost, type BenchLine, median, ratioOf, timeOf } from './bench-line.ts';
import { handWritten, type PlainPart } from './hand-written-rules.ts';

const TODAY = '2026-11-25';
const KINDS = ['pressed-steel-arm', 'brake-pipe', 'threaded-fastener'] as const;

/**
 * Measures the engine: its rules against the same rules written by hand and in a general rule engine, its draws against
 * the bare random numbers, adding up again for a slider, and memory.
 *
 * @param root folder of the repository
 */
export async function engineBench(root: string): Promise<BenchLine[]> {
  const rubric = await readRubric(join(root, 'rubric'));
  const demo = demoOf(root, rubric);
  return [await knockOuts(rubric), ...oddsAndLooks(rubric, demo), ...slider(rubric, demo), memory(rubric, demo)];
}

function demoOf(root: string, rubric: Rubric): Assessment {
  const text = readFileSync(join(root, 'demo-data/corner.yaml'), 'utf8');
  const checked = checkAssessment(valueRead(parseDocumentText(text, 'corner.yaml')), rubric, { today: TODAY });
  if (checked.faults) throw new Error(`Cannot measure the demo: ${JSON.stringify(checked.faults[0])}`);
  return checked.assessment;
}

/** The demo's components again and again, each copy with names of its own. */
function many(demo: Assessment, count: number): Assessment {
  const copies = Math.ceil(count / demo.components.length);
  const components = Array.from({ length: copies }, (_, k) => {
    const name = (id: string) => `${id}-${k}`;
    return demo.components.map(
      (c): Component => ({
        ...c,
        id: name(c.id),
        ...(c.pair === undefined ? {} : { pair: name(c.pair) }),
        ...(c.sitsIn === undefined ? {} : { sitsIn: name(c.sitsIn) }),
        ...(c.mates === undefined ? {} : { mates: c.mates.map(name) }),
      }),
    );
  }).flat();
  return { ...demo, covers: [], components: components.slice(0, count) };
}

/** Numbers in order that are the same in every run. */
function stream(): () => number {
  const numbers = new Uint32Array(1 << 20);
  fillStream(numbers, 1, 'bench');
  let next = 0;
  return () => numbers[next++ % numbers.length]! / 4294967296;
}

async function knockOuts(rubric: Rubric): Promise<BenchLine> {
  const tables = tablesOf(rubric);
  const random = stream();
  const parts = Array.from({ length: 10_000 }, (_, n) => {
    const compiled = tables.kind(KINDS[n % KINDS.length]!);
    const component = answered(compiled.kind.checks, KINDS[n % KINDS.length]!, random);
    return { compiled, component, plain: plainOf(component, compiled.kind.checks) };
  });
  const sets = new Map(
    KINDS.map((id) => [id as string, tables.kind(id).barrings.filter(({ knockOut }) => knockOut !== null)]),
  );
  const known = parts.map(({ compiled, component }) => {
    const facts = factsOf(component, component.observations!, compiled, tables, 'mm');
    return { rules: sets.get(component.kind)!, facts };
  });
  const ours = () => known.map(({ rules, facts }) => statesOf(rules, facts));
  const byHand = () => parts.map(({ plain }) => handWritten(plain));
  if (JSON.stringify(ours()) !== JSON.stringify(byHand())) throw new Error('The rules written by hand do not agree');
  const { ratio, ms } = ratioOf(ours, byHand, 200);
  const other = await generalEngine(rubric, parts);
  return atMost(
    'knock-outs of 10,000 components, times the same rules written by hand',
    ratio,
    3,
    `json-rules-engine: ${((ratio * other) / ms).toFixed(0)} times`,
  );
}

/** A part with three answers in four, at the stage where they are final. */
function answered(checks: readonly Check[], kind: string, random: () => number): Component {
  const pick = <T>(of: readonly T[]) => of[Math.floor(random() * of.length)]!;
  const observations = checks.flatMap((check): Observation[] => {
    if (random() < 0.25) return [];
    const { answer } = check;
    const value =
      answer.type === 'grade'
        ? Math.floor(random() * 6)
        : answer.type === 'measure'
          ? pick(answer.points)
          : pick(answer.options).id;
    return [{ check: check.id, value, stage: STAGES.at(-1)!, date: TODAY }];
  });
  const properties: Component['properties'] =
    kind === 'threaded-fastener'
      ? { thread: 'M12x1.5', class: pick(['8.8', '10.9', '12.9']), duty: pick(['brake', 'bracket']) }
      : {};
  return { id: 'part', name: 'Part', kind, stage: 'finished', observations, properties };
}

function plainOf(component: Component, checks: readonly Check[]): PlainPart {
  const grade: PlainPart['grade'] = {};
  const word: PlainPart['word'] = {};
  for (const check of checks) {
    const value = component.observations!.find((o) => o.check === check.id)?.value ?? null;
    if (check.answer.type === 'choice') word[check.id] = value as string | null;
    else grade[check.id] = value as number | null;
  }
  const text = (name: string) => (component.properties?.[name] as string | undefined) ?? null;
  const thread = parseThread(text('thread') ?? '');
  return {
    kind: component.kind as PlainPart['kind'],
    grade,
    word,
    wallMm: null,
    stressDiameterMm: thread ? stressDiameterMm(thread) : null,
    class: text('class'),
    duty: text('duty'),
  };
}

/** Time of the same rules in json-rules-engine, ms. It knows fired and not fired only, so what is open counts as not fired. */
async function generalEngine(
  rubric: Rubric,
  parts: readonly { component: Component; plain: PlainPart }[],
): Promise<number> {
  const engines = new Map(
    KINDS.map((id) => {
      const kind = rubric.kinds.find((entry) => entry.id === id)!;
      const engine = new Engine([], { allowUndefinedFacts: true });
      for (const knockOut of kind.knockOuts) {
        engine.addRule({
          conditions: { all: [nested(knockOut.when)] } as TopLevelCondition,
          event: { type: knockOut.id },
        });
      }
      return [id as string, engine] as const;
    }),
  );
  const facts = parts.map(({ component, plain }) => {
    const { wallMm, stressDiameterMm: diameter } = plain;
    const loss = plain.grade['web-loss'] ?? plain.grade['wall-gone'];
    const thread = plain.grade['thread-loss'];
    const share =
      loss === null || loss === undefined ? {} : { share: loss / (wallMm ?? (plain.kind === 'brake-pipe' ? 0.71 : 3)) };
    const left =
      typeof thread === 'number' && diameter ? { 'thread-left': ((diameter - 2 * thread) / diameter) ** 2 } : {};
    const answers = Object.fromEntries(component.observations!.map((o) => [o.check, o.value!]));
    return { ...component.properties, ...answers, ...share, ...left };
  });
  const start = performance.now();
  for (const [n, { component }] of parts.entries()) await engines.get(component.kind)!.run(facts[n]!);
  return performance.now() - start;
}

function nested(when: Condition): NestedCondition {
  if ('all' in when) return { all: when.all.map(nested) };
  if ('any' in when) return { any: when.any.map(nested) };
  if ('not' in when) return { not: nested(when.not) };
  const fact = 'check' in when ? when.check : 'derived' in when ? sharedName(when.derived) : when.property;
  const parts: NestedCondition[] = [];
  const add = (operator: string, value: unknown) => {
    if (value !== undefined) parts.push({ fact, operator, value });
  };
  add('greaterThanInclusive', when.atLeast);
  add('lessThanInclusive', when.atMost);
  add('greaterThan', when.above);
  add('lessThan', when.below);
  if ('is' in when && when.is !== undefined) add('in', [when.is].flat());
  return parts.length === 1 ? parts[0]! : { all: parts };
}

function sharedName(derived: string): string {
  return derived === 'thread-left' ? derived : 'share';
}

function oddsAndLooks(rubric: Rubric, demo: Assessment): BenchLine[] {
  const assessment = many(demo, 60);
  const options = { seed: 1, draws: 2000 };
  // Facts and prices do not depend on the draws: they are there before anything is timed.
  const job = prepare(rubric, assessment, options);
  const cases = job.parts.flatMap(({ groups }) => groups);
  const evidence = cases.flatMap(({ component, facts, c }) =>
    evidenceOf(component, c.compiled, [{ facts }], job.circumstances),
  );
  const ours = () => {
    const rustiness = rustinessOf(rubric, evidence, options.seed, options.draws);
    const columns = columnsOf(options.draws);
    const again = cases.map((prepared): Prepared => {
      const { component, c, facts } = prepared;
      const drawn = drawComponent(c.compiled, facts, job.tables, {
        seed: options.seed,
        component: component.id,
        rustiness: rustiness.drawsOf(component.area ?? null),
        columns,
        coverOf: () => null,
      });
      return { ...prepared, drawn, outlook: outlooksOf(c, facts, drawn) };
    });
    const odds = again.map((prepared) => oddsOf(prepared.c, prepared.drawn, job.sliders));
    const worths = again.flatMap((prepared) => looksOf(prepared, job.sliders, job.tables, new Set()));
    return { again, odds, looks: nextLooks(worths, 30, job.sliders, job.tables) };
  };
  const names = ours().again.flatMap(({ drawn }) => drawn.streams);
  // The rustiness of the car and of each area is drawn once.
  names.push('rustiness', ...new Set(assessment.components.flatMap(({ area }) => (area ? [`rustiness|${area}`] : []))));
  const numbers = new Uint32Array(options.draws);
  const bare = () => {
    for (const name of names) fillStream(numbers, options.seed, name);
  };
  const { ratio } = ratioOf(ours, bare, 120);
  return [
    atMost(
      'draws, odds and looks of 60 components over 2,000 draws, times the bare random numbers',
      ratio,
      8,
      `${names.length} streams`,
    ),
  ];
}

function slider(rubric: Rubric, demo: Assessment): BenchLine[] {
  const job = prepare(rubric, many(demo, 540), { seed: 1 });
  const first = job.parts[0]!.component.id;
  const setting = (k: number) => ({ own: 5 + k / 10, priceFactors: new Map([[first, 1 + k / 100]]) });
  for (let k = 0; k < 300; k++) readd(job, setting(k));
  const again = Array.from({ length: 300 }, (_, k) => timeOf(() => readd(job, setting(k))));
  const odds = Array.from({ length: 15 }, (_, k) => timeOf(() => reweigh(job, setting(k))));
  const scored = timeOf(() => score(rubric, job.assessment, { seed: 1 }));
  const per500 = 500 / job.parts.length;
  // The least time, as in the ratios; the middle one says how busy the machine is.
  const least = (times: readonly number[]) => Math.min(...times) * per500;
  return [
    atMost(
      'adding up 500 components again for a slider, ms',
      least(again),
      2,
      `middle ${(median(again) * per500).toFixed(1)}; judging all anew: ${(scored / median(again)).toFixed(0)} times`,
    ),
    atMost('odds of 500 components for a slider, ms', least(odds), 200, `middle ${(median(odds) * per500).toFixed(0)}`),
  ];
}

/** Memory that a judged assessment of 10,000 components holds, with all that was made for it, MB. */
function memory(rubric: Rubric, demo: Assessment): BenchLine {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  const held = () => {
    // Buffers are freed beside the program; the second turn waits until those of the first are.
    collect();
    collect();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    return heapUsed + arrayBuffers;
  };
  const assessment = many(demo, 10_000);
  const before = held();
  const out = score(rubric, assessment, { seed: 1, minutes: 60 });
  const after = held();
  if (out.components.length < 9_000) throw new Error('Cannot measure memory: components are missing');
  return atMost('memory of 10,000 judged components, MB', (after - before) / 1e6, 200);
}
