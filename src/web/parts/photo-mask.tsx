import { useEffect, useRef } from 'react';
import type { StoredPhoto } from '../../../shared/api.ts';
import type { Mask } from '../../imaging/image.ts';
import { maskAddress } from '../data/client.ts';

interface PhotoMaskProps {
  assessment: string;
  photo: StoredPhoto;
  /** Mask worked out on this device; the server's kept one when null. */
  mask: Mask | null;
  isTouched: boolean;
}

/** Rust as a marking-out stain: blue, hatched, with a pale edge. Fixed colours, since the photo has no theme. */
export function PhotoMask({ assessment, photo, mask, isTouched }: PhotoMaskProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const stamp = photo.measurement ? `${photo.measurement.method}${photo.measurement.rustAreaPercent?.value ?? ''}` : '';
  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    if (mask) {
      draw(element, mask);
      return;
    }
    if (isTouched || !photo.measurement?.rustAreaPercent || photo.struck) {
      element.getContext('2d')?.clearRect(0, 0, element.width, element.height);
      return;
    }
    let isLeft = false;
    void readMask(maskAddress(assessment, photo.id, stamp)).then((kept) => {
      if (!isLeft && kept) draw(element, kept);
    });
    return () => {
      isLeft = true;
    };
  }, [mask, isTouched, assessment, photo.id, photo.measurement, photo.struck, stamp]);
  return <canvas ref={canvas} className="maskc" />;
}

async function readMask(address: string): Promise<Mask | null> {
  try {
    const answer = await fetch(address);
    if (!answer.ok) return null;
    const bitmap = await createImageBitmap(await answer.blob());
    const canvas = document.createElement('canvas');
    canvas.width = bitmap.width;
    canvas.height = bitmap.height;
    const at = canvas.getContext('2d', { willReadFrequently: true })!;
    at.drawImage(bitmap, 0, 0);
    const { data } = at.getImageData(0, 0, bitmap.width, bitmap.height);
    const out = new Uint8Array(bitmap.width * bitmap.height);
    for (let i = 0; i < out.length; i++) out[i] = data[i * 4]! > 127 ? 1 : 0;
    return { height: bitmap.height, width: bitmap.width, data: out };
  } catch {
    return null;
  }
}

const STAIN = [61, 142, 196] as const;
const PALE = [214, 236, 250] as const;
const HATCH = 7;

function draw(canvas: HTMLCanvasElement, mask: Mask): void {
  const { height, width, data } = mask;
  canvas.width = width;
  canvas.height = height;
  const at = canvas.getContext('2d');
  if (!at) return;
  const image = at.createImageData(width, height);
  for (let row = 0; row < height; row++) {
    for (let col = 0; col < width; col++) {
      const i = row * width + col;
      if (data[i] === 0) continue;
      const isEdge =
        row === 0 ||
        col === 0 ||
        row === height - 1 ||
        col === width - 1 ||
        data[i - 1] === 0 ||
        data[i + 1] === 0 ||
        data[i - width] === 0 ||
        data[i + width] === 0;
      const isHatch = (row + col) % HATCH < 2;
      const [red, green, blue] = isEdge ? PALE : STAIN;
      image.data.set([red, green, blue, isEdge ? 230 : isHatch ? 220 : 120], i * 4);
    }
  }
  at.putImageData(image, 0, 0);
}
