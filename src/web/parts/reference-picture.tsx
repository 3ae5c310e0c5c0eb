import { useEffect, useRef } from 'react';
import { referencePicture } from '../../imaging/reference-pictures.ts';

/** Area of rust, per cent, that stands for grades 0 to 5: Ri 0 to Ri 5 of ISO 4628-3 (table of rusted areas). */
export const REFERENCE_PERCENT = [0, 0.05, 0.5, 1, 8, 45] as const;

const HEIGHT = 220;
const WIDTH = 320;

/** A picture of exactly known rusted area to grade by eye. Never cropped: a crop would change the area. */
export function ReferencePicture({ percent }: { percent: number }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const at = canvas.current?.getContext('2d');
    if (!at || !canvas.current) return;
    const picture = at.createImageData(WIDTH, HEIGHT);
    const [red, green, blue] = rustColour(canvas.current);
    if (percent > 0) {
      const mask = referencePicture({ percent, spread: 'general', seed: 11, height: HEIGHT, width: WIDTH });
      for (let i = 0; i < mask.data.length; i++) {
        if (mask.data[i] === 0) continue;
        picture.data.set([red, green, blue, 255], i * 4);
      }
    }
    at.putImageData(picture, 0, 0);
  }, [percent]);
  return <canvas ref={canvas} height={HEIGHT} width={WIDTH} />;
}

/** The rust token as drawn in the present theme. */
function rustColour(element: Element): [number, number, number] {
  const found = /^#(..)(..)(..)$/.exec(getComputedStyle(element).getPropertyValue('--rust').trim());
  return found ? [hex(found[1]!), hex(found[2]!), hex(found[3]!)] : [143, 58, 20];
}

function hex(text: string): number {
  return Number.parseInt(text, 16);
}
