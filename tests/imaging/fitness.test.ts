import sharp, { type Sharp } from 'sharp';
import { describe, expect, it } from 'vitest';
import {
  type Cast,
  estimateCast,
  fitFigures,
  judgeFitness,
  type Mask,
  type RgbImage,
  shrinkImage,
  wholeFrame,
} from '../../src/imaging/index.ts';
import { noise, picture, rustyPanel } from '../make-image.ts';
import { imagingSettings } from './settings.ts';

const { fitness: limits } = imagingSettings();

function judge(
  image: RgbImage,
  options: { part?: Mask; original?: { height: number; width: number } } = {},
): ReturnType<typeof judgeFitness> {
  const cast = estimateCast(image);
  const figures = fitFigures(image, options.part ?? wholeFrame(image), cast, {
    original: options.original ?? { height: 3000, width: 4000 },
    litLuma: limits.litLuma,
  });
  return judgeFitness(figures, limits, cast.leaning);
}

function problems(
  image: RgbImage,
  options: { part?: Mask; original?: { height: number; width: number } } = {},
): string[] {
  const { ok, problems: found } = judge(image, options);
  expect(ok).toBe(found.length === 0);
  for (const { what, advice } of found) {
    expect(what.length).toBeGreaterThan(10);
    expect(advice.length).toBeGreaterThan(10);
  }
  return found.map((problem) => problem.id);
}

const panel = rustyPanel(480, 640, 120);
const change = (by: (value: number, channel: number) => number) =>
  picture(480, 640, (row, col) => {
    const at = (row * 640 + col) * 3;
    return [0, 1, 2].map((c) => Math.min(255, Math.max(0, Math.round(by(panel.data[at + c]!, c))))) as [
      number,
      number,
      number,
    ];
  });
/** Mean over a square window: what a defocused lens does, near enough. */
function blur(image: RgbImage, radius: number): RgbImage {
  return picture(image.height, image.width, (row, col) => {
    const sum = [0, 0, 0];
    let count = 0;
    for (let r = Math.max(0, row - radius); r <= Math.min(image.height - 1, row + radius); r++) {
      for (let c = Math.max(0, col - radius); c <= Math.min(image.width - 1, col + radius); c++) {
        for (let k = 0; k < 3; k++) sum[k]! += image.data[(r * image.width + c) * 3 + k]!;
        count++;
      }
    }
    return sum.map((s, k) => s / count + noise(row, col, 3, k + 5)) as [number, number, number];
  });
}

describe('judgeFitness()', () => {
  it('passes a sharp, well lit panel', () => expect(problems(panel)).toEqual([]));

  it('names each fault with what to do about it', () => {
    expect(problems(blur(panel, 4))).toEqual(['blurred']);
    expect(problems(change((v) => v * 0.15))).toEqual(['too-dark']);
    expect(problems(change((v) => 200 + v * 0.3))).toEqual(['too-bright']);
    expect(
      // Glare that fades out towards the right.
      problems(
        picture(480, 640, (row, col) => {
          const level = Math.min(255, 255 + (300 - col) / 3 + noise(row, col, 9) - 4);
          return [level, level, level];
        }),
      ),
    ).toEqual(['clipped']);
    expect(problems(change((v, channel) => (channel === 0 ? v * 1.6 : channel === 2 ? v * 0.35 : v)))).toContain(
      'strong-cast',
    );
    expect(problems(panel, { original: { height: 240, width: 300 } })).toEqual(['too-few-pixels']);
  });

  it('calls a drawing and a screenshot what they are', () => {
    const drawing = picture(480, 640, (row, col) =>
      (row - 240) ** 2 + (col - 320) ** 2 < 10_000 ? [150, 80, 40] : [90, 130, 170],
    );
    expect(problems(drawing)).toEqual(['not-a-photo']);
  });

  it('says how many pixels in good English, and nothing more of a picture that is far too small', () => {
    const one = picture(32, 32, () => [110, 100, 90]);
    expect(judge(one, { original: { height: 1, width: 1 } }).problems.map((problem) => problem.what)).toEqual([
      `Too few pixels: longer side 1 pixel, wanted at least ${limits.longSidePxFrom}`,
    ]);
    expect(judge(one, { original: { height: 1, width: 2 } }).problems[0]!.what).toContain('2 pixels');
  });

  it('lets a person draw round the part where the background is what is black or white', () => {
    const half = (value: number) =>
      picture(480, 640, (row, col) => {
        const at = (row * 640 + col) * 3;
        return col < 340 ? [value, value, value] : [panel.data[at]!, panel.data[at + 1]!, panel.data[at + 2]!];
      });
    for (const [value, id, colour] of [
      [0, 'clipped', 'pure black'],
      [255, 'not-a-photo', 'pure white'],
    ] as const) {
      const [problem, ...others] = judge(half(value)).problems;
      expect(others).toEqual([]);
      expect(problem!.id).toBe(id);
      expect(problem!.what).toContain(colour);
      expect(problem!.what).not.toContain(value === 0 ? 'white' : 'black');
      expect(problem!.advice).toContain('draw round the part');
    }
    const part: Mask = { ...wholeFrame(panel), data: new Uint8Array(480 * 640).fill(1, 640) };
    expect(
      judge(
        change((v) => v * 0.15),
        { part },
      ).problems[0]!.advice,
    ).not.toContain('draw round');
  });

  it('calls a part too small in the frame, by its outline', () => {
    const part: Mask = { ...wholeFrame(panel), data: new Uint8Array(480 * 640) };
    for (let row = 230; row < 250; row++) part.data.fill(1, row * 640 + 300, row * 640 + 330);
    expect(problems(panel, { part })).toContain('too-small');
  });

  it('judges the part, not its dark background', () => {
    const half = picture(480, 640, (row, col) => {
      const at = (row * 640 + col) * 3;
      return col < 320 ? [0, 0, 0] : [panel.data[at]!, panel.data[at + 1]!, panel.data[at + 2]!];
    });
    const part: Mask = {
      ...wholeFrame(half),
      data: Uint8Array.from({ length: 480 * 640 }, (_, i) => (i % 640 >= 320 ? 1 : 0)),
    };
    expect(problems(half)).toContain('clipped');
    expect(problems(half, { part })).toEqual([]);
  });
});

describe('judgeFitness() of rendered parts', () => {
  // The demos' renders: parts on a bench under several lights, as a phone would take them.
  const RENDERS = ['brake-disc', 'coil-spring', 'hub', 'lower-arm-heavy', 'sub-frame-end'];
  const WORSE: [string, (render: Sharp) => Sharp, string[]][] = [
    ['as taken', (render) => render, []],
    ['dim', (render) => render.linear(0.5, 0), []],
    ['dark', (render) => render.linear(0.1, 0), ['too-dark']],
    ['nearly black', (render) => render.linear(0.02, 0), ['too-dark']],
    ['black', (render) => render.linear(0, 0), ['too-dark']],
    ['dark and out of focus', (render) => render.linear(0.1, 0).blur(6), ['too-dark']],
    ['dim and out of focus', (render) => render.linear(0.5, 0).blur(6), ['blurred']],
    ['out of focus', (render) => render.blur(6), ['blurred']],
    ['far out of focus', (render) => render.blur(40), ['blurred']],
    ['washed out', (render) => render.linear(0.25, 210), ['too-bright']],
    ['white', (render) => render.linear(0, 255), ['too-bright']],
    ['under a sodium lamp', (render) => render.linear([1.2, 0.7, 0.1], [0, 0, 0]), ['strong-cast']],
  ];

  it.each(WORSE)('%s', async (_how, worsen, wanted) => {
    for (const name of RENDERS) {
      const bytes = await worsen(sharp(`demo-data/photos/${name}.jpg`))
        .jpeg({ quality: 90 })
        .toBuffer();
      const { data, info } = await sharp(bytes)
        .resize(512, 384, { fit: 'fill' })
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect([name, problems({ height: info.height, width: info.width, data })]).toEqual([name, wanted]);
    }
  });

  it('a screenshot with letters and a drawing with soft edges, saved as JPEG', async () => {
    const lines = Array.from(
      { length: 16 },
      (_, n) =>
        `<text x="30" y="${60 + n * 52}" font-size="34" fill="#333">Part ${n}: rust 4 to 12 %, look at the weld</text>`,
    ).join('');
    const drawings = [
      `<rect width="1200" height="900" fill="#fff"/>${lines}`,
      '<rect width="1200" height="900" fill="#fff"/><circle cx="600" cy="450" r="300" fill="none" stroke="#222" stroke-width="8"/>',
      `<rect width="1200" height="900" fill="#e8e4da"/>${lines}`,
      '<rect width="1200" height="900" fill="#9db4c8"/><circle cx="600" cy="450" r="300" fill="#8a4a20" stroke="#222" stroke-width="14"/><path d="M200 850L1000 850" stroke="#333" stroke-width="30"/>',
    ];
    for (const drawing of drawings) {
      const svg = Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="1200" height="900">${drawing}</svg>`);
      const bytes = await sharp(svg).flatten().jpeg({ quality: 85 }).toBuffer();
      const { data } = await sharp(bytes).resize(512, 384, { fit: 'fill' }).raw().toBuffer({ resolveWithObject: true });
      expect(problems({ height: 384, width: 512, data })).toEqual(['not-a-photo']);
    }
  });
});

describe('estimateCast()', () => {
  const grey = (red: number, green: number, blue: number) => estimateCast(picture(10, 10, () => [red, green, blue]));

  it('finds none on grey', () => {
    expect(grey(128, 128, 128).degrees).toBeCloseTo(0, 5);
    expect(grey(128, 128, 128).gains.map((g) => Math.round(g * 1e6) / 1e6)).toEqual([1, 1, 1]);
  });

  it('finds the angle and the factors of a tinted grey', () => {
    // By hand, with sRGB linear values of 188 (0.5029) and 137 (0.2502): light (0.5029, 0.2502, 0.2502).
    const { degrees, gains, leaning } = grey(188, 137, 137);
    const cosine = (0.5029 + 0.2502 + 0.2502) / (Math.sqrt(3) * Math.hypot(0.5029, 0.2502, 0.2502));
    expect(degrees).toBeCloseTo((Math.acos(cosine) * 180) / Math.PI, 1);
    expect(gains[0]).toBeCloseTo(0.2502 / 0.5029, 3);
    expect(leaning).toBe('warm');
  });

  it.each([
    [90, 120, 200, 'cool'],
    [100, 190, 100, 'green'],
    [190, 100, 190, 'magenta'],
  ] as [number, number, number, Cast['leaning']][])('%d %d %d leans %s', (r, g, b, way) =>
    expect(grey(r, g, b).leaning).toBe(way),
  );

  it('tells nothing from blown or black pixels', () => {
    expect(grey(255, 200, 100).degrees).toBe(0);
    expect(grey(0, 0, 0).degrees).toBe(0);
  });
});

describe('shrinkImage()', () => {
  it('averages the pixels of each cell', () => {
    const small = shrinkImage(
      picture(2, 4, (row, col) => [row * 100, col * 10, 7]),
      { height: 1, width: 2 },
    );
    expect(Array.from(small.data)).toEqual([50, 5, 7, 50, 25, 7]);
  });
});
