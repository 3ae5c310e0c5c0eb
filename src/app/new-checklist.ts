import type { Assessment, Rubric } from '../../shared/index.ts';
import { newAssessment } from './store-new.ts';

// A checklist on paper is often for a longer job than one begun on the phone; rates are printed so that they get changed.
const HORIZON_YEARS = 10;

/**
 * A blank checklist of an assembly, with an empty list of answers under every part.
 *
 * @param today ISO date
 * @returns null when the rubric has no such assembly
 */
export function newChecklist(rubric: Rubric, assembly: string, today: string): Assessment | null {
  const { name } = rubric.assemblies.find((one) => one.id === assembly) ?? {};
  if (name === undefined) return null;
  const rates = { own: Math.round(rubric.prices.ownRate.value), labour: 'own' as const };
  const blank = newAssessment(
    { id: `my-${assembly}`, name, assembly, fields: { horizonYears: HORIZON_YEARS, rates } },
    rubric,
    today,
  );
  return { ...blank, components: blank.components.map((component) => ({ ...component, observations: [] })) };
}
