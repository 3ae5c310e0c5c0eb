export type { CleanPhoto } from './clean-photo.ts';
export { listPhotos } from './list-photos.ts';
export { loadImagingSettings, loadIntervals } from './load-settings.ts';
export type { RawMeasurement } from './messages.ts';
export { type OpenedPhotos, openPhotos } from './open-photos.ts';
export { PhotoError } from './photo-error.ts';
export { type MeasureOptions, openPhotoPool, type PhotoPool, type PoolOptions } from './pool.ts';
export type { PhotoSource } from './read-photo.ts';
