import type { Assessment, Rubric, ScoreOut } from '../../shared/index.ts';
import { compareComponents, componentOut } from './component-out.ts';
import { looksOf, nextLooks, type Worth } from './looks.ts';
import { decideTogether, type Group } from './pairs.ts';
import { type PreparedJob, type PreparedPart, prepare, type ScoreOptions, SUMS_OF_OPTION } from './prepare.ts';
import { addSums, type Sums, totalOf } from './totals.ts';
import { judge } from './verdict.ts';

/**
 * Ranks every component of an assessment reuse, refinish or replace, says why, and prices it.
 *
 * Pure: the same rubric, assessment and seed give the same document. Both must have been checked before
 * (`checkRubric`, `checkAssessment`).
 *
 * @throws RangeError when the currency has no rate or an id is unknown, which a checked input never has
 */
export function score(rubric: Rubric, assessment: Assessment, options: ScoreOptions): ScoreOut {
  return scoreOf(prepare(rubric, assessment, options), options.minutes);
}

/** Verdicts of a prepared assessment, one for each group of each part, pairs and sets decided as one. */
export function judgeAll(job: PreparedJob): Group[][] {
  const { assessment, tables, sliders } = job;
  const rateName = assessment.rates.labour === 'shop' ? 'labour rate' : 'own time';
  const judged = job.parts.map(({ groups }) =>
    groups.map((prepared): Group => {
      return { prepared, judged: judge(prepared, sliders, assessment.currency, rateName, tables) };
    }),
  );
  for (const { parts, word } of job.together) {
    const decided = decideTogether(
      parts.flatMap((part) => judged[part]!),
      sliders,
      word,
    );
    for (const part of parts) judged[part] = decided.splice(0, judged[part]!.length);
  }
  return judged;
}

/**
 * The whole document of a prepared assessment: what `score` gives, without preparing again.
 *
 * @param minutes minutes there are for the next looks; no bound when left out
 * @param judged verdicts of the job, when they are at hand
 */
export function scoreOf(job: PreparedJob, minutes = Number.POSITIVE_INFINITY, judged = judgeAll(job)): ScoreOut {
  const { rubric, assessment, tables, sliders } = job;

  const worths: Worth[] = [];
  const mates = mateChecks(job.parts, judged);
  const components = job.parts.map((part, i) => {
    const own = judged[i]!.flatMap(({ prepared, judged: { verdict } }) =>
      looksOf(prepared, sliders, tables, mates.get(part.component.id) ?? new Set(), verdict.firmness === 'settled'),
    );
    const unique = [...new Map(own.map((w) => [w.look.check, w] as const)).values()];
    worths.push(...unique);
    return componentOut(part, judged[i]!, unique, sliders, tables, assessment.ruleBook);
  });
  components.sort(compareComponents);
  const { looks, left } = nextLooks(worths, minutes, sliders, tables);
  return {
    rubricVersion: rubric.version,
    seed: job.seed,
    assessment: {
      id: assessment.id,
      name: assessment.name,
      currency: assessment.currency,
      wantedFinish: assessment.wantedFinish,
      date: assessment.date,
    },
    components,
    alwaysNew: job.alwaysNew.map(({ out }) => out),
    nextLooks: looks,
    looksLeft: left,
    totals: totalsOf(
      job,
      judged.map((groups) => groups.map((group) => group.judged.chosen)),
    ),
    rustiness: job.rustiness.map((p) => Math.round(p * 1000) / 1000),
    notes: notesOf(components),
  };
}

/**
 * Money and hours of the whole job.
 *
 * @param chosen index of the option taken, for each group of each part; -1 spends nothing
 * @param factorOf factor on the prices of a component's supplies
 */
export function totalsOf(
  job: PreparedJob,
  chosen: readonly (readonly number[])[],
  factorOf: (component: string) => number = () => 1,
): ScoreOut['totals'] {
  const money: Sums = { mean: 0, deviation: 0, squares: 0 };
  const hours: Sums = { mean: 0, deviation: 0, squares: 0 };
  for (const { out, sums, isSupply } of job.alwaysNew) addSums(money, sums, 0, isSupply ? factorOf(out.component) : 1);
  for (const i of job.byId) {
    const { component, spent } = job.parts[i]!;
    const factor = factorOf(component.id);
    for (let g = 0; g < chosen[i]!.length; g++) {
      const option = chosen[i]![g]!;
      if (option < 0) continue;
      const sums = spent().byGroup[g]!;
      const at = SUMS_OF_OPTION * option;
      addSums(money, sums, at, 1);
      addSums(money, sums, at + 3, factor);
      addSums(hours, sums, at + 6, 1);
    }
  }
  const correlation = job.rubric.settings.correlation.value;
  return { money: totalOf(money, correlation), hours: totalOf(hours, correlation) };
}

/** Checks of other components that must be looked at because a part that runs against them is replaced. */
function mateChecks(
  parts: readonly PreparedPart[],
  judged: readonly (readonly Group[])[],
): ReadonlyMap<string, ReadonlySet<string>> {
  const kindOf = new Map(parts.map(({ component }) => [component.id, component.kind] as const));
  const out = new Map<string, Set<string>>();
  parts.forEach(({ component, groups }, i) => {
    if (!judged[i]!.some((group) => group.judged.verdict.action === 'replace')) return;
    for (const mate of groups[0]!.c.compiled.kind.mates ?? []) {
      for (const id of component.mates ?? []) {
        if (kindOf.get(id) === mate.kind) out.set(id, (out.get(id) ?? new Set()).add(mate.check));
      }
    }
  });
  return out;
}

function notesOf(components: readonly ScoreOut['components'][number][]): string[] {
  const notes = ['The sum of the likely values is not the likely sum: late lines and dear lines pull it up.'];
  const unseen = components.filter((c) => c.facts.every((fact) => fact.state === 'unknown'));
  if (unseen.length > 0) notes.push(`Not looked at: ${unseen.map((c) => c.name).join(', ')}.`);
  return notes;
}
