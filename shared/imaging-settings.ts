import { z } from 'zod';
import { DateText, Text } from './units.ts';

/** A number of the photo method with the reason and the place it comes from; read as the bare number. */
const Setting = z
  .strictObject({
    value: z.number(),
    because: Text,
    /** `SOURCE-ID clause`, or `common-practice`, `from-memory` or `own-judgement`, with words after it if wanted. */
    from: z.string().min(3).max(300),
  })
  .transform((setting) => setting.value);

const fraction = Setting.pipe(z.number().min(0).max(1));
const positive = Setting.pipe(z.number().positive());
const whole = Setting.pipe(z.number().int().min(0));

/** `rubric/imaging.yaml`: every limit of the photo pipeline. */
export const ImagingSettings = z.strictObject({
  name: Text,
  checkedOn: DateText,
  /** Bounds on what is taken in. */
  intake: z.strictObject({
    fileBytesTo: whole,
    pixelsTo: whole,
    secondsTo: positive,
    heicPixelsTo: whole,
    heicSecondsTo: positive,
    heicMemoryBytesTo: whole,
  }),
  /** Size at which a photo is looked at. */
  analysis: z.strictObject({
    longSidePx: whole,
    tileFromRatio: positive,
    tilesTo: whole,
    closerMargin: fraction,
    closerTo: positive,
  }),
  fitness: z.strictObject({
    longSidePxFrom: whole,
    sharpnessFrom: positive,
    meanLumaFrom: positive,
    meanLumaTo: positive,
    blackFractionTo: fraction,
    whiteFractionTo: fraction,
    partFractionFrom: fraction,
    partPxFrom: whole,
    castDegreesTo: positive,
    flatFractionTo: fraction,
    stepFractionFrom: fraction,
    whiteStepFractionFrom: fraction,
    litLuma: positive,
  }),
  cast: z.strictObject({ strength: fraction }),
  colourRule: z.strictObject({
    hueFromDegrees: Setting,
    hueToDegrees: Setting,
    saturationFrom: fraction,
    chromaFrom: positive,
    lightnessFrom: Setting,
    lightnessTo: positive,
  }),
  spread: z.strictObject({
    speckAreaFraction: fraction,
    pinpointSpeckShare: fraction,
    pinpointCount: whole,
    hybridSpeckShare: fraction,
    spotPatches: whole,
    spotCellShare: fraction,
  }),
  hints: z.strictObject({
    positionReach: positive,
    colourReach: positive,
    textureReach: positive,
    featureReach: positive,
    nearShare: fraction,
    ridge: positive,
    target: positive,
  }),
  duplicates: z.strictObject({ sameBits: whole, burstSeconds: positive, burstBits: whole }),
  interval: z.strictObject({
    coverage: fraction,
    floorFraction: fraction,
    sureProbability: fraction,
    baseDoubt: positive,
    secondBandFrom: fraction,
    thirdBandFrom: fraction,
    widen: positive,
    widenCorrected: positive,
  }),
});
export type ImagingSettings = z.infer<typeof ImagingSettings>;
