import type { PhotoErrorCode } from '../../../shared/photo.ts';

/** A photo, or what came with it, cannot be used; the message says what was wanted and what was found. */
export class PhotoError extends Error {
  readonly code: PhotoErrorCode;
  constructor(code: PhotoErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'PhotoError';
    this.code = code;
  }
}
