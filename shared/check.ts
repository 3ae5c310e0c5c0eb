import { z } from 'zod';
import { From } from './from.ts';
import { Id, Text, Unit } from './units.ts';
import { Method, Stage } from './words.ts';

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
