import { inRange, positive } from './range.ts';

/**
 * The part of a member that carries the load, all sizes in mm as built.
 *
 * A box bends about the axis across its height; a plate is taken over any width.
 */
export type SectionShape =
  | { readonly kind: 'tube'; readonly outerMm: number; readonly wallMm: number }
  | { readonly kind: 'pipe'; readonly outerMm: number; readonly wallMm: number }
  | { readonly kind: 'box'; readonly heightMm: number; readonly widthMm: number; readonly wallMm: number }
  | { readonly kind: 'plate'; readonly thicknessMm: number }
  | { readonly kind: 'bar'; readonly diameterMm: number }
  | { readonly kind: 'wire'; readonly diameterMm: number };

/** Even loss of metal: depth in mm off one surface, measured into the metal, and which surface. Bars, wires and plates ignore the side. */
export interface SectionLoss {
  readonly mm: number;
  readonly side: 'inside' | 'outside';
}

function checkWall(wallMm: number, acrossMm: number): void {
  positive('outer size in mm', acrossMm);
  positive('wall in mm', wallMm);
  if (2 * wallMm > acrossMm) {
    throw new RangeError(`Cannot use a section: two walls must fit in ${acrossMm} mm, found a wall of ${wallMm} mm`);
  }
}

function cube(x: number): number {
  return x * x * x;
}

function fourth(x: number): number {
  return x * x * x * x;
}

function tubeModulus(outerMm: number, innerMm: number): number {
  return ((Math.PI / 32) * (fourth(outerMm) - fourth(innerMm))) / outerMm;
}

function boxModulus(height: number, width: number, innerHeight: number, innerWidth: number): number {
  return (width * height * height * height - innerWidth * innerHeight * innerHeight * innerHeight) / (6 * height);
}

/**
 * Section modulus in bending after an even loss of metal.
 *
 * @param shape The section as built, sizes in mm
 * @param loss Depth lost in mm and its side; left out means none. A bar or wire loses the depth all round, a plate from one face
 * @returns Section modulus, mm3 (for a plate: per mm of width); 0 when the loss reaches through the wall
 * @throws {RangeError} If a size is not above 0, the walls do not fit, or the loss is negative
 * Source: strength of materials, I = pi/64 (D^4 - d^4), I = (B H^3 - b h^3)/12, Z = 2 I / height, computed
 */
export function sectionModulusMm3(shape: SectionShape, loss: SectionLoss = { mm: 0, side: 'outside' }): number {
  const lost = inRange('loss in mm', loss.mm, 0);
  const off = loss.side === 'outside' ? 2 * lost : 0;
  const on = loss.side === 'inside' ? 2 * lost : 0;
  switch (shape.kind) {
    case 'tube':
    case 'pipe': {
      checkWall(shape.wallMm, shape.outerMm);
      const innerMm = shape.outerMm - 2 * shape.wallMm;
      return lost >= shape.wallMm ? 0 : tubeModulus(shape.outerMm - off, innerMm + on);
    }
    case 'box': {
      checkWall(shape.wallMm, Math.min(shape.heightMm, shape.widthMm));
      const innerHeight = shape.heightMm - 2 * shape.wallMm;
      const innerWidth = shape.widthMm - 2 * shape.wallMm;
      if (lost >= shape.wallMm) return 0;
      return boxModulus(shape.heightMm - off, shape.widthMm - off, innerHeight + on, innerWidth + on);
    }
    case 'plate': {
      positive('thickness in mm', shape.thicknessMm);
      const left = Math.max(0, shape.thicknessMm - lost);
      return (left * left) / 6;
    }
    case 'bar':
    case 'wire': {
      positive('diameter in mm', shape.diameterMm);
      return (Math.PI / 32) * cube(Math.max(0, shape.diameterMm - 2 * lost));
    }
  }
}

/**
 * Fraction of the section modulus in bending that is left after an even loss of metal.
 *
 * The same depth hurts a tube more outside than inside.
 *
 * @param shape The section as built, sizes in mm
 * @param loss Depth lost in mm, at least 0, and its side; a bar or wire loses the depth all round, a plate from one face
 * @returns Fraction left, 0 to 1; 0 when the loss reaches through the wall
 * @throws {RangeError} If a size is not above 0, the walls do not fit, or the loss is negative
 * Source: strength of materials, computed; for pitted metal use the depth of the deepest pits
 */
export function sectionLeft(shape: SectionShape, loss: SectionLoss): number {
  return sectionModulusMm3(shape, loss) / sectionModulusMm3(shape);
}

/**
 * What is left of a plate in bending strength, stiffness and tension.
 *
 * @param originalMm Thickness as built, mm, above 0
 * @param remainingMm Thickness left, mm, 0 to originalMm
 * @returns Fractions left, 0 to 1
 * @throws {RangeError} If a thickness is outside its range
 * Source: strength of materials, (t/t0)^2, (t/t0)^3 and t/t0
 */
export function plateLeft(
  originalMm: number,
  remainingMm: number,
): { bending: number; stiffness: number; tension: number } {
  positive('thickness as built in mm', originalMm);
  const left = inRange('thickness left in mm', remainingMm, 0, originalMm) / originalMm;
  return { bending: left * left, stiffness: cube(left), tension: left };
}

/**
 * What is left of a solid round bar in strength and stiffness, bending or twisting alike.
 *
 * @param originalMm Diameter as built, mm, above 0
 * @param remainingMm Diameter left, mm, 0 to originalMm
 * @returns Fractions left, 0 to 1
 * @throws {RangeError} If a diameter is outside its range
 * Source: strength of materials, (d/d0)^3 and (d/d0)^4
 */
export function barLeft(originalMm: number, remainingMm: number): { strength: number; stiffness: number } {
  positive('diameter as built in mm', originalMm);
  const left = inRange('diameter left in mm', remainingMm, 0, originalMm) / originalMm;
  return { strength: cube(left), stiffness: cube(left) * left };
}

/**
 * How a coil spring's stress and rate change when its wire is thinner.
 *
 * Even loss only: a pit starts a crack long before these ratios matter, and a pitted spring is replaced in pairs.
 *
 * @param originalMm Wire diameter as built, mm, above 0
 * @param remainingMm Wire diameter left, mm, above 0, at most originalMm
 * @returns Shear stress and rate as multiples of the first state: stress at least 1, rate at most 1
 * @throws {RangeError} If a diameter is outside its range
 * Source: spring formulas, stress as d^-3 and rate as d^4 at the same load
 */
export function springRatios(originalMm: number, remainingMm: number): { stress: number; rate: number } {
  positive('wire diameter left in mm', remainingMm);
  const { strength, stiffness } = barLeft(originalMm, remainingMm);
  return { stress: 1 / strength, rate: stiffness };
}
