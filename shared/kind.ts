import { z } from 'zod';
import { Check, Zone } from './check.ts';
import { Condition } from './condition.ts';
import { From } from './from.ts';
import { Joint } from './joint.ts';
import { Supply } from './supply.ts';
import { Id, Text, ThreePoint } from './units.ts';
import { Finding, Harm, Material, ReplaceAs, RuleBook } from './words.ts';

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
