import type { Assessment, Growth, YearsLeft } from '../../shared/index.ts';
import { ln, yearsUntil } from '../standards/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import type { Facts } from './facts.ts';
import { ask, FALSE } from './program.ts';

// Past this a figure says nothing more.
export const MOST_YEARS = 100;

/** Years until the limit, worst and best, for one loss. */
function yearsFor(growth: Growth, lossUm: number, assessment: Assessment): [number, number] {
  if (lossUm >= growth.limitUm) return [0, 0];
  const { limitUm, factor, metal } = growth;
  const [low, high] = yearsUntil({ lossNowUm: lossUm, limitUm, factor, category: assessment.atmosphere, metal });
  return [Math.min(MOST_YEARS, low), Math.min(MOST_YEARS, high ?? MOST_YEARS)];
}

/** Years until the first limit is reached, and the growth that reaches it. */
export interface LeftAlone {
  years: YearsLeft;
  growth: Growth;
}

function lossOf(growth: Growth, compiled: CompiledKind, variable: number, value: number): number {
  if (growth.lossUm) return growth.lossUm[Math.round(compiled.variables[variable]!.grades[value]!)]!;
  return compiled.variables[variable]!.figures[value]! * 1000;
}

/**
 * Years until damage reaches its limit if the part is left as it is, and the chance that it does so within the horizon
 * when it may go back as it is.
 *
 * Between the fast and the slow end the time is taken as log-uniform. A growth with a condition counts where the
 * condition holds or is not known. Source: ISO 9223 Table 2, ISO 9224; the factor for crevices and mud traps is the
 * rubric's.
 *
 * @param shares share of the draws in which each listed value of a variable holds, of those in which nothing bars putting
 *   the part back: what bars it today is no failure to come, and is not paid for twice; all 0 when there are none
 */
export function yearsLeftOf(
  compiled: CompiledKind,
  facts: Facts,
  assessment: Assessment,
  shares: (variable: number) => readonly number[],
): { leftAlone: LeftAlone | null; failsLater: number } {
  let leftAlone: LeftAlone | null = null;
  let failsLater = 0;
  for (const [g, growth] of (compiled.kind.growth ?? []).entries()) {
    const variable = compiled.indexOfCheck.get(growth.check)!;
    const fact = facts.facts[variable]!;
    const when = compiled.growthWhen[g];
    if (fact.state === 'not-applicable' || (when && ask(when, facts.knowledge) === FALSE)) continue;
    const rangeOf = (value: number) => yearsFor(growth, lossOf(growth, compiled, variable, value), assessment);
    const measured =
      !Number.isNaN(fact.exact) && !growth.lossUm ? yearsFor(growth, fact.exact * 1000, assessment) : null;
    const values = compiled.variables[variable]!.figures.map((_, k) => k);
    const possible = measured ? [measured] : values.filter((k) => fact.possible & (1 << k)).map(rangeOf);
    const low = Math.min(...possible.map((range) => range[0]));
    const high = Math.max(...possible.map((range) => range[1]));
    if (!leftAlone || low < leftAlone.years.low)
      leftAlone = { years: { low, high, because: growth.because, check: growth.check }, growth };
    const chance = shares(variable).reduce(
      (sum, share, k) => sum + (share > 0 ? share * chanceWithin(assessment.horizonYears, measured ?? rangeOf(k)) : 0),
      0,
    );
    failsLater = Math.max(failsLater, chance);
  }
  return { leftAlone, failsLater };
}

function chanceWithin(horizon: number, [low, high]: [number, number]): number {
  if (high === 0 || horizon >= high) return 1;
  if (horizon <= low) return 0;
  if (low === 0) return horizon / high;
  return ln(horizon / low) / ln(high / low);
}
