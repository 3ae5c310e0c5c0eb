import type { LabImage } from './colour.ts';
import type { Mask, Plane } from './image.ts';

/** The hue window of rust in CIELAB (D65). */
export interface ColourRule {
  readonly hueFromDegrees: number;
  readonly hueToDegrees: number;
  /** Least CIELAB saturation: chroma over the distance from black, 0 to 1. */
  readonly saturationFrom: number;
  readonly chromaFrom: number;
  readonly lightnessFrom: number;
  readonly lightnessTo: number;
}

/**
 * How far inside the rust window each pixel lies.
 *
 * The baseline that needs no training. Mud, brass, tan paint and wood lie inside the window too, and black oxide lies
 * outside it, so a person has to confirm.
 *
 * @param lab Picture in CIELAB (D65)
 * @param rule Hue window in degrees (less than 180 wide), least saturation and chroma, lightness range
 * @returns Margin in Lab units: 0 or above is rust by the rule
 * Source: hue ranges of the iron oxides after Schwertmann 1993; the limits are ours, in rubric/imaging.yaml
 */
export function colourRuleMargin(lab: LabImage, rule: ColourRule): Plane {
  const radians = Math.PI / 180;
  // A pixel is above the lower hue line and below the upper one when both cross products are positive: no arctangent needed.
  const fromCos = Math.cos(rule.hueFromDegrees * radians);
  const fromSin = Math.sin(rule.hueFromDegrees * radians);
  const toCos = Math.cos(rule.hueToDegrees * radians);
  const toSin = Math.sin(rule.hueToDegrees * radians);
  // Chroma that the saturation asks for, a unit of lightness.
  const steep = rule.saturationFrom / Math.sqrt(1 - rule.saturationFrom ** 2);
  const data = new Float32Array(lab.l.length);
  for (let i = 0; i < data.length; i++) {
    const a = lab.a[i]!;
    const b = lab.b[i]!;
    const aboveFrom = fromCos * b - fromSin * a;
    const belowTo = toSin * a - toCos * b;
    const chroma = Math.sqrt(a * a + b * b);
    const strong = Math.min(chroma - rule.chromaFrom, chroma - steep * lab.l[i]!);
    const light = Math.min(lab.l[i]! - rule.lightnessFrom, rule.lightnessTo - lab.l[i]!);
    data[i] = Math.min(aboveFrom, belowTo, strong, light);
  }
  return { height: lab.height, width: lab.width, data };
}

/**
 * The pixels that the colour rule calls rust.
 *
 * @param lab Picture in CIELAB (D65)
 * @param rule The hue window
 * @returns Mask (height, width)
 */
export function colourRuleMask(lab: LabImage, rule: ColourRule): Mask {
  const margin = colourRuleMargin(lab, rule);
  const data = new Uint8Array(margin.data.length);
  for (let i = 0; i < data.length; i++) data[i] = margin.data[i]! >= 0 ? 1 : 0;
  return { height: lab.height, width: lab.width, data };
}
