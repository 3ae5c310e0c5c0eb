import { z } from 'zod';
import { Joint } from './joint.ts';
import { FoundFastener } from './joint-words.ts';
import { Supply } from './supply.ts';
import { Amount, Currency, DateText, Id, LengthUnit, Text, ThreePoint, Unit } from './units.ts';
import { Action, Atmosphere, Material, Method, RuleBook, Stage, WantedFinish } from './words.ts';

/** Format name of an assessment file; a newer one is refused with a plain message. */
export const ASSESSMENT_FORMAT = 'keepworthy-assessment/1';

/** A value of a check: a grade 0 to 5, a measured figure in the check's unit (or `unit`), or the id of a choice. */
export const Value = z.union([z.number(), Id]);
export type Value = z.infer<typeof Value>;

/** Share of a counted set that has one value. */
export const SplitShare = z.strictObject({ count: z.number().int().min(1).max(500), value: Value });

/** Why there is no value. A later one of these never erases an earlier answer. */
export const NoValue = z.enum(['not-seen', 'not-possible', 'not-applicable']);

/** One dated answer to a check. Exactly one of `value`, `split` and `none`. */
export const Observation = z
  .strictObject({
    /** Id of the check in the component's kind. */
    check: Id,
    value: Value.optional(),
    /** Counted sets: "2 at grade 1, 2 at grade 4". The counts add up to the component's. Members keep their order across checks. */
    split: z.array(SplitShare).min(1).max(50).optional(),
    none: NoValue.optional(),
    /** Unit of a measured value when it is not the check's own: `mm` and `in` are exchanged. */
    unit: Unit.optional(),
    /** How the part was when it was looked at; the component's stage when left out. */
    stage: Stage.optional(),
    /** How it was found; the check's own method when left out. */
    method: Method.optional(),
    date: DateText,
    /** Who looked. Two graders of one stage give an interval. */
    grader: z.string().min(1).max(80).optional(),
    note: Text.optional(),
    /** Stable id, so that the same answer sent twice is kept once. */
    id: z.string().min(1).max(80).optional(),
  })
  .refine(
    (o) => [o.value, o.split, o.none].filter((x) => x !== undefined).length === 1,
    'wanted exactly one of value, split, none',
  );
export type Observation = z.infer<typeof Observation>;

/** How far a position found on the car can be trusted. */
export const PositionTrust = z.enum(['as-found', 'matches-data', 'not-to-be-trusted']);

/** Something written down before it moved: shims by side, orientation, scribe marks. */
export const RecordedPosition = z.strictObject({
  id: Id,
  what: Text,
  found: Text,
  trust: PositionTrust,
  because: Text.optional(),
  date: DateText,
});
export type RecordedPosition = z.infer<typeof RecordedPosition>;

/** A person's decision against the computed verdict. Both are always shown. */
export const Override = z.strictObject({
  action: Action,
  reason: z.string().min(3).max(2000),
  by: z.string().min(1).max(80),
  date: DateText,
});
export type Override = z.infer<typeof Override>;

/** What was really spent. */
export const Actual = z.strictObject({
  /** Operation, supply or `removal`, `refit`. */
  on: Id,
  hours: Amount.optional(),
  money: Amount.optional(),
  date: DateText,
  note: Text.optional(),
});
export type Actual = z.infer<typeof Actual>;

/** A photo of the component. Only one with an outline enters the assessment. */
export const PhotoRecord = z.strictObject({
  id: z.string().min(1).max(80),
  /** File beside the assessment, or the stored photo's content address. */
  file: z.string().min(1).max(300),
  /** Check whose lower end it lifts (one with `photo: true`). */
  check: Id.optional(),
  stage: Stage.optional(),
  date: DateText,
  /** Part outline, pixels of the upright picture, `[x, y]` corners in order. */
  outline: z
    .array(z.tuple([z.number(), z.number()]))
    .min(3)
    .max(2000)
    .optional(),
  /** Measured rust area inside the outline, per cent, with its 90 % interval. Filled by `keepworthy photo` or the page. */
  rustAreaPercent: z
    .strictObject({
      value: z.number().min(0).max(100),
      low: z.number().min(0).max(100),
      high: z.number().min(0).max(100),
      method: z.enum(['model', 'colour', 'corrected']),
    })
    .refine((r) => r.low <= r.value && r.value <= r.high, 'wanted low <= value <= high')
    .optional(),
  /** Struck by a person; kept, and no longer counted. */
  struck: z
    .strictObject({ reason: z.string().min(3).max(2000), by: z.string().min(1).max(80), date: DateText })
    .optional(),
});
export type PhotoRecord = z.infer<typeof PhotoRecord>;

/** A fastener that an earlier hand left sheared, missing, rounded, cross-threaded or wrong. */
export const FoundLeft = z.strictObject({
  /** Joint of this component; for a fastener itself left out. */
  joint: Id.optional(),
  found: FoundFastener,
  count: z.number().int().min(1).max(200),
  date: DateText,
  note: Text.optional(),
});
export type FoundLeft = z.infer<typeof FoundLeft>;

/** Pieces that went out to a shop, and those that came back. */
export const Sent = z.strictObject({
  /** Outside process of the rubric. */
  process: Id,
  component: Id,
  out: z.number().int().min(1).max(500),
  /** Left out while they are away. */
  back: z.number().int().min(0).max(500).optional(),
  date: DateText,
  note: Text.optional(),
});
export type Sent = z.infer<typeof Sent>;

/** One part, or a counted set of like parts, at one position. */
export const Component = z.strictObject({
  id: Id,
  name: Text,
  /** Kind of the rubric. */
  kind: Id,
  /** How many pieces; 1 when left out. */
  count: z.number().int().min(1).max(500).optional(),
  /** Area of the vehicle. */
  area: Id.optional(),
  /** Words: `front left, lower`. */
  position: Text.optional(),
  /** How the part is now. */
  stage: Stage,
  /** Component it sits in; heated, blasted, lost or bought with it unless `takenOut`. */
  sitsIn: Id.optional(),
  takenOut: z.boolean().optional(),
  /** The mate across the axle, when the kind is replaced in pairs. */
  pair: Id.optional(),
  /** Components it runs against: looked at when this one is replaced. */
  mates: z.array(Id).optional(),
  material: Material.optional(),
  /** Mass of one piece, kg, and area that is blasted or painted, dm2, when known. */
  massKg: z.number().positive().max(2000).optional(),
  areaDm2: z.number().positive().max(20000).optional(),
  /** Facts the kind's rules read: `thread`, `class`, `hardnessHV`, `wallMm`, `alloy` ... */
  properties: z.record(z.string().min(1).max(60), z.union([z.string().max(200), z.number()])).optional(),
  /** Joints as they are on this car; one of the same id as a joint of the kind takes its place. */
  joints: z.array(Joint).optional(),
  /** This component is the bolt (nut, stud) of that joint, `component.joint`, or of each of these: undone, counted and bought once. */
  fastens: z.union([z.string().min(3).max(170), z.array(z.string().min(3).max(170)).min(1).max(50)]).optional(),
  /** What an earlier hand left behind. */
  foundLeft: z.array(FoundLeft).optional(),
  positions: z.array(RecordedPosition).optional(),
  /** Supplies known for this very part, in the assessment's currency, instead of the rubric's. Empty: none to be had. */
  supplies: z.array(Supply).optional(),
  /** What the owner would pay to keep the original, assessment's currency. */
  keepOriginal: Amount.optional(),
  /** Symptoms noticed on the last drive (ids of the kind). */
  symptoms: z.array(Id).optional(),
  /** Colour wanted, for batches at the coater. */
  colour: z.string().min(1).max(60).optional(),
  observations: z.array(Observation).optional(),
  photos: z.array(PhotoRecord).optional(),
  override: Override.optional(),
  actuals: z.array(Actual).optional(),
  note: Text.optional(),
});
export type Component = z.infer<typeof Component>;

/** Things that hide the same checks of several components at once ("underside under sealer, cannot see"). They share one draw. */
export const Cover = z.strictObject({
  id: Id,
  name: Text,
  area: Id.optional(),
  /** `component` or `component.check`. */
  hides: z.array(z.string().min(1).max(170)).optional(),
});

/** Rates and who does the work. */
export const Rates = z.strictObject({
  /** What the owner puts an hour of their own time at. */
  own: Amount.optional(),
  /** Workshop labour an hour: low, usual, high. */
  shop: ThreePoint.optional(),
  /** Who does the work that is not sent out. */
  labour: z.enum(['own', 'shop']).optional(),
  /** Units of the assessment's currency that one unit of the rubric's base currency buys; needed for a currency the rubric has no rate for. */
  exchange: z.number().positive().max(1e7).optional(),
});

/** Figures for a look before buying. */
export const Purchase = z.strictObject({
  asking: Amount.optional(),
  /** The most the buyer will have in the car. */
  ceiling: Amount.optional(),
  /** What it is worth when done. */
  worthDone: Amount.optional(),
});

/** One vehicle or assembly, its components and its circumstances. */
export const Assessment = z.strictObject({
  $schema: z.string().max(300).optional(),
  format: z.literal(ASSESSMENT_FORMAT),
  id: Id,
  name: Text,
  vehicle: Text.optional(),
  date: DateText,
  purpose: z.enum(['pre-purchase', 'scope', 'triage']),
  wantedFinish: WantedFinish,
  /** How long the owner means to keep it, years. */
  horizonYears: z.number().min(0).max(60),
  /** Air it will live in (ISO 9223). */
  atmosphere: Atmosphere,
  /** Years it has been in use, when known. */
  ageYears: z.number().min(0).max(150).optional(),
  ruleBook: RuleBook,
  units: LengthUnit,
  currency: Currency,
  rates: Rates,
  /** Own hours a week that go into the job. */
  hoursPerWeek: z.number().positive().max(120).optional(),
  areas: z.array(z.strictObject({ id: Id, name: Text })),
  covers: z.array(Cover).optional(),
  /** Outside processes to which a batch goes anyway. */
  batchesGoing: z.array(Id).optional(),
  /** What went out to a shop and came back. */
  sent: z.array(Sent).optional(),
  /** Shared charges already paid or not needed here (ids). */
  chargesPaid: z.array(Id).optional(),
  purchase: Purchase.optional(),
  /** `false` turns off the correction of estimates by what was really spent. */
  learnFromActuals: z.boolean().optional(),
  components: z.array(Component).min(1).max(20000),
});
export type Assessment = z.infer<typeof Assessment>;
