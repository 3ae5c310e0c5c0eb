import type { Context } from 'hono';
import type { Assessment, Fault, Rubric } from '../../shared/index.ts';
import type { Demo } from '../app/store-demo.ts';
import type { PhotoWork } from '../app/store-photo-change.ts';
import type { PhotoFiles, Store } from '../app/store-port.ts';
import type { Packed, VerdictFiles } from '../app/verdict-port.ts';

/** One file of the built page, in memory. */
export interface PageFile {
  bytes: Uint8Array;
  gzipped: Uint8Array | null;
  mediaType: string;
  etag: string;
  /** Its name changes with its content. */
  isImmutable: boolean;
}

/** What the server needs from outside. */
export interface ServerDeps {
  /** Of this program. */
  version: string;
  store: Store;
  files: PhotoFiles;
  verdicts: VerdictFiles;
  /** The rubric this program judges by. */
  rubric: Rubric;
  /** Everything wrong with an assessment under a rubric. */
  checkAssessment: (raw: unknown, rubric: Rubric, today: string) => readonly Fault[];
  checkRubric: (raw: unknown) => { rubric: Rubric } | { faults: readonly Fault[] };
  /** The document of the verdicts. */
  score: (
    rubric: Rubric,
    assessment: Assessment,
    options: { seed: number; minutes?: number },
  ) => Packed | Promise<Packed>;
  plan: ((rubric: Rubric, assessment: Assessment, options: { seed: number }) => Packed | Promise<Packed>) | null;
  /** Reads JSON or YAML text of an assessment. */
  parseText: (text: string, file: string) => { value: unknown } | { faults: readonly Fault[] };
  photos: PhotoWork & {
    /** A JPEG of at most so many pixels across. */
    shrink: (bytes: Uint8Array, width: number) => Promise<Uint8Array>;
    /** Largest upload taken, bytes. */
    mostBytes: number;
  };
  demos: readonly Demo[];
  /** The built page by path (`/index.html`), or null when there is none. */
  page: ReadonlyMap<string, PageFile> | null;
  sharing: {
    isShared: boolean;
    /** Addresses for other devices, best first: `https://192.0.2.17:8420`. */
    addresses: () => string[];
    /** Names and addresses under which this server may be asked, besides loopback; lower case, no port. */
    hosts: () => ReadonlySet<string>;
    isSecure: boolean;
    fingerprint: string | null;
    qr: (text: string) => Promise<string>;
  };
  /** Network address of whoever asks; null when the request came from inside this process. */
  remoteAddress: (c: Context) => string | null;
  now: () => Date;
  /** Writes down what went wrong on our side. */
  log: (message: string, error?: unknown) => void;
}
