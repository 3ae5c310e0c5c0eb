/** A document as it is sent: its JSON text, compressed with gzip. */
export interface Packed {
  gzipped: Uint8Array<ArrayBuffer>;
  /** Of the text, with its quotes. */
  etag: string;
}

/** Verdicts of one state of an assessment. */
export interface KeptVerdicts {
  /** The assessment's validator when it was judged. */
  state: string;
  /** The assessment's version when it was judged. */
  version: number;
  rubricVersion: string;
  packed: Packed;
}

/** Where verdicts lie across restarts. All of it can be made again: what cannot be written or read costs only that time. */
export interface VerdictFiles {
  /** Null when there are none, or another program has made them. */
  find(id: string): Promise<KeptVerdicts | null>;
  keep(id: string, verdicts: KeptVerdicts): Promise<void>;
  /** Removes those of every other assessment. */
  keepOnly(ids: ReadonlySet<string>): Promise<void>;
}
