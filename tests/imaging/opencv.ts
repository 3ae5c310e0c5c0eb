import { createRequire } from 'node:module';

/** The few calls of OpenCV that the tests compare with. */
interface Mat {
  data: Uint8Array;
  data32S: Int32Array;
  data64F: Float64Array;
  rows: number;
  cols: number;
  delete(): void;
}
export interface OpenCv {
  Mat: new (rows?: number, cols?: number, type?: number) => Mat;
  CV_8UC1: number;
  CV_32S: number;
  CV_64F: number;
  BORDER_REFLECT_101: number;
  connectedComponentsWithStats(
    image: Mat,
    labels: Mat,
    stats: Mat,
    centroids: Mat,
    connectivity: number,
    type: number,
  ): number;
  Laplacian(from: Mat, to: Mat, depth: number, kernel: number, scale: number, delta: number, border: number): void;
  meanStdDev(from: Mat, mean: Mat, deviation: Mat): void;
  countNonZero(from: Mat): number;
  onRuntimeInitialized?: () => void;
}

/** OpenCV once its code has started. */
export async function loadOpenCv(): Promise<{ cv: OpenCv }> {
  const cv = createRequire(import.meta.url)('@techstark/opencv-js') as OpenCv;
  if (typeof cv.Mat !== 'function') await new Promise<void>((resolve) => (cv.onRuntimeInitialized = resolve));
  // Wrapped, since the module has a `then` of its own that never settles.
  return { cv };
}
