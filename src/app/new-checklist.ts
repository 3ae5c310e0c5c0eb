import type { Assessment, Rubric } from '../../shared/index.ts';
import { ASSESSMENT_SCHEMA_FILE } from '../../shared/json-schema.ts';
import { newAssessment } from './store-new.ts';

/**
 * A blank checklist of an assembly, with an empty list of answers under every part.
 *
 * @param today ISO date
 * @returns null when the rubric has no such assembly
 */
export function newChecklist(rubric: Rubric, assembly: string, today: string): Assessment | null {
  const { name } = rubric.assemblies.find((one) => one.id === assembly) ?? {};
  if (name === undefined) return null;
  const blank = newAssessment({ id: `my-${assembly}`, name, assembly }, rubric, today);
  return {
    $schema: ASSESSMENT_SCHEMA_FILE,
    ...blank,
    components: blank.components.map((component) => ({ ...component, observations: [] })),
  };
}
