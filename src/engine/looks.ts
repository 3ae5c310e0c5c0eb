import { type Look, STAGES } from '../../shared/index.ts';
import type { Prepared } from './component-case.ts';
import { costingOf, costsIn, isRefused, leftBy, type Sliders } from './decide.ts';
import type { Drawn } from './draws.ts';
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

/**
 * The looks possible now at a component that is not fully known, each with its value.
 *
 * @param mateChecks checks that are due because a part it runs against is replaced
 * @param isSettled no answer changes what is done with it
 */
export function looksOf(
  prepared: Prepared,
  sliders: Sliders,
  tables: Tables,
  mateChecks: ReadonlySet<string>,
  isSettled = false,
): Worth[] {
  const { c, facts, component } = prepared;
  const { kind } = c.compiled;
  const now = STAGES.indexOf(component.stage);
  const classes = costClasses(prepared, sliders);
  const { clear } = classes;
  const hangs = Math.max(...clear) - Math.min(...clear);
  const { states } = prepared.outlook(sliders.finish);
  // What is replaced whatever else is found needs no further look for its own sake.
  const isDecided = isSettled || states.some(({ barring, state }) => state === 'fired' && barring.barsRefinish);
  const open = new Set(
    isDecided ? [] : states.flatMap(({ barring, state }) => (state === 'open' ? barring.condition.variables : [])),
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
    const { value } = matters ? answerValue(prepared, [variable], classes, tables) : { value: 0 };
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

/** What the options cost in the draws: sets of effects that leave the same are one class. */
interface CostClasses {
  /** Class of each set of effects that the draws have. */
  classOf: readonly number[];
  /** Cost of each option that is not refused, one list a class. */
  costs: readonly (readonly number[])[];
  /** The same when nothing bars them. */
  clear: readonly number[];
}

function costClasses({ c, drawn }: Prepared, sliders: Sliders): CostClasses {
  const { finish } = sliders;
  const costing = costingOf(c, sliders);
  const options = c.options.map((_, i) => i).filter((i) => !isRefused(c.options[i]!, finish));
  const refinish = c.compiled.refinishBits[finish]!;
  const places = new Map<number, number>();
  const costs: number[][] = [];
  const classOf = drawn.effects.map((effect) => {
    // What bars refinishing says at which hold point it ends; of the rest only whether reuse is barred counts.
    const key = leftBy(c, effect, finish) === 0 ? -1 : effect & refinish;
    let place = places.get(key);
    if (place === undefined) {
      const all = costsIn(c, costing, effect, finish);
      place = costs.push(options.map((i) => all[i]!)) - 1;
      places.set(key, place);
    }
    return place;
  });
  return { classOf, costs, clear: options.map((i) => costing.lines[i]!) };
}

function answerValue(
  prepared: Prepared,
  variables: readonly number[],
  { classOf, costs }: CostClasses,
  tables: Tables,
): { value: number } {
  const { drawn, c } = prepared;
  const columns = variables.map((v) => drawn.valuesOf(v));
  const radix = variables.map((v) => c.compiled.variables[v]!.size);
  const effects = drawn.effects.length;
  const cells: { group: number; count: number; costs: readonly number[] }[] = [];
  let groups = 0;
  let answer = -1;
  let own: (typeof cells)[number][] = [];
  for (const [key, count] of countsOf(columns, radix, drawn)) {
    const now = Math.floor(key / effects);
    if (now !== answer) {
      answer = now;
      own = [];
      groups++;
    }
    const place = classOf[key % effects]!;
    const cell = own[place];
    if (cell) cell.count += count;
    else {
      own[place] = { group: groups - 1, count, costs: costs[place]! };
      cells.push(own[place]);
    }
  }
  return valueOfAnswer(cells, groups, tables.rubric.settings.smallestGroup.value);
}

// Answers of a set of looks counted in a plain table up to this size.
const MOST_KEYS = 65_536;

/** How many draws have each answer together with each set of effects, in order of answer; the key is answer x effects + effect. */
function countsOf(columns: readonly Uint8Array[], radix: readonly number[], drawn: Drawn): [number, number][] {
  const effects = drawn.effects.length;
  const { effectOf } = drawn;
  const keys = radix.reduce((all, size) => all * size, effects);
  const table = keys <= MOST_KEYS ? new Uint32Array(keys) : null;
  const map = new Map<number, number>();
  if (table && columns.length === 1) {
    const column = columns[0]!;
    for (let d = 0; d < column.length; d++) table[column[d]! * effects + effectOf[d]!]!++;
    return filled(table);
  }
  for (let d = 0; d < drawn.draws; d++) {
    let key = 0;
    for (let i = 0; i < columns.length; i++) key = key * radix[i]! + columns[i]![d]!;
    key = key * effects + effectOf[d]!;
    if (table) table[key]!++;
    else map.set(key, (map.get(key) ?? 0) + 1);
  }
  return table ? filled(table) : [...map].sort((a, b) => a[0] - b[0]);
}

function filled(table: Uint32Array): [number, number][] {
  const out: [number, number][] = [];
  for (let key = 0; key < table.length; key++) if (table[key]! > 0) out.push([key, table[key]!]);
  return out;
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
  const byComponent = new Map<Prepared, number>();
  for (const [i, { prepared }] of candidates.entries())
    byComponent.set(prepared, (byComponent.get(prepared) ?? 0) | (1 << i));
  const own = [...byComponent].map(([prepared, mask]) => ({ prepared, mask, worth: new Map<number, number>() }));
  const worthOf = (set: number): number => {
    let sum = 0;
    for (const { prepared, mask, worth } of own) {
      const part = set & mask;
      if (part === 0) continue;
      let value = worth.get(part);
      if (value === undefined) {
        value = worthTogether(
          prepared,
          candidates.filter((_, i) => part & (1 << i)),
          sliders,
          tables,
        );
        worth.set(part, value);
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

/** Worth of knowing several answers of one component together. */
function worthTogether(prepared: Prepared, looks: readonly Worth[], sliders: Sliders, tables: Tables): number {
  if (looks.length === 1) return looks[0]!.look.value;
  return answerValue(
    prepared,
    looks.map(({ variable }) => variable),
    costClasses(prepared, sliders),
    tables,
  ).value;
}

function compareIds(a: Look, b: Look): number {
  const x = `${a.component}|${a.check}`;
  const y = `${b.component}|${b.check}`;
  return x < y ? -1 : x > y ? 1 : 0;
}
