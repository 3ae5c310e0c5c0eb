import { beforeAll, describe, expect, it } from 'vitest';
import { findRegions, laplacianVariance, referencePicture, rustFraction, wholeFrame } from '../../src/imaging/index.ts';
import { mask, noise } from '../make-image.ts';
import { loadOpenCv, type OpenCv } from './opencv.ts';

let cv: OpenCv;
beforeAll(async () => {
  ({ cv } = await loadOpenCv());
});

describe('findRegions()', () => {
  it('joins pixels that touch by a corner', () => {
    const { regions, labels } = findRegions(mask('1001', '0101', '1000'));
    // By hand: the diagonal 1-1-1 on the left is one patch, the right-hand column of two another.
    expect(regions.map((r) => r.areaPx)).toEqual([3, 2]);
    expect(Array.from(labels)).toEqual([1, 0, 0, 2, 0, 1, 0, 2, 1, 0, 0, 0]);
  });

  it('joins arms that meet late, as in the letter U', () => {
    expect(findRegions(mask('101', '101', '111')).regions).toEqual([{ areaPx: 7, centreRow: 8 / 7, centreCol: 1 }]);
  });

  it('finds none in an empty mask', () => expect(findRegions(mask('000', '000')).regions).toEqual([]));

  it.each([
    ['spot', 5],
    ['general', 12],
    ['pinpoint', 3],
    ['general', 50],
  ] as const)('agrees with OpenCV on a drawn %s picture of %d %%', (spread, percent) => {
    const drawn = referencePicture({ percent, spread, seed: 7, height: 300, width: 400 });
    const image = new cv.Mat(300, 400, cv.CV_8UC1);
    image.data.set(drawn.data);
    const labels = new cv.Mat();
    const stats = new cv.Mat();
    const centroids = new cv.Mat();
    const count = cv.connectedComponentsWithStats(image, labels, stats, centroids, 8, cv.CV_32S);
    const theirs: number[] = [];
    for (let n = 1; n < count; n++) theirs.push(stats.data32S[n * 5 + 4]!);
    const ours = findRegions(drawn).regions.map((r) => r.areaPx);
    expect(ours.sort((a, b) => a - b)).toEqual(theirs.sort((a, b) => a - b));
    expect(rustFraction(drawn, wholeFrame(drawn))).toBe(cv.countNonZero(image) / 120_000);
    for (const mat of [image, labels, stats, centroids]) mat.delete();
  });
});

describe('laplacianVariance()', () => {
  it('agrees with OpenCV on a drawn picture', () => {
    const grey = Uint8Array.from({ length: 120 * 90 }, (_, i) => {
      const row = Math.floor(i / 120);
      const col = i % 120;
      return ((row * 3 + (col > 40 ? 90 : 0)) % 200) + noise(row, col, 40);
    });
    const image = new cv.Mat(90, 120, cv.CV_8UC1);
    image.data.set(grey);
    const edges = new cv.Mat();
    cv.Laplacian(image, edges, cv.CV_64F, 1, 1, 0, cv.BORDER_REFLECT_101);
    const mean = new cv.Mat();
    const deviation = new cv.Mat();
    cv.meanStdDev(edges, mean, deviation);
    const ours = laplacianVariance({ height: 90, width: 120, data: Float32Array.from(grey) });
    expect(ours / deviation.data64F[0]! ** 2).toBeCloseTo(1, 9);
    for (const mat of [image, edges, mean, deviation]) mat.delete();
  });
});
