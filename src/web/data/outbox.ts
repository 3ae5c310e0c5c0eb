import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { Change } from '../../../shared/change.ts';
import type { Stage } from '../../../shared/index.ts';

/** An answer or a photo that the server has not acknowledged yet. */
export interface Waiting {
  /** Client id, sent with every try, so that the same thing sent twice is kept once. */
  id: string;
  assessment: string;
  at: number;
  /** An answer still on the screen: kept, but not sent until the person has moved on. */
  held: boolean;
  what: WaitingChange | WaitingPhoto;
  /** The server refused it; it stays until a person has seen why. */
  refused?: string;
}

export interface WaitingChange {
  kind: 'change';
  change: Change;
}

export interface WaitingPhoto {
  kind: 'photo';
  file: Blob;
  name: string;
  component?: string;
  check?: string;
  stage?: Stage;
}

interface Schema extends DBSchema {
  waiting: { key: string; value: Waiting };
}

type Send = (batch: readonly Waiting[]) => Promise<SendResult>;

/** What became of each sent thing; whatever is in neither list is tried again. */
export interface SendResult {
  done: readonly string[];
  refused: readonly { id: string; why: string }[];
}

const RETRY_MS = [1000, 2000, 5000, 10_000, 30_000];

/** Keeps what is to be sent in IndexedDB, sends it in order, and tells who listens. */
export class Outbox {
  readonly #db: Promise<IDBPDatabase<Schema> | null>;
  readonly #listeners = new Set<() => void>();
  #items: readonly Waiting[] = [];
  #send: Send | null = null;
  #busy = false;
  #tries = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** False when the browser gives no storage: then only an open page keeps what waits. */
  isKept = true;

  constructor(name = 'keepworthy') {
    this.#db = openDB<Schema>(name, 1, {
      upgrade: (db) => void db.createObjectStore('waiting', { keyPath: 'id' }),
    }).catch(() => {
      this.isKept = false;
      return null;
    });
  }

  /** Reads what an earlier visit left, and starts sending. What was still on a screen then counts as answered. */
  async start(send: Send): Promise<void> {
    this.#send = send;
    const db = await this.#db;
    const left = db ? await db.getAll('waiting').catch(() => []) : [];
    const known = new Set(this.#items.map((item) => item.id));
    this.#set([
      ...left.filter((item) => !known.has(item.id)).map((item) => ({ ...item, held: false })),
      ...this.#items,
    ]);
    addEventListener('online', () => this.flushNow());
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible') this.flushNow();
    });
    await this.flush();
  }

  /** Everything that waits, oldest first. The array changes only when something did. */
  get items(): readonly Waiting[] {
    return this.#items;
  }

  subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };

  /** Keeps a thing, in the place of one with the same id. Returns when it is on the disk. */
  async put(item: Waiting): Promise<void> {
    this.#set([...this.#items.filter((other) => other.id !== item.id), item]);
    const db = await this.#db;
    await db?.put('waiting', item).catch(() => {
      this.isKept = false;
      this.#tell();
    });
    if (!item.held) void this.flush();
  }

  async drop(id: string): Promise<void> {
    this.#set(this.#items.filter((item) => item.id !== id));
    const db = await this.#db;
    await db?.delete('waiting', id).catch(() => undefined);
  }

  /** Tries a refused thing once more. */
  async again(id: string): Promise<void> {
    const item = this.#items.find((other) => other.id === id);
    if (!item) return;
    const { refused: _, ...fresh } = item;
    await this.put(fresh);
  }

  /** The person has moved on: what was held may go. */
  async release(): Promise<void> {
    const held = this.#items.filter((item) => item.held);
    if (held.length === 0) return;
    const freed = held.map((item) => ({ ...item, held: false }));
    this.#set(this.#items.map((item) => freed.find((f) => f.id === item.id) ?? item));
    const db = await this.#db;
    for (const item of freed) await db?.put('waiting', item).catch(() => undefined);
    void this.flush();
  }

  flushNow(): void {
    this.#tries = 0;
    clearTimeout(this.#timer);
    void this.flush();
  }

  /** Sends all that may go; on failure tries again later, slower each time. */
  async flush(): Promise<void> {
    if (this.#busy || !this.#send) return;
    const batch = this.#items.filter((item) => !item.held && item.refused === undefined);
    if (batch.length === 0) return;
    this.#busy = true;
    let isThrough = false;
    try {
      const { done, refused } = await this.#send(batch);
      for (const id of done) await this.drop(id);
      for (const { id, why } of refused) {
        const item = this.#items.find((other) => other.id === id);
        if (item) await this.put({ ...item, refused: why });
      }
      isThrough = done.length + refused.length > 0;
    } catch {
      isThrough = false;
    } finally {
      this.#busy = false;
    }
    if (isThrough) {
      this.#tries = 0;
      void this.flush();
    } else {
      clearTimeout(this.#timer);
      this.#timer = setTimeout(() => void this.flush(), RETRY_MS[Math.min(this.#tries++, RETRY_MS.length - 1)]);
    }
  }

  #set(items: readonly Waiting[]): void {
    this.#items = items;
    this.#tell();
  }

  #tell(): void {
    for (const listener of this.#listeners) listener();
  }
}

/** A new id for something said on this device. `crypto.randomUUID` needs https, so it is made by hand. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
