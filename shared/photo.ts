import { z } from 'zod';

const Percent = z.number().min(0).max(100);

/** Corners of a part's outline in order, pixels of the upright photo from its top left corner: `[across, down]`. */
export const PhotoOutline = z
  .array(z.tuple([z.number(), z.number()]))
  .min(3, 'at least 3 corners')
  .max(2000, 'at most 2000 corners');
export type PhotoOutline = z.infer<typeof PhotoOutline>;

/** A tap of a person: what the pixel under the finger is. Pixels of the upright photo. */
export const PhotoHint = z.strictObject({
  x: z.number(),
  y: z.number(),
  is: z.enum(['rust', 'not-rust', 'part', 'not-part']),
});
export type PhotoHint = z.infer<typeof PhotoHint>;
export const PhotoHints = z.array(PhotoHint).max(500);

/** A known length on the photo. */
export const PhotoScale = z.strictObject({ lengthPx: z.number().positive(), lengthMm: z.number().positive() });
export type PhotoScale = z.infer<typeof PhotoScale>;

/** `model`: the trained network; `colour`: the rule in CIELAB; `corrected`: either, put right by a person's taps. */
export const PhotoMethod = z.enum(['model', 'colour', 'corrected']);
export type PhotoMethod = z.infer<typeof PhotoMethod>;

/** What a caller may ask of one photo. */
export const PhotoRequest = z.strictObject({
  outline: PhotoOutline.optional(),
  hints: PhotoHints.optional(),
  scale: PhotoScale.optional(),
  method: z.enum(['model', 'colour']).optional(),
});
export type PhotoRequest = z.infer<typeof PhotoRequest>;

export const PhotoFitProblem = z.strictObject({
  id: z.enum([
    'too-few-pixels',
    'blurred',
    'too-dark',
    'too-bright',
    'clipped',
    'too-small',
    'strong-cast',
    'not-a-photo',
  ]),
  what: z.string(),
  advice: z.string(),
});

/** Whether the photo is fit to measure. A photo that is not is declined: a result, not an error. */
export const PhotoFit = z.strictObject({ ok: z.boolean(), problems: z.array(PhotoFitProblem) });
export type PhotoFit = z.infer<typeof PhotoFit>;

/** Rusted share of the assessed surface, per cent, with its 90 % interval. */
export const RustAreaPercent = z
  .strictObject({ value: Percent, low: Percent, high: Percent })
  .refine((area) => area.low <= area.value && area.value <= area.high, 'wanted low <= value <= high');
export type RustAreaPercent = z.infer<typeof RustAreaPercent>;

// Own judgement: of 100 street photos the two together mark 10, of which 6 are off by more than a factor 1.8; of the rest 1 in 5 is.
const UNSURE_FACTOR_FROM = 5;
const UNSURE_POINTS_FROM = 15;
/** Per cent; below it errors no longer shrink with the area. */
const UNSURE_FLOOR = 1;

/** Whether a photo's interval is so wide, as a factor and in points, that its figure says little and a person should look. */
export const isUnsure = ({ low, high }: Pick<RustAreaPercent, 'low' | 'high'>): boolean =>
  high - low > UNSURE_POINTS_FROM && (high + UNSURE_FLOOR) / (low + UNSURE_FLOOR) > UNSURE_FACTOR_FROM;

/** Grades that follow from the percentage; the percentage is what is kept. */
export const PhotoGrades = z.strictObject({
  /** One name on a reference picture's own area, two between pictures, better one first. */
  iso4628_3: z.array(z.string()),
  /** Grade with the letter of the spread: `4-S`. */
  astmD610: z.string(),
  iso10289: z.number(),
});
export type PhotoGrades = z.infer<typeof PhotoGrades>;

/** Rust patches: how many, how large, how spread. */
export const PhotoSpots = z.strictObject({
  count: z.number().int().min(0),
  spread: z.enum(['none', 'spot', 'general', 'pinpoint', 'hybrid']),
  /** Per cent of the assessed surface. */
  largestPercent: Percent,
  medianPercent: Percent,
  /** Patches of up to 0.01, 0.1, 1, 10 and above 10 per cent of the assessed surface. */
  sizes: z.tuple([z.number(), z.number(), z.number(), z.number(), z.number()]),
});
export type PhotoSpots = z.infer<typeof PhotoSpots>;

/** One measured photo, as `keepworthy photo --json` prints it. */
export const PhotoMeasurement = z.strictObject({
  file: z.string(),
  fit: PhotoFit,
  assessed: z.enum(['outline', 'whole-frame']),
  /** Null when the photo was declined. */
  rustAreaPercent: RustAreaPercent.nullable(),
  grades: PhotoGrades.nullable(),
  spots: PhotoSpots.nullable(),
  /** Number of the group: photos of one burst, or near-duplicates, share one. */
  group: z.number().int().min(1),
  method: PhotoMethod,
  /** Time from file to result, milliseconds. */
  ms: z.number().min(0),
  /** Only with a scale and an outline: visible area of the part (to blast or coat) and its rusted area, square centimetres. */
  areaCm2: z.strictObject({ part: z.number(), rust: z.number() }).optional(),
});
export type PhotoMeasurement = z.infer<typeof PhotoMeasurement>;

/** Why a file gave no measurement. */
export const PhotoErrorCode = z.enum([
  'not-found',
  'empty',
  'too-large',
  'too-many-pixels',
  'not-a-picture',
  'damaged',
  'unsupported',
  'too-slow',
  'outline',
  'hints',
  'scale',
  'no-model',
  'crashed',
]);
export type PhotoErrorCode = z.infer<typeof PhotoErrorCode>;

/** The line of a file that could not be measured. */
export const PhotoFailure = z.strictObject({
  file: z.string(),
  error: z.strictObject({ code: PhotoErrorCode, message: z.string() }),
});
export type PhotoFailure = z.infer<typeof PhotoFailure>;

/** One line of `keepworthy photo --json`. */
export const PhotoLine = z.union([PhotoMeasurement, PhotoFailure]);
export type PhotoLine = z.infer<typeof PhotoLine>;
