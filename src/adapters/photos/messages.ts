import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import type { PhotoErrorCode, PhotoRequest } from '../../../shared/photo.ts';
import type { RawPhoto } from '../../app/photo-deps.ts';
import type { FeatureMap, Plane, RgbImage } from '../../imaging/index.ts';
import type { CleanPhoto } from './clean-photo.ts';
import type { DecodedPhoto } from './decode.ts';
import type { PhotoSource } from './read-photo.ts';

/** What a photo process is told when it starts. */
export interface WorkerSettings {
  readonly settings: ImagingSettings;
  readonly modelFolder: string;
  readonly threads: number;
  readonly isHeicOnly: boolean;
}

/** One thing to do. */
export type Job =
  | {
      readonly kind: 'measure';
      readonly source: PhotoSource | { readonly decoded: DecodedPhoto; readonly spentMs: number };
      readonly request: PhotoRequest;
      readonly maskFile?: string | undefined;
      /** Give the mask back, its longer side at most so many pixels. */
      readonly maskLongSidePx?: number | undefined;
      /** Give the picture and the network's map back too, for a page on which a person corrects them. */
      readonly wantsMap?: boolean | undefined;
    }
  | { readonly kind: 'decode-heic'; readonly source: PhotoSource }
  | { readonly kind: 'clean'; readonly source: PhotoSource };

/** A measured photo, with what a page or a reviewer wants beside the figures. */
export interface RawMeasurement extends RawPhoto {
  readonly map?:
    | { readonly image: RgbImage; readonly logits: Plane | null; readonly features?: FeatureMap }
    | undefined;
  /** Rust inside the part as a grey PNG of 0 and 255, upright. */
  readonly maskPng?: Uint8Array | undefined;
}

export type JobResult<J extends Job> = J extends { kind: 'measure' }
  ? RawMeasurement
  : J extends { kind: 'decode-heic' }
    ? DecodedPhoto
    : CleanPhoto;

/** `needs-heic` is not a fault: the pool then asks the one HEIC process first. */
export type ReplyErrorCode = PhotoErrorCode | 'needs-heic';

export type Reply =
  | { readonly id: number; readonly ok: true; readonly result: unknown; readonly rssBytes: number }
  | { readonly id: number; readonly ok: false; readonly code: ReplyErrorCode; readonly message: string };
