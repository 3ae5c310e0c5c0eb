import { z } from 'zod';
import { From } from './from.ts';
import { Id, Text, ThreePoint } from './units.ts';

/** Hardware that is used once. */
export const Hardware = z.strictObject({
  id: Id,
  name: Text,
  because: Text,
  price: ThreePoint,
  finish: Text.optional(),
  /** What it is, so that a bolt that is bought by itself is not bought again with its joint. */
  is: z.enum(['bolt', 'nut', 'lock', 'washer', 'seal', 'boot', 'clip', 'grease']).optional(),
  /** Sold by this one (an id of `suppliers.yaml`) where it is not the fastener counter. */
  supplier: Id.optional(),
  from: From,
});
export type Hardware = z.infer<typeof Hardware>;
