import { z } from 'zod';
import { Assessment } from './assessment.ts';
import { Kind } from './kind.ts';
import { PhotoMeasurement } from './photo.ts';
import { PlanOut } from './plan.ts';
import { Rubric } from './rubric.ts';
import { ScoreOut } from './verdict.ts';

/** The contracts that other programs may want to check against, by name. */
export const CONTRACTS = {
  assessment: Assessment,
  kind: Kind,
  rubric: Rubric,
  score: ScoreOut,
  plan: PlanOut,
  photo: PhotoMeasurement,
} as const;
export type ContractName = keyof typeof CONTRACTS;

/** Name of the schema file that stands beside an assessment and that its `$schema` points to. */
export const ASSESSMENT_SCHEMA_FILE = 'assessment.schema.json';

/**
 * JSON Schema (draft 2020-12) of a contract, as files hold it before defaults are filled in. Rules that JSON Schema cannot
 * say (exactly one of `value`, `split` and `none`; low <= usual <= high) are left to the program.
 */
export function jsonSchemaOf(name: ContractName): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(CONTRACTS[name], { unrepresentable: 'any', io: 'input', reused: 'ref' });
  return { $schema, $id: `urn:keepworthy:${name}:1`, ...rest };
}
