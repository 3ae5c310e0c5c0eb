import { ASSESSMENT_FORMAT, type Assembly, type Assessment, type Rubric } from '../../shared/index.ts';

/** Assemblies of a rubric with those that a whole one includes, each once. */
export function assemblyParts(rubric: Rubric, id: string): Assembly[] | null {
  const one = rubric.assemblies.find((assembly) => assembly.id === id);
  if (!one) return null;
  const inner = (one.includes ?? []).flatMap((included) => assemblyParts(rubric, included) ?? []);
  return [...new Map([one, ...inner].map((assembly) => [assembly.id, assembly] as const)).values()];
}

/**
 * A blank checklist of an assembly.
 *
 * @param today ISO date
 * @returns null when the rubric has no such assembly
 */
export function newAssessment(rubric: Rubric, assembly: string, today: string): Assessment | null {
  const parts = assemblyParts(rubric, assembly);
  if (!parts) return null;
  const areas = new Map(parts.flatMap((part) => part.areas).map((area) => [area.id, area] as const));
  return {
    format: ASSESSMENT_FORMAT,
    id: `my-${assembly}`,
    name: parts[0]!.name,
    date: today,
    purpose: 'scope',
    wantedFinish: 'smart',
    horizonYears: 10,
    atmosphere: 'C3',
    ruleBook: 'none',
    units: 'mm',
    currency: rubric.prices.base,
    rates: { own: Math.round(rubric.prices.ownRate.value), labour: 'own' },
    areas: [...areas.values()],
    components: parts
      .flatMap((part) => part.components)
      .map((component) => ({ ...component, stage: 'fitted' as const, observations: [] })),
  };
}
