import { z } from 'zod';
import { SupplyType } from './words.ts';

/** Low, usual, high (10 %, 50 %, 90 %): minutes, Nm, litres, days or money, as the field says. */
const Spread = z.object({ low: z.number(), usual: z.number(), high: z.number() });

/** A sentence with where it comes from, for print and for a finger that asks why. */
export const Said = z.object({
  /** `file.rule`, as `release.rung.flame`. */
  rule: z.string(),
  text: z.string(),
  /** Title and clause of the published source, or null. */
  source: z.string().nullable(),
  /** `published`, `common-practice`, `from-memory` or `own-judgement`. */
  basis: z.string(),
});
export type Said = z.infer<typeof Said>;

/** One rung of the release ladder for one joint, gentlest first. */
export const Rung = z.object({
  /** Id in `release.yaml`: `soak`, `shock`, `flame`, `cut` ... */
  id: z.string(),
  /** One or two words for the ladder's picture: `soak`. */
  short: z.string(),
  /** What to do, for this joint. */
  text: z.string(),
  /** 1 gentlest; never falls from one rung to the next. */
  harshness: z.number(),
  /** `none`, `warm` (under 120 degC), `local` (induction or iron, no flame) or `flame`. */
  heat: z.enum(['none', 'warm', 'local', 'flame']),
  /** Chance that the work gets as far as this rung, 0 to 1; 0 where barred. */
  reached: z.number(),
  /** Why it must not be done here; empty when it may. */
  barred: z.array(Said),
  minutes: Spread,
});
export type Rung = z.infer<typeof Rung>;

/** A spanner that goes on the head. */
export const SpannerOut = z.object({
  /** As stamped: `18 mm`, `9/16 AF`, `1/4 W`. */
  stamp: z.string(),
  /** Width across flats, mm. */
  widthMm: z.number(),
  /** Which head it is for: `ISO 272`, `old DIN`, `BS 1083` ... */
  system: z.string(),
  /** `this` the usual size; `also met` on older or other heads; `near fit` another system that fits within 0.2 mm. */
  use: z.enum(['this', 'also met', 'near fit']),
});
export type SpannerOut = z.infer<typeof SpannerOut>;

/** How likely the joint does not come with a spanner alone, and why. Fractions 0 to 1. */
export const SeizedOut = z.object({
  /** With the least rust still possible, as it most likely is, with the most. One rust grade known: all three equal. */
  chance: Spread,
  /** Chance that it breaks or rounds off on the way, with the ladder kept to. */
  breaks: Spread,
  /** `hardly`, `may be`, `likely`, `count on it`. */
  words: z.string(),
  /** What pushes it up or down, strongest first. */
  reasons: z.array(Said),
});

/** What the joint is as hardware. */
export const JointOut = z.object({
  /** As stamped, or null for a joint that has no thread. */
  thread: z.string().nullable(),
  class: z.string().nullable(),
  /** Whole words: `right-hand thread: undo anticlockwise`. */
  hand: z.string(),
  isLeftHand: z.boolean(),
  locking: z.string(),
  count: z.number(),
  lengthMm: z.number().nullable(),
});

export type JointOut = z.infer<typeof JointOut>;

/** Figures for the spanner, Nm; null where thread or class does not allow one. */
export const TorqueOut = z.object({
  /** To undo it, from a clean joint to a rusty one. */
  undo: Spread.nullable(),
  /** `maker's figure 90 Nm`, or how it was reckoned. */
  from: z.string(),
  /** Sound metal begins to twist for good at this torque. */
  twistsNm: z.number().nullable(),
  /** ... and comes off at this one. Rust brings both down. */
  breaksNm: z.number().nullable(),
  /** How the class was read, when it was not plain: `nut class 8: stud taken as 8.8`. */
  classNote: z.string().nullable(),
  /** Bar to take, mm. */
  barMm: z.number().nullable(),
  /** Push at the end of that bar, N: to undo it as usual, and the one not to pass. */
  pushN: z.number().nullable(),
  pushMostN: z.number().nullable(),
  /** The same for a reader: `600 mm bar: about 15 kg of pull; stop at 25 kg, the bolt breaks near 30`. */
  words: z.string(),
});

/** Something that drips out, and what must go back before the car moves. */
export const SpillOut = z.object({
  fluid: z.string(),
  name: z.string(),
  /** Litres that come out. */
  litres: Spread,
  /** How it goes back: `to the level plug, car level`. */
  refill: z.string(),
  caution: z.string().nullable(),
});

export type SpillOut = z.infer<typeof SpillOut>;

/** A fastener that an earlier hand sheared, lost or replaced by a wrong one: what it costs now. */
export const EarlierOut = z.object({
  found: z.enum(['sheared', 'missing', 'rounded', 'wrong', 'cross-threaded']),
  count: z.number(),
  text: z.string(),
  hours: Spread,
  /** Assessment's currency. */
  money: Spread,
});

export type EarlierOut = z.infer<typeof EarlierOut>;

/** One joint to be undone. */
export const StripStep = z.object({
  /** Place in the order, from 1. */
  n: z.number().int(),
  /** `component.joint`. */
  id: z.string(),
  component: z.string(),
  componentName: z.string(),
  area: z.string().nullable(),
  /** What is undone, in words: `Pivot bolt of the right lower arm`. */
  name: z.string(),
  clamps: z.string().nullable(),
  /** `on-wheels`: slackened while the car still stands on its wheels, taken out later; `on-stands` otherwise. */
  where: z.enum(['on-wheels', 'on-stands']),
  /** `slacken` only, `undo` for good. A joint slackened on its wheels has both, and two steps. */
  does: z.enum(['slacken', 'undo']),
  /** Why it is undone at all: `comes off: replaced`, `in the way of ...`. */
  why: z.string(),
  /** Joints (step ids) that must be undone before. */
  after: z.array(z.string()),
  joint: JointOut,
  /** To write down and to photograph before this one moves; what belongs to the whole part stands in `records`. */
  record: z.array(z.string()),
  photograph: z.array(z.string()),
  /** Positions written down already, with how far they can be trusted. */
  positions: z.array(
    z.object({ what: z.string(), found: z.string(), trust: z.string(), because: z.string().nullable() }),
  ),
  /** What to hang up or hold before the last thread lets go. */
  hang: z.array(z.string()),
  /** What to catch. */
  spills: z.array(SpillOut),
  /** Lock to undo first: `Straighten the split pin and pull it`. Empty when there is none. */
  lockFirst: z.array(z.string()),
  /** What is still to be done once the thread is free: taper, pinch slot, press fit. */
  parting: z.array(Said),
  seized: SeizedOut,
  torque: TorqueOut,
  spanners: z.array(SpannerOut),
  /** Stud to hold, hexagon key in its end ...: words, empty when none. */
  counterhold: z.string().nullable(),
  ladder: z.array(Rung),
  /** Rung that the work most likely reaches: its id. */
  expect: z.string(),
  /** Minutes for all pieces of it, all rungs and parting counted at their chances. */
  minutes: Spread,
  /** Scrapped by undoing it, with count: `2 x all-metal lock nut`. */
  scrapped: z.array(z.object({ what: z.string(), count: z.number(), because: z.string() })),
  /** Left behind by an earlier hand. */
  earlier: z.array(EarlierOut),
  /** If it breaks: what that costs. */
  ifItBreaks: z.object({ text: z.string(), hours: Spread, money: Spread }).nullable(),
  /** One-line cautions, each shown at the first step that needs it. */
  cautions: z.array(Said),
});
export type StripStep = z.infer<typeof StripStep>;

/** To write down and photograph before anything is touched, one entry a part. */
export const RecordOut = z.object({
  component: z.string(),
  name: z.string(),
  record: z.array(z.string()),
  photograph: z.array(z.string()),
});

export type RecordOut = z.infer<typeof RecordOut>;

/** One thing to have ready. */
export const ReadyItem = z.object({
  id: z.string(),
  name: z.string(),
  /** `tool`, `stand` (what carries or holds the car and its parts), `consumable`, `safety`. */
  sort: z.enum(['tool', 'stand', 'consumable', 'safety']),
  /** `2`, `0.5 l`, or null. */
  amount: z.string().nullable(),
  /** Step numbers that need it. */
  steps: z.array(z.number().int()),
  /** Only if the ladder gets that far. */
  onlyIf: z.string().nullable(),
  note: z.string().nullable(),
});

export type ReadyItem = z.infer<typeof ReadyItem>;

/** The sheet for the wall. */
export const StripOut = z.object({
  /** What must be understood before a spanner is lifted. */
  cautions: z.array(Said),
  /** Everything written down and photographed first, while it still stands as it was. */
  records: z.array(RecordOut),
  /** Joints to soak, with how long before: `overnight`. */
  soak: z.array(z.object({ step: z.string(), name: z.string(), hours: z.number(), text: z.string() })),
  steps: z.array(StripStep),
  /** Parts that may stay on, and why. */
  staysOn: z.array(z.object({ component: z.string(), name: z.string(), why: z.string() })),
  /** Parts that are off already; what is still owed for their joints stands in the shopping and the re-fit. */
  alreadyOff: z.array(z.object({ component: z.string(), name: z.string() })),
  /** Positions not to be trusted: set by data or by a gauge, never copied. */
  alignment: z.array(
    z.object({ component: z.string(), name: z.string(), what: z.string(), found: z.string(), because: z.string() }),
  ),
  /** Left behind by an earlier hand at parts that are off already; at fitted ones it stands at the step. */
  earlier: z.array(z.object({ component: z.string(), name: z.string(), joint: z.string(), left: EarlierOut })),
  ready: z.array(ReadyItem),
  /** Before the car moves again, whatever else happens: fluids to put back. */
  beforeItMoves: z.array(z.string()),
  minutes: Spread,
  notes: z.array(z.string()),
});
export type StripOut = z.infer<typeof StripOut>;

/** One line to buy. */
export const ShoppingLine = z.object({
  id: z.string(),
  what: z.string(),
  /** `part`, `fastener`, `hardware` (always new), `boot-or-seal`, `consumable`, `fluid`. */
  sort: z.enum(['part', 'fastener', 'hardware', 'boot-or-seal', 'consumable', 'fluid']),
  /** Amount as bought: pieces, or litres, millilitres, kilograms, grams, metres. */
  amount: z.number(),
  unit: z.enum(['piece', 'l', 'ml', 'kg', 'g', 'm']),
  thread: z.string().nullable(),
  class: z.string().nullable(),
  finish: z.string().nullable(),
  lengthMm: z.number().nullable(),
  /** Where it goes: component ids, with words. */
  for: z.array(z.object({ component: z.string(), name: z.string(), count: z.number() })),
  /** How an amount was reckoned, or why it is always new. */
  because: z.string(),
  /** How it is had: new, pattern, used, made, substitute; null for hardware and consumables. */
  supply: SupplyType.nullable(),
  note: z.string().nullable(),
  /** Whole line, assessment's currency; null when the rubric has no price. */
  money: Spread.nullable(),
  leadDays: Spread.nullable(),
  /** What to do with the old one: `keep it until the new one fits`; null when there is nothing to keep. */
  keepOld: z.string().nullable(),
  /** `order now`: longest lead times first; the job waits for it. */
  isLongLead: z.boolean(),
});
export type ShoppingLine = z.infer<typeof ShoppingLine>;

/** What to buy, grouped by where it is bought. */
export const ShoppingOut = z.object({
  groups: z.array(
    z.object({
      supplier: z.string(),
      name: z.string(),
      /** What to take or to say there. */
      note: z.string().nullable(),
      lines: z.array(ShoppingLine),
      money: Spread,
      leadDays: Spread.nullable(),
    }),
  ),
  /** Parts that no one is known to sell. */
  unobtainable: z.array(
    z.object({
      component: z.string(),
      name: z.string(),
      count: z.number(),
      because: z.string(),
      waysOut: z.array(z.string()),
    }),
  ),
  money: Spread,
  notes: z.array(z.string()),
});
export type ShoppingOut = z.infer<typeof ShoppingOut>;

/** One line of a ticket: a counted part. */
export const TicketLine = z.object({
  component: z.string(),
  name: z.string(),
  count: z.number().int(),
  /** Metal, in words. */
  metal: z.string(),
  /** One piece and all of them; `weighed` when the assessment says, else the kind's usual figure. */
  massKgEach: z.number(),
  massKg: z.number(),
  areaDm2Each: z.number(),
  areaDm2: z.number(),
  sizeFrom: z.enum(['measured', 'usual for its kind', 'computed']),
  thread: z.string().nullable(),
  class: z.string().nullable(),
  /** `320 HV at most (class 8.8)`; null when nothing is known and it does not matter. */
  hardness: z.string().nullable(),
  mask: z.array(z.string()),
  /** What must come off before it goes: rubber, bearings, grease, what sits in it. */
  firstOff: z.array(z.string()),
  /** Does the thread still take its nut after the coat? */
  threadFit: Said.nullable(),
  /** Against hydrogen: bake or none, in the words to write on the ticket. */
  hydrogen: Said.nullable(),
  /** Hold points that must have passed before it goes. */
  holds: z.array(z.string()),
  /** What this part must not meet there. */
  mustNot: z.array(Said),
  note: z.string().nullable(),
  /** Pieces sent and come back, as told; null when nothing was told. */
  out: z.number().int().nullable(),
  back: z.number().int().nullable(),
  missing: z.number().int(),
});
export type TicketLine = z.infer<typeof TicketLine>;

/** A slip that goes with the box. */
export const Ticket = z.object({
  /** Batch id. */
  id: z.string(),
  process: z.string(),
  name: z.string(),
  /** What is wanted, as written on the slip: `Electro-zinc 8 um, passivated; Fe/Zn 8`. */
  finish: z.string(),
  colour: z.string().nullable(),
  thicknessUm: z.number().nullable(),
  lines: z.array(TicketLine),
  total: z.object({ pieces: z.number().int(), massKg: z.number(), areaDm2: z.number() }),
  /** What the shop does not take: look through the box for it. */
  shopRefuses: z.string(),
  /** What to refuse at the counter when it comes back. */
  refuseOnReturn: z.array(Said),
  /** Instructions for the shop, one a line. */
  instructions: z.array(Said),
  leadDays: Spread,
  /** Out and back, and who is missing. */
  tally: z.object({
    out: z.number().int(),
    back: z.number().int(),
    missing: z.array(z.object({ component: z.string(), name: z.string(), count: z.number().int() })),
    words: z.string(),
  }),
  cautions: z.array(Said),
});
export type Ticket = z.infer<typeof Ticket>;

/** One joint to be closed again. */
export const RefitStep = z.object({
  n: z.number().int(),
  id: z.string(),
  component: z.string(),
  componentName: z.string(),
  area: z.string().nullable(),
  name: z.string(),
  joint: JointOut,
  /** Positions to go back to, or not to. */
  positions: z.array(z.string()),
  /** What goes in new: `all-metal lock nut`. */
  newHardware: z.array(z.string()),
  torqueNm: z.number().nullable(),
  /** `90 Nm, threads dry`, `no figure here: take the maker's`, a reckoned guide with its reservation. */
  torque: z.string(),
  /** `now`: tightened at once; `ride-height`: nipped up now, tightened with the car on its wheels. */
  tighten: z.enum(['now', 'ride-height']),
  lock: z.array(z.string()),
  notes: z.array(z.string()),
  cautions: z.array(Said),
});
export type RefitStep = z.infer<typeof RefitStep>;

/** The strip-down turned round. */
export const RefitOut = z.object({
  steps: z.array(RefitStep),
  /** Joints (step ids) to be tightened at ride height, together, last. */
  atRideHeight: z.array(z.object({ step: z.string(), name: z.string(), torque: z.string() })),
  /** What the job needs after: alignment, bleeding, oil. */
  afterwards: z.array(Said),
  /** Positions to be set by data: earlier mistakes that must not be put back. */
  alignment: z.array(z.string()),
  /** To be checked before it is driven, in order. */
  beforeDriving: z.array(Said),
  notes: z.array(z.string()),
});
export type RefitOut = z.infer<typeof RefitOut>;
