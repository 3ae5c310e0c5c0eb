import { randomBytes } from 'node:crypto';
import { type Kysely, sql, type Transaction } from 'kysely';
import type { Rubric } from '../../../shared/index.ts';
import type { Inside, Kept, KeptEntry, Outcome, StoreChange } from '../../app/store-port.ts';
import { CHANNEL } from './database.ts';
import {
  componentOf,
  entryFrom,
  etagOf,
  keptFrom,
  photoFrom,
  recordOfEntry,
  recordOfPhoto,
  summaryOf,
} from './rows.ts';
import type { Tables } from './tables.ts';

type Job = (kept: Kept, inside: Inside) => Promise<Outcome<unknown>>;

interface Waiting {
  job: Job;
  resolve: (answer: unknown) => void;
  reject: (error: unknown) => void;
}

/** Most jobs in one transaction. */
const GROUP = 200;

export interface QueueOptions {
  db: Kysely<Tables>;
  /** What this process remembers of an assessment; checked against the database's version before use. */
  atHand: (id: string) => Kept | undefined;
  /** Called after the commit, before anybody is answered. */
  committed: (kept: Kept, changes: StoreChange[]) => void;
  /** Announce to other processes inside the transaction. */
  announce: boolean;
  needRoom: () => void;
  faultOf: (error: unknown) => unknown;
}

/**
 * Runs changes of one assessment one after another. Those that wait while a transaction runs go into the next one together,
 * so that many phones share a sync to the disk instead of queueing for one each.
 */
export function changeQueue(options: QueueOptions) {
  const queues = new Map<string, Waiting[]>();

  return function change(id: string, job: Job): Promise<unknown> {
    return new Promise((resolve, reject) => {
      const waiting = { job, resolve, reject };
      const queue = queues.get(id);
      if (queue) queue.push(waiting);
      else {
        queues.set(id, [waiting]);
        void drain(id);
      }
    });
  };

  async function drain(id: string): Promise<void> {
    const queue = queues.get(id)!;
    while (queue.length > 0) await runGroup(id, queue.splice(0, GROUP));
    queues.delete(id);
  }

  async function runGroup(id: string, group: Waiting[]): Promise<void> {
    try {
      options.needRoom();
      const done = await options.db.transaction().execute((trx) => runInside(trx, id, group));
      if (done.kept) options.committed(done.kept, done.changes);
      for (const settle of done.settle) settle();
    } catch (error) {
      if (group.length === 1) group[0]!.reject(options.faultOf(error));
      // One of them broke the transaction: alone, only that one fails.
      else for (const waiting of group) await runGroup(id, [waiting]);
    }
  }

  async function runInside(trx: Transaction<Tables>, id: string, group: Waiting[]) {
    const settle: (() => void)[] = [];
    const first = await lockRow(trx, id);
    if (!first) {
      return { kept: undefined, changes: [], settle: group.map((waiting) => () => waiting.resolve(undefined)) };
    }
    const { salt } = first;
    let { kept } = first;
    const pending = pendingEntries(trx, id);
    const changes: StoreChange[] = [];
    for (const { job, resolve, reject } of group) {
      let outcome: Outcome<unknown>;
      try {
        outcome = await job(kept, insideOf(trx, id, pending));
      } catch (error) {
        // The job itself refused, before anything of it was written; a broken transaction shows at the commit.
        settle.push(() => reject(options.faultOf(error)));
        continue;
      }
      pending.add(outcome.entries);
      if (outcome.next) {
        const { assessment, rubricVersion } = outcome.next;
        const last = outcome.entries.at(-1)!;
        kept = { ...kept, assessment, rubricVersion, version: last.version, changedAt: last.at };
        changes.push({
          what: 'assessment',
          id,
          version: last.version,
          by: last.by,
          device: last.device,
          changes: outcome.entries.map((entry) => entry.id),
          components: [...new Set(outcome.entries.flatMap((entry) => componentOf(entry.change) ?? []))],
        });
      }
      settle.push(() => resolve(outcome.answer));
    }
    await pending.write();
    if (kept !== first.kept) {
      kept = { ...kept, text: JSON.stringify(kept.assessment), etag: etagOf(kept.version, salt) };
      await trx
        .updateTable('assessments')
        .set({
          version: kept.version,
          document: kept.text,
          summary: summaryOf(kept.assessment),
          rubric_version: kept.rubricVersion,
          changed_at: kept.changedAt,
        })
        .where('id', '=', id)
        .execute();
      if (options.announce) for (const entry of changes) await announce(trx, entry);
    }
    return { kept, changes, settle };
  }

  async function lockRow(trx: Transaction<Tables>, id: string) {
    const known = options.atHand(id);
    const head = await trx
      .selectFrom('assessments')
      .select(['version', 'salt', 'rubric_version', 'demo', 'created_at', 'changed_at', 'deleted_at'])
      .where('id', '=', id)
      .forUpdate()
      .executeTakeFirst();
    if (!head) return undefined;
    if (known?.etag === etagOf(head.version, head.salt)) {
      return { salt: head.salt, kept: { ...known, deletedAt: head.deleted_at } };
    }
    const row = await trx.selectFrom('assessments').selectAll().where('id', '=', id).executeTakeFirstOrThrow();
    return { salt: row.salt, kept: keptFrom(row) };
  }
}

/** Tells other processes, which share one server, what changed. Delivered at the commit. */
export async function announce(db: Kysely<Tables>, change: StoreChange): Promise<void> {
  let text = JSON.stringify(change);
  // The server takes messages of at most 8,000 bytes.
  if (text.length > 7000 && change.what === 'assessment')
    text = JSON.stringify({ ...change, changes: [], components: [] });
  await sql`select pg_notify(${CHANNEL}, ${text})`.execute(db);
}

/** A short random text for ETags. */
export function newSalt(): string {
  return randomBytes(6).toString('base64url');
}

/** Entries made in this transaction and not written yet: one statement for all is much faster than one each. */
function pendingEntries(trx: Transaction<Tables>, assessment: string) {
  let waiting: KeptEntry[] = [];
  const undone = new Map<string, string>();
  return {
    add(entries: Outcome<unknown>['entries']) {
      for (const entry of entries) {
        waiting.push({ ...entry, undoneBy: null });
        if (entry.undoes) undone.set(entry.undoes, entry.id);
      }
    },
    find: (id: string) => {
      const entry = waiting.find((other) => other.id === id);
      return entry && { ...entry, undoneBy: undone.get(id) ?? null };
    },
    async write() {
      const entries = waiting;
      waiting = [];
      // PostgreSQL takes at most 65,535 parameters a statement.
      for (let from = 0; from < entries.length; from += 1000) {
        const rows = entries.slice(from, from + 1000).map((entry) => recordOfEntry(assessment, entry));
        await trx.insertInto('changes').values(rows).execute();
      }
      for (const [id, by] of undone) {
        await trx
          .updateTable('changes')
          .set({ undone_by: by })
          .where('assessment', '=', assessment)
          .where('id', '=', id)
          .execute();
      }
      undone.clear();
    },
  };
}

function insideOf(trx: Transaction<Tables>, assessment: string, pending: ReturnType<typeof pendingEntries>): Inside {
  const entries = () => trx.selectFrom('changes').selectAll().where('assessment', '=', assessment);
  return {
    async entry(id) {
      const fresh = pending.find(id);
      if (fresh) return fresh;
      const row = await entries().where('id', '=', id).executeTakeFirst();
      return row && entryFrom(row);
    },
    async since(version) {
      await pending.write();
      return (await entries().where('version', '>', version).orderBy('version').execute()).map(entryFrom);
    },
    async lastOf(device) {
      await pending.write();
      const row = await entries()
        .where('device', '=', device)
        .where('undone_by', 'is', null)
        .where('undoes', 'is', null)
        .orderBy('version', 'desc')
        .limit(1)
        .executeTakeFirst();
      return row && entryFrom(row);
    },
    async ofList(list) {
      await pending.write();
      return (await entries().where('list', '=', list).orderBy('version').execute()).map(entryFrom);
    },
    async photo(id) {
      const row = await trx
        .selectFrom('photos')
        .selectAll()
        .where('assessment', '=', assessment)
        .where('id', '=', id)
        .executeTakeFirst();
      return row && photoFrom(row);
    },
    async rubric(version) {
      const row = await trx.selectFrom('rubrics').select('document').where('version', '=', version).executeTakeFirst();
      return row && (JSON.parse(row.document) as Rubric);
    },
    async putPhoto(photo) {
      const { assessment: _assessment, id: _id, ...set } = recordOfPhoto(assessment, photo);
      await trx
        .insertInto('photos')
        .values(recordOfPhoto(assessment, photo))
        .onConflict((conflict) => conflict.columns(['assessment', 'id']).doUpdateSet(set))
        .execute();
    },
  };
}
