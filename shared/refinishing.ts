import { z } from 'zod';
import { From } from './from.ts';
import { Id, Probability, Text, ThreePoint } from './units.ts';
import { Harm, Material, Method, Stage, WantedFinish } from './words.ts';

/** What costs money in an operation without ending the route. */
export const OperationEvent = z.strictObject({
  id: Id,
  text: Text,
  probability: Probability,
  hours: ThreePoint,
  money: ThreePoint,
  from: From,
});

/** One operation of refinishing. */
export const Operation = z.strictObject({
  id: Id,
  name: Text,
  /** Outside process that does it (an id of `charges.yaml`); done in one's own shop when left out. */
  process: Id.optional(),
  /** Own hours a piece and a dm2. */
  hoursPerPiece: ThreePoint.optional(),
  hoursPerDm2: ThreePoint.optional(),
  /** Consumables in base currency a piece and a dm2. */
  moneyPerPiece: ThreePoint.optional(),
  moneyPerDm2: ThreePoint.optional(),
  /** What the part meets: `heat` with `heatC` and minutes, `thickness` with `addsUm`. */
  meets: z.array(Harm),
  heatC: z.number().min(0).max(1200).optional(),
  heatMinutes: z.number().min(0).max(3000).optional(),
  addsUm: z.number().min(0).max(2000).optional(),
  /** Materials it works on; all when left out. */
  takes: z.array(Material).optional(),
  /** What sits in the part is pressed or taken out before (and back or new after). */
  takesOutInsides: z.boolean().optional(),
  events: z.array(OperationEvent).optional(),
  consumables: z.array(Text).optional(),
  tools: z.array(Text).optional(),
  cautions: z.array(Id).optional(),
  from: From,
});
export type Operation = z.infer<typeof Operation>;

/** A hold point: work stops until the looks of this stage have passed. */
export const HoldStep = z.strictObject({
  hold: Stage,
  /** Strongest method used there; a check that needs a crack test is only known at a hold that has one. */
  by: Method,
  name: Text,
});

/** An ordered list of operations with hold points. */
export const Route = z.strictObject({
  id: Id,
  name: Text,
  /** Best finish it reaches. */
  reaches: WantedFinish,
  /** Life of the finish as first zinc or paint system, words. */
  about: Text,
  steps: z.array(z.union([z.strictObject({ do: Id }), HoldStep])).min(1),
  from: From,
});
export type Route = z.infer<typeof Route>;
