import { z } from 'zod';
import { From } from './from.ts';
import { Id, Probability, Text, ThreePoint } from './units.ts';
import { SupplyType } from './words.ts';

/** A way to replace. Prices are for one piece in the rubric's base currency. */
export const Supply = z.strictObject({
  id: Id,
  type: SupplyType,
  price: ThreePoint,
  leadDays: ThreePoint,
  /** Chance that it does not fit or is not as described. */
  misfit: Probability,
  /** Kinds of component that come with it. */
  includes: z.array(Id).optional(),
  /** Hours that this one takes beyond putting the old one back: cutting out and welding in, drilling, painting. */
  fittingHours: ThreePoint.optional(),
  /** Who sells it, when that is known; the shopping list is grouped by it. */
  supplier: z.string().min(1).max(80).optional(),
  note: Text.optional(),
  from: From,
});
export type Supply = z.infer<typeof Supply>;
