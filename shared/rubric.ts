import { z } from 'zod';
import { BASES, From } from './from.ts';
import { Locking, Near, ThreadHole } from './joint-words.ts';
import { PlanningSettings } from './planning-settings.ts';
import { Consumable, ProcessTicket, Release, Supplier, Tool } from './release.ts';
import { Amount, Currency, DateText, Id, Probability, Text, ThreePoint, Unit, WebAddress } from './units.ts';
import {
  type Action,
  Finding,
  Harm,
  Material,
  Method,
  ReplaceAs,
  RuleBook,
  Stage,
  SupplyType,
  WantedFinish,
} from './words.ts';

export { BASES, From };

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

/** A place on the component that matters by itself. */
export const Zone = z.strictObject({ id: Id, name: Text, loadPath: z.boolean(), where: Text.optional() });
export type Zone = z.infer<typeof Zone>;

/** A grade 0 to 5: `scale` names a shared entry of `scales.yaml`, or `words` says what each grade looks like. */
const GradeAnswer = z.strictObject({
  type: z.literal('grade'),
  scale: Id.optional(),
  words: z.array(Text).length(6).optional(),
});

/** A measurement. `points` are the values that are drawn when it is missing, best first; they must lie on both sides of each threshold. */
const MeasureAnswer = z.strictObject({
  type: z.literal('measure'),
  unit: Unit,
  /** Lowest and highest value that can be entered, in `unit`. */
  range: z.tuple([z.number(), z.number()]),
  points: z.array(z.number()).min(2).max(12),
  /** Values at which grades 1, 2, 3, 4, 5 begin, in `unit`, in the order in which things get worse. */
  grades: z.array(z.number()).length(5),
  words: Text.optional(),
});

/** One of a few words, best first; each says which grade it counts as. */
const ChoiceAnswer = z.strictObject({
  type: z.literal('choice'),
  options: z
    .array(z.strictObject({ id: Id, words: Text, grade: z.number().min(0).max(5) }))
    .min(2)
    .max(8),
});

/** A limit in grades: one number for all finishes, or one a finish. Above it the part does not go back as it is. */
export const Limit = z.union([
  z.number().min(0).max(5),
  z.strictObject({
    serviceable: z.number().min(0).max(5),
    smart: z.number().min(0).max(5),
    show: z.number().min(0).max(5),
  }),
]);
export type Limit = z.infer<typeof Limit>;

/** One question of the rubric. */
export const Check = z.strictObject({
  id: Id,
  zone: Id,
  /** The question, as asked. */
  ask: Text,
  /** How to look. */
  how: Text,
  answer: z.discriminatedUnion('type', [GradeAnswer, MeasureAnswer, ChoiceAnswer]),
  /** Minutes the look takes once one can get at it. */
  minutes: z.number().min(0.1).max(240),
  /** Shared set-up that must be done first (`setups` in charges.yaml). */
  setup: Id.optional(),
  earliestStage: Stage,
  /** The stage from which an answer is fact, not evidence. */
  finalStage: Stage,
  method: Method,
  /** Weight in the condition index; 0 leaves the check out of it. */
  weight: z.number().min(0).max(10),
  limit: Limit.optional(),
  /** Does refinishing put this right? `nothing`: past its limit the part is replaced. */
  restoredBy: z.enum(['refinish', 'nothing']),
  /** Reveal table: an id of `reveal.yaml`, needed when `earliestStage` is before `finalStage`. */
  reveal: Id.optional(),
  /** Rustiness table: an id of `rustiness.yaml`. */
  rustiness: Id,
  /** Why this look is never left out: it guards life. */
  compulsory: Text.optional(),
  /** The answer is an area of rust, so an outlined photo can lift its lower end. */
  photo: z.literal(true).optional(),
  from: From,
});
export type Check = z.infer<typeof Check>;

/** A number worked out from one measured check and the component's own sizes, by a function of the standards. */
export const Derived = z.strictObject({
  id: Id,
  /** `section-left`: fraction of section modulus (0 to 1); `wall-lost`: fraction of wall; `thread-left`: fraction of stress area. */
  formula: z.enum(['section-left', 'wall-lost', 'thread-left']),
  check: Id,
  /** Shape of the section; sizes come from the component's properties, else from here (mm). */
  shape: z.enum(['tube', 'box', 'plate', 'bar', 'wire', 'pipe', 'thread']),
  side: z.enum(['inside', 'outside']).optional(),
  sizes: z.record(z.string(), z.number()).optional(),
  from: From,
});
export type Derived = z.infer<typeof Derived>;

/** A condition that bars reuse, or reuse and refinishing, whatever the rest says. */
export const KnockOut = z.strictObject({
  id: Id,
  bars: z.enum(['reuse', 'reuse-and-refinish']),
  when: Condition,
  /** One sentence for a mechanic. */
  because: Text,
  from: From,
  cautions: z.array(Id).optional(),
});
export type KnockOut = z.infer<typeof KnockOut>;

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

/** A fastener with what it clamps. Thread as stamped (`M12x1.5`, `3/8-24 UNF`), or the word of a fixing without one (`band clip`). */
export const Joint = z.strictObject({
  id: Id,
  name: Text,
  thread: z.string().min(1).max(40),
  /** Property class or grade: `8.8`, `10.9`, `S` ... */
  class: z.string().min(1).max(20).optional(),
  hand: z.enum(['right', 'left']),
  locking: Locking,
  /** Threads and faces as they are when tightened. */
  lubrication: z.enum(['dry', 'oiled']).optional(),
  count: z.number().int().min(1).max(200).optional(),
  /** Length under the head, mm. */
  lengthMm: z.number().positive().max(1000).optional(),
  /** Tightening torque by the maker's data, Nm; left out when not known. */
  torqueNm: z.number().positive().max(2000).optional(),
  /** Joints (ids of the same component or `component.joint`) that must be undone before this one. */
  undoBefore: z.array(z.string().min(1).max(160)).optional(),
  /** Always-new hardware (an id of `hardware.yaml`) this joint takes each time. */
  hardware: z.array(Id).optional(),
  /** Tightened only with the car standing at ride height. */
  atRideHeight: z.boolean().optional(),
  /** What it holds, when not obvious. */
  clamps: Text.optional(),
  /** What loosens with it and must be hung up or caught: `caliper`, `gearbox oil` ... */
  catches: z.array(Text).optional(),
  /** Rubber, fluid, spring, light alloy ... next to it: no flame there. */
  near: z.array(Near).optional(),
  /** What the fastener goes into, for seizing. */
  into: Material.optional(),
  /** What its thread runs in; a nut when left out and the joint takes a new one. */
  hole: ThreadHole.optional(),
  /** Width across flats, mm, where it is not the usual one of its thread (a pipe union, a flanged or small head). */
  headMm: z.number().positive().max(120).optional(),
  /** What turns with it and how it is held: `hold the stud by a 5 mm hexagon key`. */
  counterhold: Text.optional(),
  /** Slackened while the car still stands on its wheels. */
  onWheels: z.boolean().optional(),
  /** What runs out, how many litres, and how it goes back. */
  spills: z.array(z.strictObject({ fluid: Id, litres: ThreePoint, refill: Text })).optional(),
  /** How the parts come asunder once the thread is free (`partings` of release.yaml): taper, pinch, splines ... */
  parting: Id.optional(),
  /** The same joint as another part has it: `KIND.joint` in the same area, or `component.joint`. It is undone once. */
  sameAs: z.array(z.string().min(3).max(170)).min(1).optional(),
  /** Boots, seals and the like that are lost in undoing it, beside its hardware (ids of `hardware.yaml`). */
  loses: z.array(Id).optional(),
  /** Checks of its own kind that tell how rusty the fastener is. */
  rust: z.array(Id).min(1).optional(),
  /** What to write down and to photograph before this joint moves. */
  record: z.array(Text).optional(),
  photograph: z.array(Text).optional(),
  /** Said when it goes back: order of tightening, stage by stage, thread clean ... */
  refit: z.array(Text).optional(),
});
export type Joint = z.infer<typeof Joint>;

/** A thing that would harm the part. */
export const MustNotMeet = z.strictObject({
  harm: Harm,
  /** With `heat`: part temperature above which it is harmed, degC. */
  aboveC: z.number().min(40).max(1200).optional(),
  /** Only when this holds (a property of the component); always when left out. */
  when: Condition.optional(),
  because: Text,
  from: From,
});

/** How damage in a check grows if the part is left as it is (ISO 9224). */
export const Growth = z.strictObject({
  check: Id,
  metal: z.enum(['steel', 'zinc', 'aluminium', 'copper']),
  /** Loss in um that each grade 0 to 5 of the check stands for; a `measure` in mm needs none. */
  lossUm: z.array(z.number().min(0)).length(6).optional(),
  /** Loss at which the limit is reached, um. */
  limitUm: z.number().positive(),
  /** Crevices and mud traps run faster than open faces: multiply the rate by this range. */
  factor: z.tuple([z.number().min(0.1).max(20), z.number().min(0.1).max(20)]),
  /** Counts only when this holds or is not known (properties of the component); always when left out. */
  when: Condition.optional(),
  because: Text,
  from: From,
});
export type Growth = z.infer<typeof Growth>;

/** Finding in a roadworthiness document, beside the verdict and never instead of it. */
export const RoadworthinessNote = z.strictObject({
  id: Id,
  book: RuleBook,
  clause: Text,
  finding: Finding,
  when: Condition,
  text: Text,
  from: From,
});
export type RoadworthinessNote = z.infer<typeof RoadworthinessNote>;

/** One sort of component. One file in `kinds/`. */
export const Kind = z.strictObject({
  id: Id,
  name: Text,
  /** What it is and how to know it. */
  about: Text,
  material: Material,
  safetyCritical: z.boolean(),
  replaceAs: ReplaceAs,
  /** Single-use hardware: always bought new when this holds (`true`: always). It is listed apart and has no index. */
  alwaysNew: z.strictObject({ when: z.union([z.literal(true), Condition]), because: Text, from: From }).optional(),
  /** Mass of one piece, kg, and area that is blasted or painted, dm2. */
  massKg: ThreePoint,
  areaDm2: ThreePoint,
  sizesFrom: From,
  /** Hours to take one off a car, and to put one back, once one can get at it. */
  removalHours: ThreePoint,
  refitHours: ThreePoint,
  hoursFrom: From,
  /** Shared charges (ids of `charges.yaml`) that taking it off and putting it back needs; paid once for all that need them. */
  charges: z.array(Id).optional(),
  /** Component properties that rules here read: name -> meaning with unit. */
  properties: z.record(z.string(), Text).optional(),
  zones: z.array(Zone).min(1).max(12),
  checks: z.array(Check).min(5).max(15),
  derived: z.array(Derived).optional(),
  knockOuts: z.array(KnockOut).min(1),
  growth: z.array(Growth).optional(),
  /** Refinishing routes worth trying (ids of `routes.yaml`). */
  routes: z.array(Id),
  mustNotMeet: z.array(MustNotMeet),
  supplies: z.array(Supply),
  joints: z.array(Joint),
  /**
   * The kind is a fastener itself: thread, class, length and locking of its joint are the component's own properties.
   * `rust` names the checks that tell how rusty its thread is, `heads` those for its hexagon, `heat` the one for a torch.
   */
  fastener: z
    .strictObject({
      is: z.enum(['bolt', 'nut', 'either']),
      rust: z.array(Id).min(1),
      heads: z.array(Id).optional(),
      heat: z.array(Id).optional(),
    })
    .optional(),
  /** Place in a sensible order of taking a car apart, 1 first; 50 when left out. */
  stripOrder: z.number().int().min(1).max(99).optional(),
  /** Kinds that usually sit in it. */
  holds: z.array(Id).optional(),
  /** When it is replaced, look at these: kind and check. */
  mates: z.array(z.strictObject({ kind: Id, check: Id, because: Text })).optional(),
  /** What to write down, and what to photograph, before it moves. */
  record: z.array(Text).min(1),
  photograph: z.array(Text).min(1),
  masking: z.array(Text),
  weakPoints: z.array(z.strictObject({ zone: Id, text: Text, from: From })).min(1),
  symptoms: z.array(z.strictObject({ id: Id, symptom: Text, checks: z.array(Id).min(1) })),
  roadworthiness: z.array(RoadworthinessNote).optional(),
  cautions: z.array(Id).optional(),
});
export type Kind = z.infer<typeof Kind>;

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

/** An outside process: what is paid, `max(minimum, quantity x rate) + handling`, and what it takes and refuses. */
export const Process = z.strictObject({
  id: Id,
  name: Text,
  minimum: ThreePoint,
  perKg: ThreePoint.optional(),
  perDm2: ThreePoint.optional(),
  perPiece: ThreePoint.optional(),
  setUpPerColour: ThreePoint.optional(),
  /** Own hours to pack, take there and fetch back, once a batch. */
  handlingHours: ThreePoint,
  leadDays: ThreePoint,
  takes: z.array(Material).min(1),
  refuses: Text,
  /** Chance that a small part is lost there. */
  lost: Probability,
  from: From,
});
export type Process = z.infer<typeof Process>;

/** What is paid once for several parts. */
export const SharedCharge = z.strictObject({
  id: Id,
  name: Text,
  /** Paid once a job, once for each area of the car in which it is needed, or once an order. */
  per: z.enum(['job', 'area', 'order']),
  hours: ThreePoint,
  money: ThreePoint,
  from: From,
});
export type SharedCharge = z.infer<typeof SharedCharge>;

/** Minutes that several looks share: wheel off, on stands, undertray off. */
export const Setup = z.strictObject({ id: Id, name: Text, minutes: z.number().min(0).max(600), from: From });
export type Setup = z.infer<typeof Setup>;

/** `charges.yaml` */
export const Charges = z.strictObject({
  processes: z.array(Process),
  shared: z.array(SharedCharge),
  setups: z.array(Setup),
});

/** `prices.yaml`: base currency, exchange and labour rates. */
export const Prices = z.strictObject({
  base: Currency,
  /** How much of each currency one unit of the base buys. */
  exchange: z.array(
    z.strictObject({ currency: Currency, perBase: z.number().positive(), from: From, checkedOn: DateText }),
  ),
  /** Workshop labour an hour, base currency. */
  shopRate: z.strictObject({ value: ThreePoint, from: From }),
  /** What an owner's own hour is put at when the assessment does not say. */
  ownRate: z.strictObject({ value: Amount, from: From }),
});
export type Prices = z.infer<typeof Prices>;

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

/** A one-line caution. */
export const Caution = z.strictObject({ id: Id, text: Text, from: From });
export type Caution = z.infer<typeof Caution>;

const AssemblyPart = z.strictObject({
  id: Id,
  name: Text,
  kind: Id,
  count: z.number().int().min(1).max(500).optional(),
  area: Id,
  position: Text.optional(),
  sitsIn: Id.optional(),
  pair: Id.optional(),
  mates: z.array(Id).optional(),
});

/** A blank list to start from: `keepworthy new ASSEMBLY`. */
export const Assembly = z.strictObject({
  id: Id,
  name: Text,
  about: Text,
  /** Whole vehicles are made of other assemblies. */
  includes: z.array(Id).optional(),
  areas: z.array(z.strictObject({ id: Id, name: Text })),
  components: z.array(AssemblyPart),
});
export type Assembly = z.infer<typeof Assembly>;

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

/** What bars which action, for docs and pages. */
export const BARS: Record<KnockOut['bars'], Action[]> = {
  reuse: ['reuse'],
  'reuse-and-refinish': ['reuse', 'refinish'],
};
