import { type Look, STAGES } from '../../shared/index.ts';
import type { Prepared } from './component-case.ts';
import { costingOf, costsIn, isRefused, type Sliders } from './decide.ts';
import { bestLookSet, MOST_EXACT } from './look-set.ts';
import type { Tables } from './tables.ts';
import { valueOfAnswer } from './value-of-answer.ts';

/** A look with what choosing between looks needs. */
export interface Worth {
  look: Look;
  prepared: Prepared;
  variable: number;
  /** Chance that a rule it belongs to fires, times what hangs on it; orders compulsory looks. */
  weight: number;
}

/** The looks possible now at a component that is not fully known, each with its value. */
export function looksOf(
  prepared: Prepared,
  sliders: Sliders,
  tables: Tables,
  mateChecks: ReadonlySet<string>,
): Worth[] {
  const { c, facts, component } = prepared;
  const { kind } = c.compiled;
  const now = STAGES.indexOf(component.stage);
  const { costs, clear } = costsByEffect(prepared, sliders);
  const hangs = Math.max(...clear) - Math.min(...clear);
  const { states } = prepared.outlook(sliders.finish);
  // What is replaced whatever else is found needs no further look for its own sake.
  const isCondemned = states.some(({ barring, state }) => state === 'fired' && barring.barsRefinish);
  const open = new Set(
    isCondemned ? [] : states.flatMap(({ barring, state }) => (state === 'open' ? barring.condition.variables : [])),
  );
  return kind.checks.flatMap((check, variable): Worth[] => {
    const fact = facts.facts[variable]!;
    if (fact.state === 'final' || fact.state === 'not-applicable' || STAGES.indexOf(check.earliestStage) > now)
      return [];
    if (fact.stage !== null && STAGES.indexOf(fact.stage) >= now) return [];
    if (fact.notes.includes('Could not be looked at')) return [];
    const isMate = mateChecks.has(check.id);
    const compulsory = (check.compulsory !== undefined && open.has(variable)) || isMate;
    const matters = open.has(variable);
    if (!matters && !compulsory) return [];
    const { value } = matters ? answerValue(prepared, [variable], costs, tables) : { value: 0 };
    const firing = matters ? firingChance(prepared, variable) : 0;
    return [
      {
        look: {
          check: check.id,
          component: component.id,
          ask: check.ask,
          minutes: check.minutes,
          value: Math.round(value * 100) / 100,
          compulsory,
          why: isMate
            ? 'It runs against a part that is to be replaced'
            : (check.compulsory ?? 'The answer can change what is done with the part'),
          stage: component.stage,
          setup: check.setup ?? null,
        },
        prepared,
        variable,
        weight: (firing * hangs) / check.minutes,
      },
    ];
  });
}

/** Cost of each option that is not refused: for every set of effects that the draws have, and when nothing bars it. */
function costsByEffect({ c, drawn }: Prepared, sliders: Sliders): { costs: number[][]; clear: number[] } {
  const costing = costingOf(c, sliders);
  const options = c.options.map((_, i) => i).filter((i) => !isRefused(c.options[i]!, sliders.finish));
  return {
    costs: drawn.effects.map((effect) => {
      const all = costsIn(c, costing, effect, sliders.finish);
      return options.map((i) => all[i]!);
    }),
    clear: options.map((i) => costing.lines[i]!),
  };
}

function answerValue(
  prepared: Prepared,
  variables: readonly number[],
  costs: readonly (readonly number[])[],
  tables: Tables,
): { value: number } {
  const { drawn, c } = prepared;
  const columns = variables.map((v) => drawn.valuesOf(v));
  const radix = variables.map((v) => c.compiled.variables[v]!.size);
  const effects = drawn.effects.length;
  const counts = new Map<number, number>();
  for (let d = 0; d < drawn.draws; d++) {
    let group = 0;
    for (let i = 0; i < columns.length; i++) group = group * radix[i]! + columns[i]![d]!;
    const key = group * effects + drawn.effectOf[d]!;
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  const groups = [...new Set([...counts.keys()].map((key) => Math.floor(key / effects)))].sort((a, b) => a - b);
  const rank = new Map(groups.map((group, k) => [group, k] as const));
  const cells = [...counts].map(([key, count]) => ({
    group: rank.get(Math.floor(key / effects))!,
    count,
    costs: costs[key % effects]!,
  }));
  return valueOfAnswer(cells, groups.length, tables.rubric.settings.smallestGroup.value);
}

function firingChance(prepared: Prepared, variable: number): number {
  const { c, drawn } = prepared;
  const bits = c.compiled.barrings
    .filter((b) => b.knockOut && b.condition.variables.includes(variable))
    .reduce((all, b) => all | (1 << b.bit), 0);
  return drawn.effects.reduce((sum, effect, k) => sum + (effect & bits ? drawn.counts[k]! : 0), 0) / drawn.draws;
}

/**
 * The looks to take next: compulsory ones first, by chance of firing times what hangs on it per minute, then the set worth
 * most for its minutes. What is compulsory and does not fit is named, never dropped.
 */
export function nextLooks(
  all: readonly Worth[],
  minutes: number,
  sliders: Sliders,
  tables: Tables,
): { looks: Look[]; left: Look[] } {
  const setups = tables.rubric.charges.setups;
  const index = (look: Look) => setups.findIndex((setup) => setup.id === look.setup);
  const looks: Look[] = [];
  const left: Look[] = [];
  const paid = new Set<number>();
  let spent = 0;
  const compulsory = all
    .filter((w) => w.look.compulsory)
    .sort((a, b) => b.weight - a.weight || compareIds(a.look, b.look));
  for (const { look } of compulsory) {
    const setup = index(look);
    const needed = look.minutes + (setup >= 0 && !paid.has(setup) ? setups[setup]!.minutes : 0);
    if (spent + needed > minutes) {
      left.push(look);
      continue;
    }
    spent += needed;
    if (setup >= 0) paid.add(setup);
    looks.push(look);
  }
  const minuteRate = sliders.hourRate / 60;
  const perMinute = (w: Worth) => (w.look.value - w.look.minutes * minuteRate) / w.look.minutes;
  const rest = all
    .filter((w) => !w.look.compulsory && w.look.value > 0)
    .sort((a, b) => perMinute(b) - perMinute(a) || compareIds(a.look, b.look));
  const candidates = rest.slice(0, MOST_EXACT);
  const setupMinutes = setups.map((setup, i) => (paid.has(i) ? 0 : setup.minutes));
  const byComponent = new Map<Prepared, number[]>();
  for (const [i, w] of candidates.entries()) byComponent.set(w.prepared, [...(byComponent.get(w.prepared) ?? []), i]);
  const memo = new Map<string, number>();
  const worthOf = (set: number): number => {
    let sum = 0;
    for (const [prepared, members] of byComponent) {
      const own = members.filter((i) => set & (1 << i));
      if (own.length === 0) continue;
      const key = own.join(',');
      let value = memo.get(key);
      if (value === undefined) {
        value =
          own.length === 1
            ? candidates[own[0]!]!.look.value
            : answerValue(
                prepared,
                own.map((i) => candidates[i]!.variable),
                costsByEffect(prepared, sliders).costs,
                tables,
              ).value;
        memo.set(key, value);
      }
      sum += value;
    }
    return sum;
  };
  const forms = candidates.map((w) => ({ minutes: w.look.minutes, setup: index(w.look) }));
  const { set } = bestLookSet(forms, setupMinutes, minutes - spent, worthOf, minuteRate);
  candidates.forEach((w, i) => {
    if (set & (1 << i)) looks.push(w.look);
  });
  return { looks, left };
}

function compareIds(a: Look, b: Look): number {
  const x = `${a.component}|${a.check}`;
  const y = `${b.component}|${b.check}`;
  return x < y ? -1 : x > y ? 1 : 0;
}
