import { z } from 'zod';
import { RefitOut, ShoppingOut, StripOut, Ticket } from './strip.ts';
import { Because, Range } from './verdict.ts';
import { Action, Firmness, Stage } from './words.ts';

/**
 * Three points of one total over the joint draws. `p80` is what to set aside: four jobs in five come in at or under it.
 * `p50` is likely, `p10` low. Money in the assessment's currency, time in hours or days, as the place says.
 */
export const Quantiles = z.object({ p10: z.number(), p50: z.number(), p80: z.number() });
export type Quantiles = z.infer<typeof Quantiles>;

/** A line that names the rule or rate that made it: `settings.optimism`, `charges.zinc`, `method.least-expected-cost`, `KIND.RULE`. */
export const Made = Because.omit({ text: true });
export type Made = z.infer<typeof Made>;

/**
 * One component, or one group of alike members of a counted set, with the option that the whole job chooses for it.
 * What the strip-down sheet, the shopping list, the tickets and the re-fit order start from.
 */
export const PlannedPart = z.object({
  /** Component. */
  component: z.string(),
  /** 0 for a single part; counts the groups of a set whose members have different answers. */
  group: z.number().int(),
  name: z.string(),
  kind: z.string(),
  /** Pieces of this group. */
  pieces: z.number().int(),
  /** Whole component. */
  count: z.number().int(),
  area: z.string().nullable(),
  stage: Stage,
  material: z.string(),
  /** Colour wanted at the coater, or null. */
  colour: z.string().nullable(),
  /** All pieces of the group. */
  massKg: Range,
  areaDm2: Range,
  safetyCritical: z.boolean(),
  action: Action,
  /** Id of the option: `reuse`, `refinish:ROUTE`, `replace:SUPPLY`. */
  option: z.string(),
  /** Route id, for refinish. */
  route: z.string().nullable(),
  /** Supply id, for replace. */
  supply: z.string().nullable(),
  firmness: Firmness,
  /**
   * Not null while a look that guards life is still to come: `action` is what holds if it goes badly (`chance` of that),
   * this is what holds if it goes well.
   */
  ifClear: z
    .object({ action: Action, option: z.string(), route: z.string().nullable(), supply: z.string().nullable() })
    .nullable(),
  /** Chance, 0 to 1, that `action` is what is done; 1 when nothing is open. */
  chance: z.number(),
  /** Replaced only for its pair's sake: the old one is kept as a spare. */
  spare: z.boolean(),
  /** Component whose replacement brings this one along, or null. */
  comesWith: z.string().nullable(),
  /** Ids of the batches it goes out with, in the order of its route. */
  batches: z.array(z.string()),
  /** Ids of the shared charges it needs. */
  charges: z.array(z.string()),
});
export type PlannedPart = z.infer<typeof PlannedPart>;

/** One part in a batch. */
export const BatchPart = z.object({
  component: z.string(),
  group: z.number().int(),
  name: z.string(),
  pieces: z.number().int(),
  /** All pieces. */
  massKg: Range,
  areaDm2: Range,
  /** Operation of the route that the shop does: `zinc-plate-8`. */
  operation: z.string(),
  /** Chance, 0 to 1, that it gets as far as this shop: open looks and hold points come before it. */
  chance: z.number(),
  /** What this part adds to the bill of the batch as it stands, money, usual prices. */
  adds: z.number(),
  /** What the batch would cost for this part alone, money, usual prices. */
  alone: z.number(),
});
export type BatchPart = z.infer<typeof BatchPart>;

/** Parts of one colour and one sort of metal that go to one outside process together and pay its minimum once. */
export const Batch = z.object({
  /** `zinc`, `powder.satin-black`, with the metal after it where the process has batches of several. */
  id: z.string(),
  /** Outside process of `charges.yaml`. */
  process: z.string(),
  name: z.string(),
  colour: z.string().nullable(),
  /** `iron and steel`, `stainless`, `light alloy`, `copper alloy`. */
  metal: z.string(),
  parts: z.array(BatchPart),
  pieces: z.number().int(),
  massKg: z.number(),
  areaDm2: z.number(),
  /** The least the shop charges, money. */
  minimum: Range,
  /** Quantity times rate, money. */
  work: Range,
  /** For the colour, money. */
  setUp: Range,
  /** What is paid: the greater of minimum and work, and the set-up, money. */
  bill: Range,
  /** Own hours to pack, take there and fetch back; of the process's trip, so 0 in all but its first batch. */
  handlingHours: Range,
  leadDays: Range,
  /** True when the minimum is what is paid at usual prices. */
  paysMinimum: z.boolean(),
  /** Work that still fits under the minimum at no extra cost, money at usual rates; 0 when the minimum is passed. */
  slack: z.number(),
  /** True when the assessment says that this shop's batch goes anyway: its minimum and set-up are then no cost here. */
  goesAnyway: z.boolean(),
  /** What one more part like the last ones would add, and what it would cost alone. "These four brackets add 9, alone they would cost 80." */
  oneMore: z.object({ text: z.string(), adds: z.number(), alone: z.number() }),
  /** Parts of the job that could still join, cheapest first, with what each would add to this bill. */
  couldJoin: z.array(
    z.object({ component: z.string(), name: z.string(), pieces: z.number(), adds: z.number(), alone: z.number() }),
  ),
  /** What the shop will not take, words. */
  refuses: z.string(),
  because: Made,
});
export type Batch = z.infer<typeof Batch>;

/** What is paid once for several parts: a neighbour taken off, bleeding, alignment, carriage, what is bought together. */
export const SharedChargeOut = z.object({
  /** `alignment`, `wheel-off@front-left`, `carriage@pattern`. */
  id: z.string(),
  charge: z.string(),
  name: z.string(),
  per: z.enum(['job', 'area', 'order']),
  /** Area or order it is paid for, or null. */
  where: z.string().nullable(),
  hours: Range,
  money: Range,
  /** Components that need it. */
  covers: z.array(z.string()),
  /** What it would cost if each of them paid it for itself: hours and money, usual. */
  ifEachPaid: z.object({ hours: z.number(), money: z.number() }),
  /** Named in the assessment as paid or not needed: it costs nothing here. */
  isPaid: z.boolean(),
  because: Made,
});
export type SharedChargeOut = z.infer<typeof SharedChargeOut>;

/** Joint and alone verdict of one component (or group); both are shown where they differ. */
export const PlannedVerdict = z.object({
  component: z.string(),
  group: z.number().int(),
  name: z.string(),
  pieces: z.number(),
  joint: z.object({ action: Action, option: z.string(), name: z.string() }),
  /** What `score` says, which looks at this part by itself. */
  alone: z.object({ action: Action, option: z.string(), name: z.string() }),
  differs: z.boolean(),
  /** Why they differ, or null. */
  why: z.string().nullable(),
  /** Expected cost of the joint option within the job and if it were the only one, money with own time at the owner's figure. */
  costJoint: z.number(),
  costAlone: z.number(),
  /** Money and own hours of this part alone, without what is shared; three points over the draws. */
  money: Quantiles,
  hours: Quantiles,
  because: Made,
});
export type PlannedVerdict = z.infer<typeof PlannedVerdict>;

/** What moves a total up or down. */
export const Driver = z.object({
  id: z.string(),
  /**
   * `part`, `batch`, `charge` and `hardware` split the whole spread among the lines (their shares add up to 1);
   * `cause` says how much of it one common cause explains by itself, across all lines.
   */
  what: z.enum(['part', 'batch', 'charge', 'hardware', 'cause']),
  name: z.string(),
  /** Share of the variance, about 0 to 1; a line that runs against the rest is below 0. */
  share: z.number(),
  /** What would narrow it, or what it comes from. */
  text: z.string(),
});
export type Driver = z.infer<typeof Driver>;

/** A total with its spread. */
export const Total = Quantiles.extend({
  mean: z.number(),
  /** Largest first; lines and causes mixed, see `Driver`. */
  drivers: z.array(Driver),
  /** The whole curve for drawing: chance `p` that it comes in at or under `value`, p rising. */
  curve: z.array(z.object({ p: z.number(), value: z.number() })),
  /** Twenty bars of equal width between the 0.5 % and the 99.5 % point; `share` of the draws in each. Ends take what is beyond. */
  histogram: z.array(z.object({ from: z.number(), to: z.number(), share: z.number() })),
});
export type Total = z.infer<typeof Total>;

/** One line of the budget: what it is, its usual figure and its range over the draws. The lines' usuals do not add up to the likely sum. */
export const BudgetLine = z.object({
  id: z.string(),
  what: z.enum(['part', 'batch', 'charge', 'hardware']),
  name: z.string(),
  money: Quantiles,
  hours: Quantiles,
  because: Made,
  /** What makes the line, in words: `max(minimum 78, 4.2 kg x 3.05) + set-up`. */
  text: z.string(),
});
export type BudgetLine = z.infer<typeof BudgetLine>;

export const TotalOut = z.object({
  /** Money still to be spent. */
  money: Total,
  /** Own hours still to be put in (0 of them when the workshop does the work). */
  hours: Total,
  /** To be added to the likely sum to reach what is set aside: P80 less P50. Its own line. */
  contingency: z.object({ money: z.number(), hours: z.number(), text: z.string(), because: Made }),
  /** How far the estimate can be trusted at this stage of knowledge. */
  estimateClass: z.object({
    id: z.string(),
    name: z.string(),
    /** Share of the checks that decide something, answered as fact, 0 to 1. */
    known: z.number(),
    text: z.string(),
    because: Made,
  }),
  /** The plain statement that the sum of the likely values is not the likely sum, with both figures. */
  statement: z.string(),
  sumOfLikely: z.object({ money: z.number(), hours: z.number() }),
  lines: z.array(BudgetLine),
  /** Joint draws behind these figures. */
  draws: z.number().int(),
});
export type TotalOut = z.infer<typeof TotalOut>;

/** One activity of the network. */
export const Activity = z.object({
  id: z.string(),
  name: z.string(),
  /** `own`: your own hours; `away`: at a shop; `wait`: on order. */
  sort: z.enum(['own', 'away', 'wait']),
  /** Activities that must be finished before it starts. */
  after: z.array(z.string()),
  /** Days from now at usual figures. */
  start: z.number(),
  finish: z.number(),
  days: Range,
  /** Own hours in it, usual. */
  hours: z.number(),
  /** Days it can slip before the job gets longer. */
  slack: z.number(),
  critical: z.boolean(),
  /** Share of the draws in which it lies on the critical path. */
  oftenCritical: z.number(),
  components: z.array(z.string()),
  because: Made,
});
export type Activity = z.infer<typeof Activity>;

export const DaysOut = Quantiles.extend({
  hoursPerWeek: z.number(),
  /** True when the assessment names no hours a week and the rubric's figure stands in. */
  hoursAssumed: z.boolean(),
  activities: z.array(Activity),
  /** Ids of the critical path at usual figures, in order. */
  criticalPath: z.array(z.string()),
  /** "Strip, then wait for the plater, then fit": the critical path in words. */
  text: z.string(),
});
export type DaysOut = z.infer<typeof DaysOut>;

/** What happens if nothing is done. */
export const IfLeft = z.object({
  /** Fewest years first. */
  parts: z.array(
    z.object({
      component: z.string(),
      name: z.string(),
      /** Years until the limit, worst and best. */
      years: z.object({ low: z.number(), high: z.number() }),
      check: z.string(),
      because: z.string(),
      /** The rule of growth, and its source. */
      from: Made,
      safetyCritical: z.boolean(),
      /** What replacing it costs then, money, at today's prices. */
      costThen: z.number(),
      /** Chance, 0 to 1, that it is reached while the owner means to keep the car. */
      withinHorizon: z.number(),
    }),
  ),
  /** Life of the zinc that this plan puts on, in this air. */
  zinc: z.array(
    z.object({
      component: z.string(),
      name: z.string(),
      operation: z.string(),
      um: z.number(),
      /** Years until red rust starts on an open face, worst and best; at most 100. */
      years: z.object({ low: z.number(), high: z.number() }),
      because: Made,
    }),
  ),
  /** The order in which to do the work if the money runs out: what is done first comes first. */
  order: z.array(
    z.object({
      component: z.string(),
      name: z.string(),
      action: Action,
      /** Likely money of this part, and of everything down to it with the charges it brings. */
      money: z.number(),
      moneySoFar: z.number(),
      /** Own hours of this part and so far. */
      hours: z.number(),
      hoursSoFar: z.number(),
      why: z.string(),
      because: Made,
    }),
  ),
  caution: z.string(),
});
export type IfLeft = z.infer<typeof IfLeft>;

/** When the money is needed. */
export const WHEN_NEEDED = ['before-driven', 'within-year', 'looks'] as const;
export const WhenNeeded = z.enum(WHEN_NEEDED);
export type WhenNeeded = z.infer<typeof WhenNeeded>;

/** What to offer for a car that is looked at before buying. Money in the assessment's currency. */
export const OfferOut = z.object({
  asking: z.number().nullable(),
  ceiling: z.number().nullable(),
  worthDone: z.number().nullable(),
  /** Cost to put right, money; own time is not in it. */
  toPutRight: Quantiles,
  /** Own hours that go with it. */
  hours: Quantiles,
  /** The same split by when it is needed. P-values of parts do not add up to those of the whole. */
  split: z.array(
    z.object({ when: WhenNeeded, name: z.string(), money: Quantiles, components: z.array(z.string()), because: Made }),
  ),
  /** The most to pay: what may go into the car less the likely cost, and less what is set aside. Null without a ceiling. */
  offerLessP50: z.number().nullable(),
  offerLessP80: z.number().nullable(),
  /** Which figure the offer starts from: `ceiling`, or `worthDone` where that is lower or alone known. */
  startsFrom: z.enum(['ceiling', 'worthDone']).nullable(),
  /** Components and checks nobody has seen, the ones that matter first. */
  notSeen: z.array(
    z.object({ component: z.string(), name: z.string(), checks: z.array(z.string()), text: z.string() }),
  ),
  /** What each next look would do to the figures: when it comes out best and when worst. */
  looks: z.array(
    z.object({
      component: z.string(),
      check: z.string(),
      ask: z.string(),
      minutes: z.number(),
      /** Expected saving from knowing, money. */
      value: z.number(),
      best: z.object({ chance: z.number(), p50: z.number(), p80: z.number() }),
      worst: z.object({ chance: z.number(), p50: z.number(), p80: z.number() }),
    }),
  ),
  /** What follows, in plain words; one sentence a line. */
  text: z.array(z.string()),
});
export type OfferOut = z.infer<typeof OfferOut>;

/** What was really spent against what was estimated. */
export const ActualsOut = z.object({
  entries: z.array(
    z.object({
      component: z.string(),
      name: z.string(),
      on: z.string(),
      date: z.string(),
      hours: z.object({ actual: z.number(), estimate: z.number(), ratio: z.number() }).nullable(),
      money: z.object({ actual: z.number(), estimate: z.number(), ratio: z.number() }).nullable(),
    }),
  ),
  spent: z.object({ money: z.number(), hours: z.number() }),
  /** Spent so far and what is still to come, together. */
  atCompletion: z.object({ money: Quantiles, hours: Quantiles }),
  /** The estimator's own optimism: factor on every estimate, low, usual, high. */
  optimism: z.object({
    hours: z.object({ points: Range, corrected: z.boolean(), entries: z.number().int() }),
    money: z.object({ points: Range, corrected: z.boolean(), entries: z.number().int() }),
    /** `learnFromActuals: false` in the assessment. */
    isOff: z.boolean(),
    /** Entries needed before it corrects anything. */
    needed: z.number().int(),
    /** What was done about it, in words. */
    text: z.string(),
    because: Made,
  }),
});
export type ActualsOut = z.infer<typeof ActualsOut>;

/** One thing to do next. */
export const NextAction = z.object({
  /** What sort: `coat`, `look`, `order`, `send`, `strip`, `clean`, `finish`, `fit`. */
  sort: z.string(),
  text: z.string(),
  why: z.string(),
  components: z.array(z.string()),
  minutes: z.number().nullable(),
  because: Made,
});
export type NextAction = z.infer<typeof NextAction>;

export const NextFive = z.object({
  /** At most five, the most pressing first. */
  actions: z.array(NextAction),
  /** Words when many parts are off and none is finished; null otherwise. */
  warning: z.string().nullable(),
  /** The parts nearest to being finished, least own hours first: take one to the end. */
  finishOne: z.array(
    z.object({
      component: z.string(),
      name: z.string(),
      stage: Stage,
      hoursLeft: z.number(),
      moneyLeft: z.number(),
      /** Steps left, in order, words. */
      steps: z.array(z.string()),
      /** What it waits for that is not in your hands, or null. */
      waitsFor: z.string().nullable(),
    }),
  ),
});
export type NextFive = z.infer<typeof NextFive>;

/** The document that `keepworthy plan --json` prints. Money in the assessment's currency, rounded to the minor unit. */
export const PlanOut = z.object({
  rubricVersion: z.string(),
  seed: z.number(),
  assessment: z.object({
    id: z.string(),
    name: z.string(),
    currency: z.string(),
    wantedFinish: z.string(),
    date: z.string(),
    purpose: z.string(),
  }),
  /** Set aside first: the P80 of money and of own hours. */
  setAside: z.object({ money: z.number(), hours: z.number(), text: z.string() }),
  total: TotalOut,
  batches: z.array(Batch),
  sharedCharges: z.array(SharedChargeOut),
  verdicts: z.array(PlannedVerdict),
  parts: z.array(PlannedPart),
  days: DaysOut,
  ifLeft: IfLeft,
  /** Null when the assessment gives no `purchase`. */
  offer: OfferOut.nullable(),
  actuals: ActualsOut,
  nextFive: NextFive,
  notes: z.array(z.string()),
  /** What goes on the wall before a spanner is lifted; see `strip.ts`. Missing where it was not asked for. */
  strip: StripOut.optional(),
  shopping: ShoppingOut.optional(),
  tickets: z.array(Ticket).optional(),
  refit: RefitOut.optional(),
});
export type PlanOut = z.infer<typeof PlanOut>;
