import type { Rubric } from '../../../shared/index.ts';
import { StoreError } from '../../../shared/store-error.ts';
import type { DeviceRow, Kept, NewKept, PhotoFiles, Store, StoreChange } from '../../app/store-port.ts';
import { announce, changeQueue, newSalt } from './change-queue.ts';
import type { Database } from './database.ts';
import { entryFrom, etagOf, keptFrom, photoFrom, recordOfPhoto, summaryFrom, summaryOf } from './rows.ts';

/** Most text of documents held in memory, characters. */
const REMEMBERED = 64 * 1024 * 1024;

/**
 * The store over an open database.
 *
 * @param needRoom throws when the disk is too full to write at all
 */
export async function openStore(
  database: Database,
  files: PhotoFiles,
  needRoom: () => void = () => {},
): Promise<Store> {
  const { db } = database;
  const memory = rememberingDocuments();
  const listeners = new Set<(change: StoreChange) => void>();
  const tell = (change: StoreChange) => {
    for (const listener of listeners) listener(change);
  };
  const news = database.listen ? await hearOthers(database.listen, memory, tell) : null;
  const isShared = news !== null;

  /** Tells everybody after a write that was not a change of one document. */
  const spread = async (change: StoreChange) => (isShared ? announce(db, change) : tell(change));
  const write = async <T>(work: () => Promise<T>): Promise<T> => {
    try {
      needRoom();
      return await work();
    } catch (error) {
      throw faultOf(error);
    }
  };
  const change = changeQueue({
    db,
    atHand: memory.get,
    committed(kept, changes) {
      memory.set(kept);
      if (!isShared) changes.forEach(tell);
    },
    announce: isShared,
    needRoom,
    faultOf,
  });
  const peek = (id: string) => (news === null || news.isHearing() ? memory.get(id) : undefined);

  const readFresh = async (id: string) => {
    const { epoch } = memory;
    const row = await db.selectFrom('assessments').selectAll().where('id', '=', id).executeTakeFirst();
    if (!row) return undefined;
    const known = memory.get(id);
    const kept = keptFrom(row, known?.etag === etagOf(row.version, row.salt) ? known.assessment : undefined);
    // What was read may be older than a change that went through meanwhile.
    if (memory.epoch === epoch) memory.set(kept);
    return kept;
  };

  return {
    peek,
    change: change as Store['change'],

    async list(inBin) {
      const rows = await db
        .selectFrom('assessments')
        .select((q) => [
          'id',
          'version',
          'summary',
          'rubric_version',
          'demo',
          'created_at',
          'changed_at',
          'deleted_at',
          q
            .selectFrom('photos')
            .select(({ fn }) => fn.countAll<string | number>().as('count'))
            .whereRef('photos.assessment', '=', 'assessments.id')
            .where('photos.removed_at', 'is', null)
            .as('photos'),
        ])
        .where('deleted_at', inBin ? 'is not' : 'is', null)
        .orderBy('changed_at', 'desc')
        .orderBy('id')
        .execute();
      return rows.map(({ photos, ...row }) => summaryFrom(row, Number(photos ?? 0)));
    },

    readFresh,
    read: async (id) => peek(id) ?? readFresh(id),

    create: (fresh: NewKept) =>
      write(async () => {
        const now = new Date().toISOString();
        const isNew = await db.transaction().execute(async (trx) => {
          const { numInsertedOrUpdatedRows } = await trx
            .insertInto('assessments')
            .values({
              id: fresh.assessment.id,
              version: 1,
              salt: newSalt(),
              document: JSON.stringify(fresh.assessment),
              summary: summaryOf(fresh.assessment),
              rubric_version: fresh.rubricVersion,
              demo: fresh.demo,
              created_at: now,
              changed_at: now,
              deleted_at: null,
            })
            .onConflict((conflict) => conflict.column('id').doNothing())
            .executeTakeFirst();
          if (!numInsertedOrUpdatedRows) return false;
          for (const photo of fresh.photos) {
            await trx.insertInto('photos').values(recordOfPhoto(fresh.assessment.id, photo)).execute();
          }
          return true;
        });
        if (isNew) await spread({ what: 'list' });
        return isNew;
      }),

    setDeleted: (id, deletedAt) =>
      write(async () => {
        const { numUpdatedRows } = await db
          .updateTable('assessments')
          .set({ deleted_at: deletedAt })
          .where('id', '=', id)
          .executeTakeFirst();
        memory.forget(id);
        await spread({ what: 'list' });
        return numUpdatedRows > 0n;
      }),

    async erase(id) {
      // Also on a full disk: this is how room is made.
      try {
        const photos = await db.selectFrom('photos').select(['file', 'mask']).where('assessment', '=', id).execute();
        const { numDeletedRows } = await db.deleteFrom('assessments').where('id', '=', id).executeTakeFirst();
        memory.forget(id);
        for (const file of new Set(photos.flatMap((photo) => [photo.file, photo.mask ?? []]).flat())) {
          const used = await db
            .selectFrom('photos')
            .select('id')
            .where((q) => q.or([q('file', '=', file), q('mask', '=', file)]))
            .limit(1)
            .executeTakeFirst();
          if (!used) await files.remove(file);
        }
        await spread({ what: 'list' });
        return numDeletedRows > 0n;
      } catch (error) {
        throw faultOf(error);
      }
    },

    async history(id, { component, before, limit }) {
      let query = db.selectFrom('changes').selectAll().where('assessment', '=', id);
      if (component !== undefined) query = query.where('component', '=', component);
      if (before !== undefined) query = query.where('version', '<', before);
      return (await query.orderBy('version', 'desc').limit(limit).execute()).map(entryFrom);
    },

    async photos(id) {
      const rows = await db
        .selectFrom('photos')
        .selectAll()
        .where('assessment', '=', id)
        .orderBy('added_at')
        .orderBy('id')
        .execute();
      return rows.map(photoFrom);
    },

    keepRubric: (rubric) =>
      write(async () => {
        await db
          .insertInto('rubrics')
          .values({ version: rubric.version, document: JSON.stringify(rubric) })
          .onConflict((conflict) => conflict.column('version').doNothing())
          .execute();
      }),
    async rubric(version) {
      const row = await db.selectFrom('rubrics').select('document').where('version', '=', version).executeTakeFirst();
      return row && (JSON.parse(row.document) as Rubric);
    },

    async devices() {
      return (await db.selectFrom('devices').selectAll().orderBy('paired_at').execute()).map(deviceFrom);
    },
    addDevice: (device, secret) =>
      write(async () => {
        const { id, name, role, pairedAt, lastSeenAt } = device;
        await db
          .insertInto('devices')
          .values({ id, secret, name, role, paired_at: pairedAt, last_seen_at: lastSeenAt })
          .execute();
        await spread({ what: 'devices' });
      }),
    async deviceBySecret(secret) {
      const row = await db.selectFrom('devices').selectAll().where('secret', '=', secret).executeTakeFirst();
      return row && deviceFrom(row);
    },
    updateDevice: (id, { name, role, lastSeenAt }) =>
      write(async () => {
        const set = {
          ...(name === undefined ? {} : { name }),
          ...(role === undefined ? {} : { role }),
          ...(lastSeenAt === undefined ? {} : { last_seen_at: lastSeenAt }),
        };
        const row = await db.updateTable('devices').set(set).where('id', '=', id).returningAll().executeTakeFirst();
        if (lastSeenAt === undefined) await spread({ what: 'devices' });
        return row && deviceFrom(row);
      }),
    async removeDevice(id) {
      const { numDeletedRows } = await db.deleteFrom('devices').where('id', '=', id).executeTakeFirst();
      await spread({ what: 'devices' });
      return numDeletedRows > 0n;
    },

    async setting(key) {
      return (await db.selectFrom('settings').select('value').where('key', '=', key).executeTakeFirst())?.value;
    },
    setSetting: (key, value) =>
      write(async () => {
        await db
          .insertInto('settings')
          .values({ key, value })
          .onConflict((conflict) => conflict.column('key').doUpdateSet({ value }))
          .execute();
      }),

    onChange(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async close() {
      await news?.stop();
      await database.close();
    },
  };
}

function deviceFrom(row: {
  id: string;
  name: string;
  role: string;
  paired_at: string;
  last_seen_at: string;
}): DeviceRow {
  const { id, name, role, paired_at, last_seen_at } = row;
  return { id, name, role: role as DeviceRow['role'], pairedAt: paired_at, lastSeenAt: last_seen_at };
}

/** Documents read or written lately, the longest unused forgotten first. */
function rememberingDocuments() {
  const documents = new Map<string, Kept>();
  let size = 0;
  let epoch = 0;
  const forget = (id: string) => {
    epoch++;
    size -= documents.get(id)?.text.length ?? 0;
    documents.delete(id);
  };
  return {
    /** Grows whenever something is remembered or forgotten. */
    get epoch() {
      return epoch;
    },
    get(id: string) {
      const kept = documents.get(id);
      if (kept && documents.size > 1) {
        documents.delete(id);
        documents.set(id, kept);
      }
      return kept;
    },
    set(kept: Kept) {
      forget(kept.id);
      documents.set(kept.id, kept);
      size += kept.text.length;
      for (const [id] of documents) {
        if (size <= REMEMBERED || id === kept.id) break;
        forget(id);
      }
    },
    forget,
    forgetAll() {
      epoch++;
      documents.clear();
      size = 0;
    },
  };
}

/** Follows what other processes on the same server write. While they cannot be heard, memory is not trusted. */
async function hearOthers(
  listen: NonNullable<Database['listen']>,
  memory: ReturnType<typeof rememberingDocuments>,
  tell: (change: StoreChange) => void,
) {
  let isHearing = false;
  let isStopped = false;
  let stop: (() => Promise<void>) | null = null;
  let again: NodeJS.Timeout | undefined;

  const hear = (text: string) => {
    const change = JSON.parse(text) as StoreChange;
    if (change.what === 'assessment') {
      const known = memory.get(change.id);
      if (known && known.version < change.version) memory.forget(change.id);
    } else if (change.what === 'list') memory.forgetAll();
    tell(change);
  };
  const start = async () => {
    stop = await listen(hear, lost);
    memory.forgetAll();
    isHearing = true;
  };
  const lost = () => {
    if (isStopped || again) return;
    isHearing = false;
    again = setTimeout(() => {
      again = undefined;
      start().catch(lost);
    }, 1000);
    again.unref();
  };
  await start();
  return {
    isHearing: () => isHearing,
    async stop() {
      isStopped = true;
      clearTimeout(again);
      await stop?.();
    },
  };
}

/** A database's error in the store's own words, where a person can do something about it. */
function faultOf(error: unknown): unknown {
  const code = (error as { code?: unknown }).code;
  // SQLSTATE (PostgreSQL appendix A): 53100 disk_full, 25006 read_only_sql_transaction, class 08 and 57P0x connection lost.
  if (code === '53100') {
    return new StoreError('disk-full', 'Cannot write to the database: the disk is full. Nothing was changed', {
      cause: error,
    });
  }
  if (code === '25006')
    return new StoreError('read-only', 'Cannot write to the database: it is read-only', { cause: error });
  if (typeof code === 'string' && (/^(08|57P0)/.test(code) || code === 'ECONNREFUSED' || code === 'ECONNRESET')) {
    return new StoreError('unreachable', 'Cannot reach the database server', { cause: error });
  }
  return error;
}
