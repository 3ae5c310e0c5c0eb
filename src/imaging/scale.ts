/** Areas that a known length on the photo gives. */
export interface ScaledAreas {
  /** Visible area of the part: what this side costs to blast or to coat. */
  readonly partCm2: number;
  /** Rusted area. */
  readonly rustCm2: number;
}

/**
 * Areas in square centimetres from a known length drawn on the photo.
 *
 * Right only for a flat face looked at squarely, at the distance of the drawn length; a part seen at an angle or a round
 * one has more surface than the photo shows.
 *
 * @param partFraction The part's pixels as a fraction of the frame, 0 to 1
 * @param rustFraction Rusted fraction of the part, 0 to 1
 * @param options Frame height and width in pixels, and the drawn length in pixels and in millimetres
 * @returns Square centimetres
 * @throws {RangeError} If a length is not above zero
 * @example scaledAreas(1, 0.1, { height: 1000, width: 1000, lengthPx: 100, lengthMm: 10 }) // part 100, rust 10
 */
export function scaledAreas(
  partFraction: number,
  rustFraction: number,
  options: { readonly height: number; readonly width: number; readonly lengthPx: number; readonly lengthMm: number },
): ScaledAreas {
  const { height, width, lengthPx, lengthMm } = options;
  if (!(lengthPx > 0) || !(lengthMm > 0)) {
    throw new RangeError(
      `Cannot scale a photo as both lengths must be above 0: found ${lengthPx} px and ${lengthMm} mm`,
    );
  }
  const mmPerPx = lengthMm / lengthPx;
  const partCm2 = (partFraction * height * width * mmPerPx * mmPerPx) / 100;
  return { partCm2, rustCm2: partCm2 * rustFraction };
}
