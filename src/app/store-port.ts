import type { Assessment, KeptChange, PhotoRecord, Role, Rubric, Undoing } from '../../shared/index.ts';

/** One assessment as kept. Never altered in place. */
export interface Kept {
  id: string;
  /** Grows by one with each change. */
  version: number;
  /** Strong validator of HTTP, with its quotes. Never the same for two contents, also when an id is used again. */
  etag: string;
  assessment: Assessment;
  /** The same as JSON text. */
  text: string;
  /** The rubric it came with and is judged by, or null: the one this program has. */
  rubricVersion: string | null;
  demo: string | null;
  createdAt: string;
  changedAt: string;
  deletedAt: string | null;
}

/** The list's view, without the document. */
export interface KeptSummary extends Omit<Kept, 'assessment' | 'text' | 'etag'> {
  name: string;
  vehicle: string | null;
  date: string;
  purpose: string;
  wantedFinish: 'serviceable' | 'smart' | 'show';
  currency: string;
  components: number;
  answered: number;
  graders: string[];
  photos: number;
}

/** Who makes a change. */
export interface Author {
  name: string;
  /** Id of the paired device; `here` for this computer. */
  device: string;
}

/** One change as the history keeps it. */
export interface KeptEntry {
  id: string;
  version: number;
  at: string;
  by: string;
  device: string;
  change: KeptChange;
  undo: Undoing[];
  touches: string[];
  /** What came in together, as a parts list does, and is undone together; null for what came alone. */
  list: string | null;
  undoes: string | null;
  undoneBy: string | null;
}

/** What a change needs to know while nobody else can change the assessment. */
export interface Inside {
  /** The entry kept under this id, if any. */
  entry(id: string): Promise<KeptEntry | undefined>;
  /** Entries of versions above this one, oldest first. */
  since(version: number): Promise<KeptEntry[]>;
  /** Newest entry of a device that is not undone and undoes nothing. */
  lastOf(device: string): Promise<KeptEntry | undefined>;
  /** Entries of one list, oldest first. */
  ofList(list: string): Promise<KeptEntry[]>;
  photo(id: string): Promise<PhotoRow | undefined>;
  putPhoto(row: PhotoRow): Promise<void>;
  /** As the store's own; that one would wait for the change to end, and the change for it. */
  rubric(version: string): Promise<Rubric | undefined>;
}

/** What came out: the new state (or none), entries to keep, and an answer for whoever asked. */
export interface Outcome<Answer> {
  next?: { assessment: Assessment; rubricVersion: string | null };
  entries: Omit<KeptEntry, 'undoneBy'>[];
  answer: Answer;
}

export interface PhotoRow {
  id: string;
  /** Content address with ending: `SHA256.jpg`. */
  file: string;
  name: string;
  bytes: number;
  width: number;
  height: number;
  takenAt: string | null;
  addedAt: string;
  by: string;
  outline: [number, number][] | null;
  hints: unknown[] | null;
  scale: { lengthPx: number; lengthMm: number } | null;
  /** Newest kept measurement. */
  measurement: Record<string, unknown> | null;
  /** Content address of its mask, or null. */
  mask: string | null;
  removedAt: string | null;
}

export interface DeviceRow {
  id: string;
  name: string;
  role: Role;
  pairedAt: string;
  lastSeenAt: string;
}

export interface NewKept {
  assessment: Assessment;
  rubricVersion: string | null;
  demo: string | null;
  photos: PhotoRow[];
  author: Author;
}

/** Where assessments are kept. Every promise that resolves after a write means: it is on the disk. */
export interface Store {
  list(inBin: boolean): Promise<KeptSummary[]>;
  /** Also one in the bin. */
  read(id: string): Promise<Kept | undefined>;
  /** As `read`, from the database, whatever is at hand. */
  readFresh(id: string): Promise<Kept | undefined>;
  /** As `read`, when it is at hand without asking the database; undefined says nothing. */
  peek(id: string): Kept | undefined;
  /** @returns false when the id is taken */
  create(fresh: NewKept): Promise<boolean>;
  /** Runs `job` while nobody else changes this assessment. A job that throws leaves no trace. Undefined: no such assessment. */
  change<Answer>(
    id: string,
    job: (kept: Kept, inside: Inside) => Promise<Outcome<Answer>>,
  ): Promise<Answer | undefined>;
  /** Into the bin, or out of it. */
  setDeleted(id: string, deletedAt: string | null): Promise<boolean>;
  /** For good, with history; photo files that nothing uses any more go too. */
  erase(id: string): Promise<boolean>;
  history(id: string, options: { component?: string; before?: number; limit: number }): Promise<KeptEntry[]>;
  photos(id: string): Promise<PhotoRow[]>;
  keepRubric(rubric: Rubric): Promise<void>;
  rubric(version: string): Promise<Rubric | undefined>;
  devices(): Promise<DeviceRow[]>;
  addDevice(row: DeviceRow, secretHash: string): Promise<void>;
  deviceBySecret(secretHash: string): Promise<DeviceRow | undefined>;
  updateDevice(
    id: string,
    set: Partial<Pick<DeviceRow, 'name' | 'role' | 'lastSeenAt'>>,
  ): Promise<DeviceRow | undefined>;
  removeDevice(id: string): Promise<boolean>;
  setting(key: string): Promise<string | undefined>;
  setSetting(key: string, value: string): Promise<void>;
  /** Calls back when an assessment changed, by whichever process. Returns how to stop. */
  onChange(listener: (change: StoreChange) => void): () => void;
  close(): Promise<void>;
}

export type StoreChange =
  | {
      what: 'assessment';
      id: string;
      version: number;
      by: string;
      device: string;
      changes: string[];
      components: string[];
    }
  | { what: 'list' }
  | { what: 'devices' };

/** Files under their content's own name. */
export interface PhotoFiles {
  /** Keeps bytes durably and gives their address. The same bytes twice are one file. */
  put(bytes: Uint8Array, ending: string): Promise<string>;
  /** Undefined when there is no such file. */
  get(address: string): Promise<Uint8Array | undefined>;
  remove(address: string): Promise<void>;
}

/** Record of a photo as the assessment holds it. */
export type { PhotoRecord };
