// Columns are cut from blocks, since many small buffers cost the collector dear.
const COLUMNS_IN_BLOCK = 64;
const MOST_BYTES = 48_000_000;

/** Room for the drawn values of a job, one byte a draw. */
export interface Columns {
  /** A column to write to. */
  take(): Uint8Array;
  /** The room is used up: a column taken now is not to be kept, but drawn again when it is asked for again. */
  isFull(): boolean;
}

/** @param draws length of a column */
export function columnsOf(draws: number): Columns {
  let block = new Uint8Array(0);
  let used = 0;
  let bytes = 0;
  return {
    take: () => {
      if (bytes >= MOST_BYTES) return new Uint8Array(draws);
      if (used + draws > block.length) {
        block = new Uint8Array(draws * COLUMNS_IN_BLOCK);
        used = 0;
        bytes += block.length;
      }
      used += draws;
      return block.subarray(used - draws, used);
    },
    isFull: () => bytes >= MOST_BYTES,
  };
}
