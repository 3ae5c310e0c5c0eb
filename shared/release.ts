import { z } from 'zod';
import { From } from './from.ts';
import { FoundFastener, Locking, Near, ThreadHole } from './joint-words.ts';
import { Id, Probability, Text, ThreePoint } from './units.ts';
import { Atmosphere, Material, SupplyType } from './words.ts';

/** A number of the release model with its reason. */
const Numbered = z.strictObject({ value: z.number(), because: Text, from: From });

/** Points of log-odds that something adds to (or takes from) the chance that a joint has seized. */
const Points = z.number().min(-6).max(6);

/**
 * The chance that a joint has seized, as a sum of points turned into a chance by `1 / (1 + e^-points)`. Points, not
 * percentages, so that one cause more never takes a chance above 1.
 */
export const Seizing = z.strictObject({
  /** Clean, dry, a year old, M10, steel in steel. */
  base: Numbered,
  /** By rust grade 0 to 5 of thread or head (ISO 4628-1 scheme). */
  rust: z.strictObject({ points: z.array(Points).length(6), because: Text, from: From }),
  /** Rust grade of an unseen fastener by rustiness 1 to 5 of the car. */
  unseen: z.strictObject({ grades: z.array(z.number().min(0).max(5)).length(5), because: Text, from: From }),
  /** By thread diameter: first row that is at least as large counts. */
  size: z.array(z.strictObject({ toMm: z.number().positive(), points: Points, because: Text, from: From })).min(1),
  /** Threads longer than this many diameters. */
  long: z.strictObject({ overDiameters: z.number().positive(), points: Points, because: Text, from: From }),
  /** For each ten years in use, up to `most` points. */
  age: z.strictObject({ perTenYears: Points, most: Points, because: Text, from: From }),
  atmosphere: z.strictObject({ points: z.record(Atmosphere, Points), because: Text, from: From }),
  locking: z.array(z.strictObject({ locking: Locking, points: Points, because: Text, from: From })),
  hole: z.array(z.strictObject({ hole: ThreadHole, points: Points, because: Text, from: From })),
  /** Metal the fastener goes into. */
  into: z.array(z.strictObject({ into: z.array(Material).min(1), points: Points, because: Text, from: From })),
  /** Words for a chance: first row that is at least as large counts. */
  words: z.array(z.strictObject({ upTo: Probability, words: Text })).min(2),
});
export type Seizing = z.infer<typeof Seizing>;

/** How the torque to undo a joint grows with rust, and when a seized bolt breaks instead of giving way. */
export const UndoTorque = z.strictObject({
  /** Torque to undo as a multiple of the tightening torque, by rust grade 0 to 5: low, usual, high. */
  factor: z.strictObject({ byGrade: z.array(ThreePoint).length(6), because: Text, from: From }),
  /** Share of proof load and nut factor K taken where no maker's torque is known. */
  proofShare: Numbered,
  nutFactorDry: Numbered,
  /** Class taken for an unmarked metric bolt. */
  unmarkedClass: z.strictObject({ value: z.string(), because: Text, from: From }),
  /** Depth of metal gone from the thread by rust grade 0 to 5, mm: the twisting strength falls with the cube of what is left. */
  lossMm: z.strictObject({ byGrade: z.array(z.number().min(0).max(5)).length(6), because: Text, from: From }),
  /** Torque that a seized joint wants, as a multiple of the usual one. */
  seizedFactor: Numbered,
  /** Chance that a seized bolt breaks, by breaking torque over the torque it wants: first row that is at least as large counts. */
  breaks: z.strictObject({
    byRatio: z.array(z.strictObject({ upTo: z.number().positive(), chance: Probability })).min(2),
    because: Text,
    from: From,
  }),
  /** Chance, by grade 0 to 5 of the hexagon, that the spanner slips off instead. */
  rounds: z.strictObject({ byGrade: z.array(Probability).length(6), because: Text, from: From }),
  /** Push of one person at the end of a bar, N. */
  push: Numbered,
  /** Bars to choose from, shortest first, mm. */
  bars: z.strictObject({ lengthsMm: z.array(z.number().positive()).min(2), because: Text, from: From }),
  /** Share of the torque at which sound metal begins to twist that must not be passed by hand. */
  mostShare: Numbered,
});
export type UndoTorque = z.infer<typeof UndoTorque>;

/** One rung of the release ladder. */
export const RungRule = z.strictObject({
  id: Id,
  /** One or two words for a picture of the ladder. */
  short: z.string().min(1).max(16),
  text: Text,
  /** 1 gentlest. Two rungs may be equally harsh. */
  harshness: z.number().int().min(1).max(99),
  heat: z.enum(['none', 'warm', 'local', 'flame']),
  /** Temperature that the fastener reaches, degC. */
  heatC: z.number().min(40).max(1500).optional(),
  /** Only joints with one of these lockings (or holes); all when left out. */
  onlyLocking: z.array(Locking).min(1).optional(),
  notLocking: z.array(Locking).min(1).optional(),
  onlyHole: z.array(ThreadHole).min(1).optional(),
  notHole: z.array(ThreadHole).min(1).optional(),
  /** Only threads of at least (at most) this diameter, mm. */
  fromMm: z.number().positive().optional(),
  toMm: z.number().positive().optional(),
  /** It destroys the fastener (or its nut), so it is for one that is bought new anyway, or the last thing to do. */
  destroys: z.enum(['nothing', 'nut', 'fastener']),
  /** Quick and clean: come to it early where what it destroys is bought new anyway. */
  quick: z.boolean().optional(),
  /** Only where the part itself is scrap: a pipe that is cut through. */
  needsScrapPart: z.boolean().optional(),
  /** Barred where one of these lies at the joint, in what sits in it or what it sits in. */
  barredBy: z.array(z.strictObject({ near: z.array(Near).min(1), because: Text, from: From })),
  /** Barred while one of these is still fitted in the same area of the car. */
  barredByArea: z.array(z.strictObject({ near: z.array(Near).min(1), because: Text, from: From })).optional(),
  /** Barred for a fastener that is to be kept and was quenched and tempered (or whose class is not known). */
  barredForHardened: z.strictObject({ because: Text, from: From }).optional(),
  /** Chance that a seized joint which has got this far comes free here. */
  frees: Probability,
  /** Minutes a piece. */
  minutes: ThreePoint,
  /** Hours of waiting before the next rung is worth trying. */
  waitHours: z.number().min(0).max(200).optional(),
  /** Ids of `tools.yaml` and of `consumables.yaml`. */
  tools: z.array(Id),
  consumables: z.array(Id).optional(),
  cautions: z.array(Id).optional(),
  from: From,
});
export type RungRule = z.infer<typeof RungRule>;

/** What a locking asks for when it is undone and when it goes back. */
export const LockingRule = z.strictObject({
  id: Locking,
  name: Text,
  /** First thing to do; left out when there is nothing. */
  undo: Text.optional(),
  refit: Text.optional(),
  /** Hardware that it takes each time, where the joint names none. */
  hardware: z.array(Id).optional(),
  minutes: ThreePoint.optional(),
  tools: z.array(Id).optional(),
  from: From,
});

export type LockingRule = z.infer<typeof LockingRule>;

/** How parts come asunder once the thread is free. */
export const PartingRule = z.strictObject({
  id: Id,
  name: Text,
  text: Text,
  refit: Text.optional(),
  minutes: ThreePoint,
  tools: z.array(Id),
  consumables: z.array(Id).optional(),
  cautions: z.array(Id).optional(),
  from: From,
});

export type PartingRule = z.infer<typeof PartingRule>;

/** A fixing without a thread: a clip, a ring, a press fit. A joint whose `thread` holds the word is one of these. */
export const FixingRule = z.strictObject({
  id: Id,
  word: z.string().min(3).max(40),
  undo: Text,
  refit: Text.optional(),
  minutes: ThreePoint,
  tools: z.array(Id),
  from: From,
});

export type FixingRule = z.infer<typeof FixingRule>;

/** What it costs when a fastener breaks, or was left sheared, missing or wrong by an earlier hand. Money in base currency, a piece. */
export const Trouble = z.strictObject({
  id: Id,
  /** `breaks`: it breaks now; the others: found so. */
  when: z.array(z.union([z.literal('breaks'), FoundFastener])).min(1),
  hole: z.array(ThreadHole).min(1).optional(),
  text: Text,
  hours: ThreePoint,
  money: ThreePoint,
  tools: z.array(Id).optional(),
  from: From,
});

export type Trouble = z.infer<typeof Trouble>;

/** `release.yaml`: how joints are undone. */
export const Release = z.strictObject({
  seizing: Seizing,
  undoing: UndoTorque,
  rungs: z.array(RungRule).min(3),
  /** Why no heat is allowed where a joint does not say what is near it. */
  unstated: z.strictObject({ because: Text, from: From }),
  /** The rung to expect is the harshest one that is reached with at least this chance. */
  expectFrom: Numbered,
  /** To write down at a joint before it moves, by what it is. */
  records: z.array(
    z.strictObject({
      id: Id,
      when: z.enum(['through-bolt', 'several', 'ride-height', 'left-hand', 'adjuster']),
      text: Text,
      from: From,
    }),
  ),
  lockings: z.array(LockingRule),
  partings: z.array(PartingRule),
  fixings: z.array(FixingRule),
  trouble: z.array(Trouble),
  /** Cautions at the head of the sheet (ids of `cautions.yaml`), and what is at hand wherever something runs out (`tools.yaml`). */
  cautions: z.array(Id),
  /** Cautions of kinds that belong to putting it together, and those that belong to taking it apart. */
  notAtStrip: z.array(Id),
  notAtRefit: z.array(Id),
  spillTools: z.array(Id),
  /** Lead time from which a part is ordered before anything is stripped, days. */
  longLead: Numbered,
  /** Ways out where nobody sells a part. */
  waysOut: z.array(z.strictObject({ text: Text, from: From })).min(1),
  /** First lines of the sheet, before any joint. */
  firstOfAll: z.array(z.strictObject({ text: Text, whenCharges: z.array(Id).optional(), from: From })),
  /** Property classes that are not hardened: flame takes nothing from them that matters here. */
  soft: z.strictObject({ classes: z.array(z.string()), because: Text, from: From }),
  /** Hazards that a material of the part itself stands for. */
  materialNear: z.array(z.strictObject({ material: Material, near: Near })),
  /** Checks before the car moves and before it is driven: said when a component of the job is of one of these duties. */
  beforeDriving: z.array(
    z.strictObject({
      id: Id,
      text: Text,
      whenCharges: z.array(Id).optional(),
      whenCautions: z.array(Id).optional(),
      from: From,
    }),
  ),
  /** What a shared charge asks for once all is together: alignment, bleeding. */
  afterwards: z.array(z.strictObject({ charge: Id, text: Text, from: From })),
});
export type Release = z.infer<typeof Release>;

/** A tool, stand or piece of safety kit. */
export const Tool = z.strictObject({
  id: Id,
  name: Text,
  sort: z.enum(['tool', 'stand', 'safety']),
  /** Shared charges (ids of `charges.yaml`) that need it. */
  charges: z.array(Id).optional(),
  note: Text.optional(),
  from: From,
});
export type Tool = z.infer<typeof Tool>;

/** How much of a consumable a job takes. Each part that is given adds to the amount. */
const Takes = z.strictObject({
  /** An amount a joint that is undone, in the consumable's unit; times 1 plus `perGrade` for each grade of rust. */
  perJoint: z.number().positive().optional(),
  perGrade: z.number().min(0).optional(),
  /** An amount a joint that is closed again. */
  perRefit: z.number().positive().optional(),
  /** Operations (ids of `operations.yaml`) whose area, pieces or film it is for. */
  operations: z.array(Id).min(1).optional(),
  perDm2: z.number().positive().optional(),
  perPiece: z.number().positive().optional(),
  /** Paint: film as the operation says, solids by volume and loss, fractions; coats share the film. */
  paint: z
    .strictObject({
      solids: z.number().gt(0).max(1),
      loss: z.number().min(0).max(0.95),
      dftUm: z.number().positive().optional(),
    })
    .optional(),
  /** Once a job that has one of these shared charges. */
  charges: z.array(Id).min(1).optional(),
  perJob: z.number().positive().optional(),
  /** It is a fluid that runs out of joints: what runs out goes back new, with this share more. */
  refills: z.strictObject({ more: z.number().min(0).max(2) }).optional(),
});

/** A consumable, in litres, grams and so on. */
export const Consumable = z.strictObject({
  id: Id,
  name: Text,
  unit: z.enum(['piece', 'l', 'ml', 'kg', 'g', 'm']),
  /** It runs out of the car: `fluids` of joints name it, and so do their `catches` by one of these words. */
  fluid: z
    .strictObject({
      words: z.array(z.string().min(2)).min(1),
      caution: Id.optional(),
      /** It is kept and put back, so none is bought for it. */
      goesBack: z.boolean().optional(),
      /** Litres that run out of one joint where the joint does not say; without it every joint must. */
      usual: z.strictObject({ litres: ThreePoint, refill: Text, from: From }).optional(),
    })
    .optional(),
  takes: z.array(Takes).min(1),
  /** Sold in packs of these sizes, in `unit`; the amount is rounded up to the next. */
  packs: z.array(z.number().positive()).min(1),
  /** Base currency for one `unit`. */
  price: ThreePoint,
  supplier: Id,
  because: Text,
  note: Text.optional(),
  from: From,
});
export type Consumable = z.infer<typeof Consumable>;

/** A sort of seller. */
export const Supplier = z.strictObject({
  id: Id,
  name: Text,
  /** Sorts of supply that are had there. */
  sells: z.array(SupplyType),
  /** Fasteners and always-new hardware are had there. */
  hardware: z.boolean().optional(),
  leadDays: ThreePoint,
  note: Text.optional(),
  from: From,
});
export type Supplier = z.infer<typeof Supplier>;

/** What goes on the ticket of an outside process, beside what the parts themselves say. */
export const ProcessTicket = z.strictObject({
  /** Id of the process. */
  id: Id,
  /** What must be off, whatever the part is. */
  firstOff: z.array(z.strictObject({ text: Text, from: From })),
  instructions: z.array(z.strictObject({ text: Text, from: From })),
  refuseOnReturn: z.array(z.strictObject({ text: Text, from: From })),
  cautions: z.array(Id).optional(),
});
export type ProcessTicket = z.infer<typeof ProcessTicket>;
