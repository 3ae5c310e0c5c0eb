import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { ASSESSMENT_FORMAT, type Assessment, type Component, type Rubric, type ScoreOut } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { readRubric } from '../../src/adapters/files/read-rubric.ts';
import { checkAssessment } from '../../src/engine/check-assessment.ts';

const at = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
export const TODAY = '2026-11-25';

/** The project's own rubric, read and checked. */
export const rubric: Rubric = await readRubric(at('rubric'));

/** A checked assessment of some components; anything else can be set. */
export function assessmentOf(components: Component[], rest: Partial<Assessment> = {}): Assessment {
  return checkedAssessment({
    format: ASSESSMENT_FORMAT,
    id: 'test',
    name: 'Test',
    date: TODAY,
    purpose: 'scope',
    wantedFinish: 'serviceable',
    horizonYears: 3,
    atmosphere: 'C2',
    ruleBook: 'none',
    units: 'mm',
    currency: 'EUR',
    rates: { own: 15, labour: 'own' },
    areas: [{ id: 'front', name: 'Front' }],
    components,
    ...rest,
  });
}

export function checkedAssessment(raw: unknown): Assessment {
  const result = checkAssessment(raw, rubric, { today: TODAY });
  if (result.faults) throw new Error(JSON.stringify(result.faults));
  return result.assessment;
}

export const demo = (): Assessment =>
  checkedAssessment(valueRead(parseDocumentText(readFileSync(at('demo-data/corner.yaml'), 'utf8'), 'corner.yaml')));

export function byId(score: ScoreOut, id: string) {
  const found = score.components.find((component) => component.id === id);
  if (!found) throw new Error(`no component ${id}`);
  return found;
}
