import { z } from 'zod';
import { Id } from './units.ts';

/**
 * A condition over answers and facts, three-valued (Kleene) while answers are missing. Comparisons:
 * `check` with `atLeast` / `atMost` (grade 0 to 5 or the measure's unit), `above` / `below`, `is` (choice);
 * `derived` (a derived fact of the kind) with the same; `property` (of the component) with `is`, `above`, `below`.
 */
export type Condition =
  | { all: Condition[] }
  | { any: Condition[] }
  | { not: Condition }
  | { check: string; atLeast?: number; atMost?: number; above?: number; below?: number; is?: string | string[] }
  | { derived: string; atLeast?: number; atMost?: number; above?: number; below?: number }
  | {
      property: string;
      is?: string | number | (string | number)[];
      atLeast?: number;
      atMost?: number;
      above?: number;
      below?: number;
    };

const compare = {
  atLeast: z.number().optional(),
  atMost: z.number().optional(),
  above: z.number().optional(),
  below: z.number().optional(),
};

/** See the type of the same name. */
export const Condition: z.ZodType<Condition> = z.lazy(() =>
  z.union([
    z.strictObject({ all: z.array(Condition).min(1) }),
    z.strictObject({ any: z.array(Condition).min(1) }),
    z.strictObject({ not: Condition }),
    z.strictObject({ check: Id, ...compare, is: z.union([Id, z.array(Id).min(1)]).optional() }),
    z.strictObject({ derived: Id, ...compare }),
    z.strictObject({
      property: z.string().min(1).max(60),
      ...compare,
      is: z.union([z.string(), z.number(), z.array(z.union([z.string(), z.number()])).min(1)]).optional(),
    }),
  ]),
) as z.ZodType<Condition>;
