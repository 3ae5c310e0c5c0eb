import { z } from 'zod';
import {
  Actual,
  Assessment,
  Component,
  Cover,
  Observation,
  Override,
  PhotoRecord,
  RecordedPosition,
} from './assessment.ts';
import { Id } from './units.ts';
import { Stage } from './words.ts';

/** Id made by whoever sends a change, so that the same change sent twice is kept once. A UUID will do. */
export const ChangeId = z
  .string()
  .regex(/^[A-Za-z0-9_.:-]+$/, 'wanted letters, digits, "_", ".", ":" or "-"')
  .min(8)
  .max(80);

/** Id of a stored photo, made by whoever uploads it. */
export const PhotoId = z
  .string()
  .regex(/^[A-Za-z0-9_-]+$/, 'wanted letters, digits, "_" or "-"')
  .min(1)
  .max(80);

const header = {
  id: true,
  format: true,
  $schema: true,
  components: true,
} as const;

/** Everything of an assessment but its id and its components. */
export const AssessmentFields = Assessment.omit(header).partial();
export type AssessmentFields = z.infer<typeof AssessmentFields>;

/** Everything of a component that is replaced whole. Answers, photos and the like have changes of their own. */
export const ComponentFields = Component.omit({
  id: true,
  observations: true,
  photos: true,
  override: true,
  actuals: true,
  positions: true,
}).partial();
export type ComponentFields = z.infer<typeof ComponentFields>;

const Field = z.string().min(1).max(60);

/** Fields common to every change. */
const base = {
  id: ChangeId,
  /** When the person did it, by their own clock; the server keeps its own time as well. */
  at: z.iso.datetime({ offset: true }).optional(),
};

/** Version of the assessment that the person saw. The change is kept if nobody has touched the same field since. */
const seen = { seen: z.number().int().min(0).optional() };

/**
 * Replaces fields of the assessment (`set`) or empties optional ones (`clear`). Needs the header `If-Match`, or `seen`.
 */
export const SetAssessment = z.strictObject({
  ...base,
  ...seen,
  type: z.literal('set-assessment'),
  set: AssessmentFields.optional(),
  clear: z.array(Field).max(30).optional(),
});

/** As `set-assessment`, for one component. */
export const SetComponent = z.strictObject({
  ...base,
  ...seen,
  type: z.literal('set-component'),
  component: Id,
  set: ComponentFields.optional(),
  clear: z.array(Field).max(30).optional(),
});

/** Adds a component with a new id, at the end or at `place` (0 first). */
export const AddComponent = z.strictObject({
  ...base,
  type: z.literal('add-component'),
  component: Component,
  place: z.number().int().min(0).optional(),
});

/** Takes a component away, and what points at it. It stays in the history and undo brings it back. */
export const RemoveComponent = z.strictObject({ ...base, type: z.literal('remove-component'), component: Id });

/** Adds one answer. Never replaces another: answers of two people at once are both kept. */
export const Observe = z.strictObject({
  ...base,
  type: z.literal('observe'),
  component: Id,
  /** Its `id` is the change's own when left out. */
  observation: Observation,
  place: z.number().int().min(0).optional(),
});

/** Takes back one answer given by mistake; it stays in the history. */
export const WithdrawObservation = z.strictObject({
  ...base,
  type: z.literal('withdraw-observation'),
  component: Id,
  observation: z.string().min(1).max(80),
  reason: z.string().max(2000).optional(),
});

/**
 * Names what hides several checks (`under sealer`), so that they share one fate in the odds. Adds; never replaces another cover:
 * one whose id is taken gets the next free number behind it.
 */
export const AddCover = z.strictObject({ ...base, type: z.literal('add-cover'), cover: Cover });

/** A person decides against the computed verdict. */
export const SetOverride = z.strictObject({
  ...base,
  type: z.literal('override'),
  component: Id,
  override: Override,
});

export const LiftOverride = z.strictObject({ ...base, type: z.literal('lift-override'), component: Id });

/** Writes down a position before the part moves; one of the same id is replaced. */
export const RecordPosition = z.strictObject({
  ...base,
  type: z.literal('record-position'),
  component: Id,
  position: RecordedPosition,
});

/** What was really spent. */
export const AddActual = z.strictObject({
  ...base,
  type: z.literal('add-actual'),
  component: Id,
  actual: Actual,
});

/** Gives a stored photo to a component (taking it from another), with the check it may worsen and the part's stage. */
export const AssignPhoto = z.strictObject({
  ...base,
  type: z.literal('assign-photo'),
  photo: PhotoId,
  component: Id,
  check: Id.optional(),
  stage: Stage.optional(),
});

/** Takes a photo off its component; the photo itself stays. */
export const UnassignPhoto = z.strictObject({ ...base, type: z.literal('unassign-photo'), photo: PhotoId });

/** Strikes a photo's measurement, with a reason. Both are kept. */
export const StrikePhoto = z.strictObject({
  ...base,
  type: z.literal('strike-photo'),
  photo: PhotoId,
  reason: z.string().min(3).max(2000),
});

/** Judges the assessment by the rubric this server has now, instead of the one it came with. */
export const UseCurrentRubric = z.strictObject({ ...base, type: z.literal('use-current-rubric') });

/** What a person may do to an assessment. */
export const Change = z.discriminatedUnion('type', [
  SetAssessment,
  SetComponent,
  AddComponent,
  RemoveComponent,
  Observe,
  WithdrawObservation,
  AddCover,
  SetOverride,
  LiftOverride,
  RecordPosition,
  AddActual,
  AssignPhoto,
  UnassignPhoto,
  StrikePhoto,
  UseCurrentRubric,
]);
export type Change = z.infer<typeof Change>;

/** Puts one photo's record on a component, in place of the one of the same id: the server's own, from uploads and measurements. */
export const PutPhoto = z.strictObject({
  ...base,
  type: z.literal('put-photo'),
  component: Id,
  photo: PhotoRecord,
  place: z.number().int().min(0).optional(),
});

/** Opposite of `add-actual` and of the first `record-position`, made by undo only. */
export const DropActual = z.strictObject({
  ...base,
  type: z.literal('drop-actual'),
  component: Id,
  place: z.number().int().min(0),
});
export const DropPosition = z.strictObject({
  ...base,
  type: z.literal('drop-position'),
  component: Id,
  position: Id,
});

/** Opposite of `add-cover`. */
export const DropCover = z.strictObject({ ...base, type: z.literal('drop-cover'), cover: Id });

/** Opposite of `use-current-rubric`. */
export const UseRubric = z.strictObject({ ...base, type: z.literal('use-rubric'), version: z.string().max(200) });

/** Every change that the history can hold. */
export const KeptChange = z.discriminatedUnion('type', [
  ...Change.options,
  PutPhoto,
  DropActual,
  DropPosition,
  DropCover,
  UseRubric,
]);
export type KeptChange = z.infer<typeof KeptChange>;
export type ChangeType = KeptChange['type'];
