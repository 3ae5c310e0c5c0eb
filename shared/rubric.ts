import { z } from 'zod';
import { Assembly } from './assembly.ts';
import { Charges, Prices } from './charges.ts';
import { From } from './from.ts';
import { Hardware } from './hardware.ts';
import { Kind } from './kind.ts';
import { PlanningSettings } from './planning-settings.ts';
import { Operation, Route } from './refinishing.ts';
import { Consumable, ProcessTicket, Release, Supplier, Tool } from './release.ts';
import { DateText, Id, Probability, Text, ThreePoint, WebAddress } from './units.ts';
import { Stage } from './words.ts';

/** One entry of `sources.yaml`. */
export const Source = z.strictObject({
  id: Id,
  title: Text,
  /** Year or edition as printed. */
  edition: Text.optional(),
  address: WebAddress.optional(),
  /** When a person last looked at it. */
  checkedOn: DateText,
  /** `read`: the document or a stored copy was read; `quoted`: a page that quotes it; `memory`: known, not readable now. */
  seen: z.enum(['read', 'quoted', 'memory']),
  note: Text.optional(),
});
export type Source = z.infer<typeof Source>;

const Numbered = z.strictObject({ value: z.number(), because: Text, from: From });

/** `settings.yaml`: the numbers of the method itself. */
export const Settings = z.strictObject({
  name: Text,
  checkedOn: DateText,
  /** Number of joint draws for odds and looks. */
  draws: Numbered,
  /** A verdict leans when its odds, less two standard errors, are above this. */
  leaning: Numbered,
  /** Options within this fraction of the cheapest count as equal; the one that keeps more of the old part wins. */
  tie: Numbered,
  /** Fewest draws in a group of answers before it is merged with its neighbour. */
  smallestGroup: Numbered,
  /** A person's grade: chance that the true grade is the one given; the rest is shared by its neighbours. */
  graderOn: Numbered,
  /** Rustiness of the car: prior over the five steps, and how an area follows the car. */
  rustiness: z.strictObject({
    prior: z.array(Probability).length(5),
    follow: z.array(z.array(Probability).length(5)).length(5),
    because: Text,
    from: From,
  }),
  /** What it costs, as a multiple of the dearest known price of the kind, to get a part for which no supply is known. */
  noSupplyMultiple: Numbered,
  /** A part that nobody lists: the least its dearest price is taken for, before the multiple; days and chance of a misfit. */
  unlistedSupply: z.strictObject({
    price: ThreePoint,
    leadDays: ThreePoint,
    misfit: Probability,
    because: Text,
    from: From,
  }),
  /** Chance that a rule's condition on a property nobody has stated (class, alloy ...) holds. */
  unknownProperty: Numbered,
  /** Correlation between the costs of two parts of one job, for a total's range. */
  correlation: Numbered,
  /** Hours it costs when a replacement does not fit: send back, order again, wait. */
  misfitHours: z.strictObject({ value: ThreePoint, because: Text, from: From }),
  planning: PlanningSettings,
});
export type Settings = z.infer<typeof Settings>;

/** Shared grade words: what is seen, felt or measured at 0, 1, 2, 3, 4, 5 (ISO 4628-1 scheme). */
export const Scale = z.strictObject({ id: Id, name: Text, words: z.array(Text).length(6), from: From });
export type Scale = z.infer<typeof Scale>;

const Row = z.array(Probability).min(2).max(12);

/** P(final value | value seen, stage): one square matrix a stage; row = value seen, column = final value, best first. */
export const RevealTable = z.strictObject({
  id: Id,
  stages: z.partialRecord(Stage, z.array(Row).min(2).max(12)),
  because: Text,
  from: From,
});
export type RevealTable = z.infer<typeof RevealTable>;

/** P(value | rustiness 1 to 5): five rows, best value first. */
export const RustinessTable = z.strictObject({ id: Id, rows: z.array(Row).length(5), because: Text, from: From });
export type RustinessTable = z.infer<typeof RustinessTable>;

/** A one-line caution. */
export const Caution = z.strictObject({ id: Id, text: Text, from: From });
export type Caution = z.infer<typeof Caution>;

/** The whole rubric, as loaded and checked. `version` is a hash of its content. */
export const Rubric = z.strictObject({
  version: z.string(),
  settings: Settings,
  sources: z.array(Source),
  scales: z.array(Scale),
  reveal: z.array(RevealTable),
  rustiness: z.array(RustinessTable),
  operations: z.array(Operation),
  routes: z.array(Route),
  charges: Charges,
  prices: Prices,
  hardware: z.array(Hardware),
  cautions: z.array(Caution),
  assemblies: z.array(Assembly),
  kinds: z.array(Kind),
  release: Release,
  tools: z.array(Tool),
  consumables: z.array(Consumable),
  suppliers: z.array(Supplier),
  tickets: z.array(ProcessTicket),
});
export type Rubric = z.infer<typeof Rubric>;
