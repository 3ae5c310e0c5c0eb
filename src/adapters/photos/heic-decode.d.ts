declare module 'heic-decode' {
  /** First picture of a HEIC file: red, green, blue and opacity, row by row, upright. */
  export default function decode(file: {
    buffer: Uint8Array;
  }): Promise<{ width: number; height: number; data: Uint8ClampedArray }>;
}
