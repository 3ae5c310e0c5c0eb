import type { RgbImage } from './image.ts';

/** A colour in CIELAB for the D65 white: lightness 0 to 100, a (green to red), b (blue to yellow). */
export interface Lab {
  readonly l: number;
  readonly a: number;
  readonly b: number;
}

/** A picture in CIELAB (D65), one array a coordinate, row by row. */
export interface LabImage {
  readonly height: number;
  readonly width: number;
  readonly l: Float32Array;
  readonly a: Float32Array;
  readonly b: Float32Array;
}

// IEC 61966-2-1 (sRGB) primaries and the D65 white of its XYZ; CIE 15 constants in the exact fractions of the 2004 edition.
const WHITE = { x: 0.95047, y: 1, z: 1.08883 };
const EPSILON = 216 / 24389;
const KAPPA = 24389 / 27;

/** Root of a positive number by Newton's method: only sums, products and quotients, so every engine agrees. */
function root(value: number, degree: 3 | 5): number {
  if (value <= 0) return 0;
  let guess = value < 1 ? 0.5 + value / 2 : value;
  for (let i = 0; i < 60; i++) {
    const power = degree === 3 ? guess * guess : guess * guess * guess * guess;
    const next = ((degree - 1) * guess + value / power) / degree;
    if (next === guess || (i > 3 && Math.abs(next - guess) < 1e-16)) return next;
    guess = next;
  }
  return guess;
}

function toLinear(channel: number): number {
  const c = channel / 255;
  if (c <= 0.04045) return c / 12.92;
  const base = (c + 0.055) / 1.055;
  // base ^ 2.4 as base^2 times the fifth root of base^2
  return base * base * root(base * base, 5);
}

const LINEAR = Float64Array.from({ length: 256 }, (_, i) => toLinear(i));

function labCurve(t: number): number {
  return t > EPSILON ? root(t, 3) : (KAPPA * t + 16) / 116;
}

const CURVE_STEPS = 16384;
const CURVE_END = 1.1;
const CURVE = Float64Array.from({ length: CURVE_STEPS + 2 }, (_, i) => labCurve((i * CURVE_END) / CURVE_STEPS));

function quickCurve(t: number): number {
  const at = (t * CURVE_STEPS) / CURVE_END;
  const below = Math.floor(at);
  return CURVE[below]! + (CURVE[below + 1]! - CURVE[below]!) * (at - below);
}

/**
 * Linear light of an 8-bit sRGB channel.
 *
 * @param channel Whole number 0 to 255
 * @returns Linear light 0 to 1
 * Source: IEC 61966-2-1
 */
export function linearFromSrgb(channel: number): number {
  return LINEAR[channel]!;
}

/**
 * CIELAB (D65) of an sRGB colour.
 *
 * @param red Channel 0 to 255, whole or not
 * @param green Channel 0 to 255
 * @param blue Channel 0 to 255
 * @returns Lightness 0 to 100 with a and b
 * Source: IEC 61966-2-1 for sRGB, CIE 15:2004 for CIELAB
 * @example srgbToLab(255, 0, 0) // l 53.24, a 80.09, b 67.20
 */
export function srgbToLab(red: number, green: number, blue: number): Lab {
  const r = toLinear(red);
  const g = toLinear(green);
  const b = toLinear(blue);
  const x = labCurve((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / WHITE.x);
  const y = labCurve((0.2126729 * r + 0.7151522 * g + 0.072175 * b) / WHITE.y);
  const z = labCurve((0.0193339 * r + 0.119192 * g + 0.9503041 * b) / WHITE.z);
  return { l: 116 * y - 16, a: 500 * (x - y), b: 200 * (y - z) };
}

/**
 * CIELAB (D65) of every pixel, by a table of the cube root: within 0.02 of `srgbToLab`.
 *
 * @param image Picture (height, width), sRGB
 * @param gains Factors on linear red, green and blue, for a cast already estimated; 1 leaves the colour alone
 * @returns The same pixels in CIELAB
 */
export function labImage(image: RgbImage, gains: readonly [number, number, number] = [1, 1, 1]): LabImage {
  const count = image.height * image.width;
  const l = new Float32Array(count);
  const a = new Float32Array(count);
  const b = new Float32Array(count);
  const [red, green, blue] = gains.map((gain) => LINEAR.map((value) => Math.min(value * gain, 1)));
  for (let i = 0; i < count; i++) {
    const lr = red![image.data[i * 3]!]!;
    const lg = green![image.data[i * 3 + 1]!]!;
    const lb = blue![image.data[i * 3 + 2]!]!;
    const x = quickCurve((0.4124564 * lr + 0.3575761 * lg + 0.1804375 * lb) / WHITE.x);
    const y = quickCurve((0.2126729 * lr + 0.7151522 * lg + 0.072175 * lb) / WHITE.y);
    const z = quickCurve((0.0193339 * lr + 0.119192 * lg + 0.9503041 * lb) / WHITE.z);
    l[i] = 116 * y - 16;
    a[i] = 500 * (x - y);
    b[i] = 200 * (y - z);
  }
  return { height: image.height, width: image.width, l, a, b };
}

/**
 * Hue angle of a CIELAB colour.
 *
 * @param a Red-green coordinate
 * @param b Yellow-blue coordinate
 * @returns Degrees from 0 up to 360; 0 when the colour has no chroma
 */
export function hueDegrees(a: number, b: number): number {
  if (a === 0 && b === 0) return 0;
  const angle = (Math.atan2(b, a) * 180) / Math.PI;
  return angle < 0 ? angle + 360 : angle;
}

/**
 * Perceived difference of two colours, CIEDE2000 with all weights 1.
 *
 * @param first Colour in CIELAB
 * @param second Colour in CIELAB, same white
 * @returns Difference from 0; about 1 is just seen
 * Source: Sharma, Wu and Dalal 2005, doi 10.1002/col.20070
 * @example ciede2000({ l: 50, a: 2.6772, b: -79.7751 }, { l: 50, a: 0, b: -82.7485 }) // 2.0425
 */
export function ciede2000(first: Lab, second: Lab): number {
  const radians = Math.PI / 180;
  const meanChroma = (Math.hypot(first.a, first.b) + Math.hypot(second.a, second.b)) / 2;
  const seventh = meanChroma ** 7;
  const stretch = 1 + 0.5 * (1 - Math.sqrt(seventh / (seventh + 25 ** 7)));
  const chroma1 = Math.hypot(first.a * stretch, first.b);
  const chroma2 = Math.hypot(second.a * stretch, second.b);
  const hue1 = hueDegrees(first.a * stretch, first.b);
  const hue2 = hueDegrees(second.a * stretch, second.b);
  const isGrey = chroma1 * chroma2 === 0;

  let hueStep = isGrey ? 0 : hue2 - hue1;
  if (hueStep > 180) hueStep -= 360;
  else if (hueStep < -180) hueStep += 360;
  let meanHue = hue1 + hue2;
  if (!isGrey) {
    if (Math.abs(hue1 - hue2) <= 180) meanHue /= 2;
    else meanHue = meanHue < 360 ? (meanHue + 360) / 2 : (meanHue - 360) / 2;
  }

  const deltaL = second.l - first.l;
  const deltaC = chroma2 - chroma1;
  const deltaH = 2 * Math.sqrt(chroma1 * chroma2) * Math.sin((hueStep / 2) * radians);
  const meanL = (first.l + second.l) / 2;
  const meanC = (chroma1 + chroma2) / 2;
  const t =
    1 -
    0.17 * Math.cos((meanHue - 30) * radians) +
    0.24 * Math.cos(2 * meanHue * radians) +
    0.32 * Math.cos((3 * meanHue + 6) * radians) -
    0.2 * Math.cos((4 * meanHue - 63) * radians);
  const weightL = 1 + (0.015 * (meanL - 50) ** 2) / Math.sqrt(20 + (meanL - 50) ** 2);
  const weightC = 1 + 0.045 * meanC;
  const weightH = 1 + 0.015 * meanC * t;
  const turn = 30 * Math.exp(-(((meanHue - 275) / 25) ** 2));
  const meanSeventh = meanC ** 7;
  const rotation = -2 * Math.sqrt(meanSeventh / (meanSeventh + 25 ** 7)) * Math.sin(2 * turn * radians);
  const partL = deltaL / weightL;
  const partC = deltaC / weightC;
  const partH = deltaH / weightH;
  return Math.sqrt(partL ** 2 + partC ** 2 + partH ** 2 + rotation * partC * partH);
}
