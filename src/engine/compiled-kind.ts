import type { Check, Kind, KnockOut, WantedFinish } from '../../shared/index.ts';
import { STAGES, WANTED_FINISHES } from '../../shared/index.ts';
import { type Compiled, compile, compileValues } from './conditions.ts';
import { type Variable, variablesOf } from './variables.ts';

/** A rule that bars something: a knock-out, or a check past its limit. */
export interface Barring {
  /** `KIND.RULE` or `KIND.CHECK.limit`. */
  rule: string;
  knockOut: KnockOut | null;
  /** The check whose limit it is, when it is one. */
  limited: Check | null;
  barsRefinish: boolean;
  /** Finish for which the limit holds (0 serviceable, 1 smart, 2 show), or -1 for all. */
  finish: number;
  condition: Compiled;
  /** Bit in a component's effect; rules that bar the same at the same hold share one. */
  bit: number;
}

/** Rules grouped by what they bar, for which finish, and from which hold on they are known. */
export interface EffectGroup {
  barsRefinish: boolean;
  finish: number;
  /** Index of the stage from which it is known. */
  stage: number;
  needsCrackTest: boolean;
}

/** A kind with its rules ready to be asked. */
export interface CompiledKind {
  kind: Kind;
  variables: Variable[];
  indexOfCheck: ReadonlyMap<string, number>;
  barrings: Barring[];
  groups: EffectGroup[];
  /** Effect bits that bar reuse (refinishing), by wanted finish. */
  reuseBits: readonly number[];
  refinishBits: readonly number[];
  /** Sets of variables that rules tie together; every variable a rule reads stands in exactly one. */
  clusters: { variables: number[]; barrings: Barring[] }[];
  alwaysNew: Compiled | true | null;
  mustNotMeet: (Compiled | null)[];
  roadworthiness: Compiled[];
  /** Conditions of the growths, null where there is none. */
  growthWhen: (Compiled | null)[];
}

// Effects are kept in one 32-bit integer; past this the last group takes the rest, which can only bar sooner known as later.
const MOST_GROUPS = 30;

/** Makes a kind's rules ready; done once a kind. */
export function compileKind(kind: Kind): CompiledKind {
  const variables = variablesOf(kind);
  const indexOfCheck = new Map(kind.checks.map((check, i) => [check.id, i] as const));
  const groups: EffectGroup[] = [];
  const barrings = barringsOf(kind, variables, groups);
  const bits = (refinish: boolean) =>
    WANTED_FINISHES.map((_, finish) =>
      groups.reduce(
        (all, group, bit) =>
          (group.finish === -1 || group.finish === finish) && (!refinish || group.barsRefinish)
            ? all | (1 << bit)
            : all,
        0,
      ),
    );
  return {
    kind,
    variables,
    indexOfCheck,
    barrings,
    groups,
    reuseBits: bits(false),
    refinishBits: bits(true),
    clusters: clustersOf(barrings),
    alwaysNew: kind.alwaysNew
      ? kind.alwaysNew.when === true
        ? true
        : compile(kind.alwaysNew.when, kind, variables)
      : null,
    mustNotMeet: kind.mustNotMeet.map((harm) => (harm.when ? compile(harm.when, kind, variables) : null)),
    roadworthiness: (kind.roadworthiness ?? []).map((note) => compile(note.when, kind, variables)),
    growthWhen: (kind.growth ?? []).map((growth) => (growth.when ? compile(growth.when, kind, variables) : null)),
  };
}

function barringsOf(kind: Kind, variables: readonly Variable[], groups: EffectGroup[]): Barring[] {
  const knockOuts = kind.knockOuts.map((knockOut): Barring => {
    const { id, bars, when } = knockOut;
    const barsRefinish = bars === 'reuse-and-refinish';
    const condition = compile(when, kind, variables);
    const bit = bitOf(condition, barsRefinish, -1, variables, groups);
    return { rule: `${kind.id}.${id}`, knockOut, limited: null, barsRefinish, finish: -1, condition, bit };
  });
  const limits = kind.checks.flatMap((check, index) =>
    limitsOf(check).flatMap(([finish, most]): Barring[] => {
      const variable = variables[index]!;
      if (!variable.grades.some((grade) => grade > most)) return [];
      const barsRefinish = check.restoredBy === 'nothing';
      const condition = overLimit(index, variable, most);
      const bit = bitOf(condition, barsRefinish, finish, variables, groups);
      const rule = `${kind.id}.${check.id}.limit`;
      return [{ rule, knockOut: null, limited: check, barsRefinish, finish, condition, bit }];
    }),
  );
  return [...knockOuts, ...limits];
}

/** Limits of a check, each with the finish that it is for, -1 for all. */
function limitsOf({ limit }: Check): [number, number][] {
  if (limit === undefined) return [];
  return typeof limit === 'number' ? [[-1, limit]] : WANTED_FINISHES.map((finish, f) => [f, limit[finish]]);
}

/** Limit of a check in grades for a finish, or null. */
export function limitFor(check: Check, finish: WantedFinish): number | null {
  if (check.limit === undefined) return null;
  return typeof check.limit === 'number' ? check.limit : check.limit[finish];
}

function overLimit(index: number, variable: Variable, most: number): Compiled {
  const { answer } = variable.check!;
  let over = 0;
  variable.grades.forEach((grade, k) => {
    if (grade > most) over |= 1 << k;
  });
  if (answer.type !== 'measure') return compileValues(index, over, null);
  // Grade `n` begins at `grades[n - 1]`, and the first one past the limit is the next whole one.
  const start = answer.grades[Math.floor(most)];
  if (start === undefined) return compileValues(index, over, { below: Number.NEGATIVE_INFINITY });
  const isRising = answer.grades[4]! >= answer.grades[0]!;
  return compileValues(index, over, isRising ? { atLeast: start } : { atMost: start });
}

function bitOf(
  condition: Compiled,
  barsRefinish: boolean,
  finish: number,
  variables: readonly Variable[],
  groups: EffectGroup[],
): number {
  const checks = condition.variables.flatMap((v) => variables[v]!.check ?? []);
  const stage = Math.max(0, ...checks.map((check) => STAGES.indexOf(check.finalStage)));
  const needsCrackTest = checks.some((check) => check.method === 'crack-test');
  const found = groups.findIndex(
    (g) =>
      g.barsRefinish === barsRefinish &&
      g.finish === finish &&
      g.stage === stage &&
      g.needsCrackTest === needsCrackTest,
  );
  if (found >= 0) return found;
  if (groups.length >= MOST_GROUPS) return MOST_GROUPS - 1;
  groups.push({ barsRefinish, finish, stage, needsCrackTest });
  return groups.length - 1;
}

function clustersOf(barrings: readonly Barring[]): CompiledKind['clusters'] {
  const clusters: CompiledKind['clusters'] = [];
  for (const barring of barrings) {
    const touching = clusters.filter((c) => c.variables.some((v) => barring.condition.variables.includes(v)));
    const merged = {
      variables: [...new Set([...touching.flatMap((c) => c.variables), ...barring.condition.variables])].sort(
        (a, b) => a - b,
      ),
      barrings: [...touching.flatMap((c) => c.barrings), barring],
    };
    for (const old of touching) clusters.splice(clusters.indexOf(old), 1);
    clusters.push(merged);
  }
  return clusters;
}
