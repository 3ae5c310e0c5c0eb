import { z } from 'zod';
import { Assessment, Component } from './assessment.ts';
import { Change, ChangeId, KeptChange, PhotoId } from './change.ts';
import { Kind } from './kind.ts';
import { PhotoHints, PhotoMeasurement, PhotoOutline, PhotoRequest, PhotoScale } from './photo.ts';
import { PlanOut } from './plan.ts';
import { Caution, Source } from './rubric.ts';
import { Currency, Id, Text } from './units.ts';
import { ScoreOut } from './verdict.ts';
import { Stage, WantedFinish } from './words.ts';

/**
 * What a device may do. `read`: look. `grade`: also answer checks, add and outline photos, write positions and
 * what was spent. `own`: everything.
 */
export const Role = z.enum(['read', 'grade', 'own']);
export type Role = z.infer<typeof Role>;

/** Stable names of what can go wrong, the last part of a problem's `type`. */
export const PROBLEMS = [
  'bad-request',
  'not-paired',
  'not-allowed',
  'not-found',
  'conflict',
  'gone',
  'stale',
  'need-if-match',
  'too-large',
  'wrong-type',
  'unfit',
  'too-many',
  'wrong-host',
  'wrong-origin',
  'disk-full',
  'read-only',
  'fault',
] as const;
export type ProblemName = (typeof PROBLEMS)[number];

/** Problem details (RFC 9457), media type `application/problem+json`. Every error has this form. */
export const Problem = z.object({
  /** `/problems/NAME`, one of `PROBLEMS`. */
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string().optional(),
  /** What is wrong with the input, field by field, for showing beside the field. */
  faults: z.array(z.object({ path: z.string(), wanted: z.string(), found: z.string() })).optional(),
  /** With `stale`: the version now. */
  version: z.number().int().optional(),
});
export type Problem = z.infer<typeof Problem>;

/** One row of the list. */
export const AssessmentRow = z.object({
  id: z.string(),
  name: z.string(),
  vehicle: z.string().nullable(),
  date: z.string(),
  purpose: z.string(),
  wantedFinish: WantedFinish,
  currency: Currency,
  components: z.number().int(),
  /** Checks with at least one answer that is a value or says why there is none. */
  answered: z.number().int(),
  photos: z.number().int(),
  /** Names of those who graded. */
  graders: z.array(z.string()),
  /** Id of the demo it was made from, or null. */
  demo: z.string().nullable(),
  version: z.number().int(),
  /** Times, ISO 8601 with zone. */
  createdAt: z.string(),
  changedAt: z.string(),
  /** Set when it lies in the bin. */
  deletedAt: z.string().nullable(),
});
export type AssessmentRow = z.infer<typeof AssessmentRow>;

/** A new assessment: from an assembly of the rubric (one part alone: `kind`), with what the page asked first. */
export const NewAssessment = z.strictObject({
  /** Made from the name when left out. */
  id: Id.optional(),
  name: Text,
  assembly: Id.optional(),
  kind: Id.optional(),
  fields: Assessment.omit({ format: true, $schema: true, id: true, name: true, components: true }).partial().optional(),
});
export type NewAssessment = z.infer<typeof NewAssessment>;

/** Changes to keep, oldest first. */
export const ChangesRequest = z.strictObject({ changes: z.array(Change).min(1).max(500) });
export type ChangesRequest = z.infer<typeof ChangesRequest>;

/** `kept`: now in the assessment, durably. `already`: was kept before under the same id. `refused`: see `problem`. */
export const ChangeResult = z.object({
  id: z.string(),
  outcome: z.enum(['kept', 'already', 'refused']),
  problem: Problem.optional(),
});
export type ChangeResult = z.infer<typeof ChangeResult>;

/** Sent with 200 when at least one change is kept (or was already); with the problem's own status when all are refused. */
export const ChangesAnswer = z.object({ version: z.number().int(), results: z.array(ChangeResult) });
export type ChangesAnswer = z.infer<typeof ChangesAnswer>;

/** One kept change. */
export const HistoryEntry = z.object({
  id: z.string(),
  /** Version of the assessment that it made. */
  version: z.number().int(),
  at: z.string(),
  by: z.string(),
  device: z.string(),
  /** In words: `Answered weld-toe-rust of arm-left: 3`. */
  words: z.string(),
  change: KeptChange,
  /** Id of what came in together, as a parts list does, and is undone together; null for what came alone. */
  list: z.string().nullable(),
  /** Id of the change that this one undoes, or null. */
  undoes: z.string().nullable(),
  /** Id of the change that undid this one, or null. */
  undoneBy: z.string().nullable(),
});
export type HistoryEntry = z.infer<typeof HistoryEntry>;

/** A photo as stored. Upright sRGB, without location. */
export const StoredPhoto = z.object({
  id: z.string(),
  /** Content address: SHA-256 of the stored bytes, with an ending. */
  file: z.string(),
  /** Name it came with. */
  name: z.string(),
  bytes: z.number().int(),
  width: z.number().int(),
  height: z.number().int(),
  /** When it was taken, as the camera said, or null. */
  takenAt: z.string().nullable(),
  addedAt: z.string(),
  by: z.string(),
  component: z.string().nullable(),
  check: z.string().nullable(),
  stage: Stage.nullable(),
  outline: PhotoOutline.nullable(),
  hints: PhotoHints.nullable(),
  scale: PhotoScale.nullable(),
  /** Newest kept measurement, or null. */
  measurement: PhotoMeasurement.nullable(),
  struck: z.object({ reason: z.string(), by: z.string(), date: z.string() }).nullable(),
  removedAt: z.string().nullable(),
});
export type StoredPhoto = z.infer<typeof StoredPhoto>;

/** Measure a stored photo. With `keep` (an id, so that it can be sent twice) outline and result are kept and enter the assessment. */
export const MeasureRequest = z.strictObject({ ...PhotoRequest.shape, keep: ChangeId.optional() });
export type MeasureRequest = z.infer<typeof MeasureRequest>;
export const MeasureAnswer = z.object({ measurement: PhotoMeasurement, photo: StoredPhoto, version: z.number().int() });
export type MeasureAnswer = z.infer<typeof MeasureAnswer>;

/** What an import brought. */
export const ImportAnswer = z.object({
  id: z.string(),
  name: z.string(),
  version: z.number().int(),
  components: z.number().int(),
  photos: z.number().int(),
  /** Anything a person should know: a new id because the old one was taken, columns kept as properties, another rubric. */
  notes: z.array(z.string()),
});
export type ImportAnswer = z.infer<typeof ImportAnswer>;

/** What a parts list brought into an assessment, or would bring. */
export const PartsAnswer = z.object({
  added: z.array(z.object({ id: z.string(), name: z.string(), kind: z.string() })),
  changed: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      fields: z.array(z.object({ field: z.string(), was: z.string().nullable(), now: z.string().nullable() })),
    }),
  ),
  /** Rows that say what is there already. */
  same: z.number().int(),
  refused: z.array(z.object({ id: z.string(), name: z.string(), why: z.string() })),
  notes: z.array(z.string()),
  /** Ids of the kept changes, oldest first; undoing one undoes them all. None for a preview. */
  changes: z.array(ChangeId),
});
export type PartsAnswer = z.infer<typeof PartsAnswer>;

export const Demo = z.object({ id: z.string(), name: z.string(), about: z.string(), components: z.number().int() });
export type Demo = z.infer<typeof Demo>;

export const Device = z.object({
  id: z.string(),
  name: z.string(),
  role: Role,
  pairedAt: z.string(),
  lastSeenAt: z.string(),
  /** Has an open page now. */
  here: z.boolean(),
  /** The device that asks. */
  self: z.boolean(),
});
export type Device = z.infer<typeof Device>;

/** Who asks, and over what. */
export const Me = z.object({
  role: Role.nullable(),
  /** Null for this computer itself. */
  device: z.string().nullable(),
  /** Name under which changes are kept. */
  name: z.string(),
  /** `loopback`: never leaves this computer. `http`: readable on the network. `https`: not readable. */
  transport: z.enum(['loopback', 'http', 'https']),
  /** True when the browser lets the page reload without the network (https, or this computer). */
  reloadsOffline: z.boolean(),
  /** One or two sentences: what this transport means, and who can listen. */
  words: z.array(z.string()),
  shared: z.boolean(),
  /** Addresses under which other devices reach it, `http://192.0.2.17:8420`. */
  addresses: z.array(z.string()),
  /** SHA-256 fingerprint of our own certificate, for comparing by eye, or null. */
  fingerprint: z.string().nullable(),
  version: z.string(),
  rubricVersion: z.string(),
});
export type Me = z.infer<typeof Me>;

/** A fresh pairing code. The link carries it behind `#`, which browsers never send. */
export const Pairing = z.object({
  token: z.string(),
  role: Role,
  link: z.string(),
  /** The link as a QR code, SVG text. */
  qr: z.string(),
  expiresAt: z.string(),
});
export type Pairing = z.infer<typeof Pairing>;

export const PairRequest = z.strictObject({
  /** Spaces, hyphens and case do not matter. */
  token: z.string().min(4).max(60),
  /** Who will be grading with it. */
  name: z.string().min(1).max(80),
});

/** Rubric entry of one kind with everything it points at. */
export const KindAnswer = z.object({
  rubricVersion: z.string(),
  kind: Kind,
  sources: z.array(Source),
  cautions: z.array(Caution),
});
export type KindAnswer = z.infer<typeof KindAnswer>;

/**
 * Data of one server-sent event of `/api/events`, by the event's name:
 * `hello` on every (re)connection, `changed` when an assessment changed (also its photos), `list` when one was made, deleted or
 * brought back, `devices` when pairing changed.
 */
export const EventData = z.discriminatedUnion('event', [
  z.object({ event: z.literal('hello'), rubricVersion: z.string(), version: z.string() }),
  z.object({
    event: z.literal('changed'),
    assessment: z.string(),
    version: z.number().int(),
    by: z.string(),
    device: z.string(),
    /** Ids of the changes, so that a page can tell its own. */
    changes: z.array(z.string()),
    components: z.array(z.string()),
  }),
  z.object({ event: z.literal('list') }),
  z.object({ event: z.literal('devices') }),
]);
export type EventData = z.infer<typeof EventData>;

const AssessmentPath = z.object({ id: Id });
const PhotoPath = z.object({ id: Id, photo: PhotoId });
const Whole = z.coerce.number().int();

/** `application/json` unless the answer says otherwise. */
type Answer = z.ZodType | { mediaType: string };

export interface ApiRoute {
  method: 'get' | 'post' | 'patch' | 'delete';
  /** OpenAPI path, `{name}` for parameters. */
  path: string;
  about: string;
  /** Least role that may call it; null: anyone, paired or not. */
  role: Role | null;
  params?: z.ZodObject;
  query?: z.ZodObject;
  /** JSON body, or media types of a raw one. */
  body?: z.ZodType | { mediaTypes: readonly string[] };
  status: 200 | 201 | 204;
  answer: Answer | null;
  /** Statuses of problems that this route in particular can give, besides 400, 401, 403, 500. */
  problems?: readonly number[];
}

/** Every route of the API, by name. Server, page and OpenAPI document are made from this one table. */
export const API = {
  me: {
    method: 'get',
    path: '/api/me',
    about: 'Who asks, over what, and who can listen',
    role: null,
    status: 200,
    answer: Me,
  },
  rename: {
    method: 'patch',
    path: '/api/me',
    about: 'Change the name under which changes of this device are kept',
    role: 'read',
    body: z.strictObject({ name: z.string().min(1).max(80) }),
    status: 200,
    answer: Me,
  },
  events: {
    method: 'get',
    path: '/api/events',
    about: 'Server-sent events: what changed',
    role: 'read',
    status: 200,
    answer: { mediaType: 'text/event-stream' },
  },
  openapi: {
    method: 'get',
    path: '/api/openapi.json',
    about: 'This API as an OpenAPI 3.1 document',
    role: null,
    status: 200,
    answer: z.record(z.string(), z.unknown()),
  },

  listAssessments: {
    method: 'get',
    path: '/api/assessments',
    about: 'All assessments, newest change first; those in the bin with bin=true',
    role: 'read',
    query: z.object({ bin: z.enum(['true', 'false']).optional() }),
    status: 200,
    answer: z.array(AssessmentRow),
  },
  createAssessment: {
    method: 'post',
    path: '/api/assessments',
    about: 'New from an assembly, or one part alone',
    role: 'own',
    body: NewAssessment,
    status: 201,
    answer: AssessmentRow,
    problems: [409, 422],
  },
  /** ETag is `"VERSION-..."`; the header `Keepworthy-Rubric` names the rubric version that judges it. */
  readAssessment: {
    method: 'get',
    path: '/api/assessments/{id}',
    about: 'The whole assessment, with an ETag',
    role: 'read',
    params: AssessmentPath,
    status: 200,
    answer: Assessment,
    problems: [404],
  },
  /** First step: into the bin. Second step: the same again with forever=true. */
  deleteAssessment: {
    method: 'delete',
    path: '/api/assessments/{id}',
    about: 'Into the bin; out of the bin for good with forever=true',
    role: 'own',
    params: AssessmentPath,
    query: z.object({ forever: z.enum(['true', 'false']).optional() }),
    status: 204,
    answer: null,
    problems: [404, 409],
  },
  restoreAssessment: {
    method: 'post',
    path: '/api/assessments/{id}/restore',
    about: 'Back from the bin',
    role: 'own',
    params: AssessmentPath,
    status: 200,
    answer: AssessmentRow,
    problems: [404],
  },
  /** `set-...` changes need the header If-Match with the ETag that was read, or their own `seen`. */
  changeAssessment: {
    method: 'post',
    path: '/api/assessments/{id}/changes',
    about: 'Small changes, each kept once by its id; answers merge and never replace one another',
    role: 'grade',
    params: AssessmentPath,
    body: ChangesRequest,
    status: 200,
    answer: ChangesAnswer,
    problems: [404, 409, 412, 413, 422, 428],
  },
  /**
   * Without `change`: the newest change of the asking device that is not undone yet. What came in with it as one parts list
   * is undone too, all of it or nothing. Undoing an undo does it again.
   */
  undo: {
    method: 'post',
    path: '/api/assessments/{id}/undo',
    about: 'Undo one change, or all that came in with it as one parts list',
    role: 'grade',
    params: AssessmentPath,
    body: z.strictObject({ id: ChangeId, change: ChangeId.optional() }),
    status: 200,
    answer: z.object({ version: z.number().int(), undone: HistoryEntry }),
    problems: [404, 409],
  },
  history: {
    method: 'get',
    path: '/api/assessments/{id}/history',
    about: 'Kept changes, newest first',
    role: 'read',
    params: AssessmentPath,
    query: z.object({
      component: Id.optional(),
      /** Only versions below this one, for reading on. */
      before: Whole.optional(),
      limit: Whole.min(1).max(500).optional(),
    }),
    status: 200,
    answer: z.array(HistoryEntry),
    problems: [404],
  },
  readComponent: {
    method: 'get',
    path: '/api/assessments/{id}/components/{component}',
    about: 'One component as it stands',
    role: 'read',
    params: z.object({ id: Id, component: Id }),
    status: 200,
    answer: Component,
    problems: [404],
  },
  /**
   * The header `Keepworthy-Version` names the version of the assessment that was judged. With `ready` it may be an earlier
   * one: what can be shown at once while the newest is worked out.
   */
  score: {
    method: 'get',
    path: '/api/assessments/{id}/score',
    about: 'Verdicts: the document that `keepworthy score --json` prints',
    role: 'read',
    params: AssessmentPath,
    query: z.object({
      seed: Whole.min(0).optional(),
      minutes: z.coerce.number().min(0).max(100000).optional(),
      ready: z.enum(['true', 'false']).optional(),
    }),
    status: 200,
    answer: ScoreOut,
    problems: [404],
  },
  plan: {
    method: 'get',
    path: '/api/assessments/{id}/plan',
    about: 'The whole job: totals, batches, strip-down, shopping',
    role: 'read',
    params: AssessmentPath,
    query: z.object({ seed: Whole.min(0).optional() }),
    status: 200,
    answer: PlanOut,
    problems: [404],
  },

  listPhotos: {
    method: 'get',
    path: '/api/assessments/{id}/photos',
    about: 'All photos of an assessment, assigned or not, oldest first; removed ones with removed=true',
    role: 'read',
    params: AssessmentPath,
    query: z.object({ removed: z.enum(['true', 'false']).optional() }),
    status: 200,
    answer: z.array(StoredPhoto),
    problems: [404],
  },
  /** The body is the file itself, nothing round it. */
  addPhoto: {
    method: 'post',
    path: '/api/assessments/{id}/photos',
    about: 'Take in one photo; sent twice with the same id it is kept once',
    role: 'grade',
    params: AssessmentPath,
    query: z.object({
      photo: PhotoId,
      name: z.string().min(1).max(200).optional(),
      component: Id.optional(),
      check: Id.optional(),
      stage: Stage.optional(),
    }),
    body: { mediaTypes: ['image/*', 'application/octet-stream'] },
    status: 201,
    answer: StoredPhoto,
    problems: [404, 409, 413, 415, 422],
  },
  /** `width` gives a smaller JPEG (made once and kept); without it the stored file. */
  photoFile: {
    method: 'get',
    path: '/api/assessments/{id}/photos/{photo}/file',
    about: 'The picture, whole or at most so many pixels wide',
    role: 'read',
    params: PhotoPath,
    query: z.object({ width: Whole.min(32).max(2048).optional() }),
    status: 200,
    answer: { mediaType: 'image/*' },
    problems: [404],
  },
  /** White is rust, black is not; the stored photo's shape, at most 1024 pixels on the longer side. */
  photoMask: {
    method: 'get',
    path: '/api/assessments/{id}/photos/{photo}/mask',
    about: 'Rust mask of the newest kept measurement, PNG',
    role: 'read',
    params: PhotoPath,
    status: 200,
    answer: { mediaType: 'image/png' },
    problems: [404],
  },
  measurePhoto: {
    method: 'post',
    path: '/api/assessments/{id}/photos/{photo}/measure',
    about: 'Measure with an outline, taps and a scale; kept with `keep`',
    role: 'grade',
    params: PhotoPath,
    body: MeasureRequest,
    status: 200,
    answer: MeasureAnswer,
    problems: [404, 409, 422],
  },
  removePhoto: {
    method: 'delete',
    path: '/api/assessments/{id}/photos/{photo}',
    about: 'Take a photo away; it stays until the assessment is deleted for good',
    role: 'own',
    params: PhotoPath,
    status: 204,
    answer: null,
    problems: [404],
  },
  restorePhoto: {
    method: 'post',
    path: '/api/assessments/{id}/photos/{photo}/restore',
    about: 'Bring a photo back that was taken away',
    role: 'own',
    params: PhotoPath,
    status: 200,
    answer: StoredPhoto,
    problems: [404],
  },

  /** `format`: `zip` (assessment, rubric, photos), `json` (the assessment alone), `csv` (parts list). */
  exportAssessment: {
    method: 'get',
    path: '/api/assessments/{id}/export',
    about: 'The assessment as one file',
    role: 'read',
    params: AssessmentPath,
    query: z.object({ format: z.enum(['zip', 'json', 'csv']).optional() }),
    status: 200,
    answer: { mediaType: 'application/zip' },
    problems: [404],
  },
  importAssessment: {
    method: 'post',
    path: '/api/import',
    about:
      'A .zip, .json or .yaml assessment, or a .csv parts list, as a new assessment; what it is is read from its content',
    role: 'own',
    query: z.object({ name: z.string().min(1).max(200).optional() }),
    body: {
      mediaTypes: ['application/zip', 'application/json', 'application/yaml', 'text/csv', 'application/octet-stream'],
    },
    status: 201,
    answer: ImportAnswer,
    problems: [413, 422],
  },
  /** Rows with a known id change that component, others are added. Nothing is removed. */
  importParts: {
    method: 'post',
    path: '/api/assessments/{id}/parts',
    about: 'A .csv parts list into this assessment; with preview=true nothing is kept',
    role: 'own',
    params: AssessmentPath,
    query: z.object({ preview: z.enum(['true', 'false']).optional() }),
    body: { mediaTypes: ['text/csv', 'application/octet-stream'] },
    status: 200,
    answer: PartsAnswer,
    problems: [404, 413, 422],
  },

  /** Large, and named by its version, so it is read once and kept by the browser. */
  rubric: {
    method: 'get',
    path: '/api/rubric',
    about: 'The whole rubric as the engine takes it; another version that came with an import by `version`',
    role: 'read',
    query: z.object({ version: z.string().max(200).optional() }),
    status: 200,
    answer: z.record(z.string(), z.unknown()),
    problems: [404],
  },
  kind: {
    method: 'get',
    path: '/api/rubric/kinds/{kind}',
    about: 'One kind with its sources and cautions',
    role: 'read',
    params: z.object({ kind: Id }),
    status: 200,
    answer: KindAnswer,
    problems: [404],
  },
  listDemos: {
    method: 'get',
    path: '/api/demos',
    about: 'The demos that can be opened',
    role: 'read',
    status: 200,
    answer: z.array(Demo),
  },
  openDemo: {
    method: 'post',
    path: '/api/demos/{demo}',
    about: 'A fresh copy of a demo as an assessment',
    role: 'own',
    params: z.object({ demo: Id }),
    status: 201,
    answer: AssessmentRow,
    problems: [404],
  },

  newPairing: {
    method: 'post',
    path: '/api/pairing',
    about: 'A one-time code for the next device; ends the one before',
    role: 'own',
    body: z.strictObject({ role: Role }),
    status: 201,
    answer: Pairing,
    problems: [409],
  },
  pair: {
    method: 'post',
    path: '/api/pair',
    about: 'Spend a code; the answer sets the session cookie',
    role: null,
    body: PairRequest,
    status: 200,
    answer: Me,
    problems: [429],
  },
  listDevices: {
    method: 'get',
    path: '/api/devices',
    about: 'Paired devices',
    role: 'own',
    status: 200,
    answer: z.array(Device),
  },
  changeDevice: {
    method: 'patch',
    path: '/api/devices/{device}',
    about: 'Change what a device may do',
    role: 'own',
    params: z.object({ device: z.string().max(80) }),
    body: z.strictObject({ role: Role }),
    status: 200,
    answer: Device,
    problems: [404],
  },
  revokeDevice: {
    method: 'delete',
    path: '/api/devices/{device}',
    about: 'Shut a device out at once',
    role: 'own',
    params: z.object({ device: z.string().max(80) }),
    status: 204,
    answer: null,
    problems: [404],
  },
} as const satisfies Record<string, ApiRoute>;
export type ApiName = keyof typeof API;
