import type { Kysely, Migration, MigrationProvider } from 'kysely';

/**
 * The tables, in the PostgreSQL dialect of both databases. Ids and times are text and documents are JSON in text columns, so
 * that what was written is what is read, byte for byte, and numbers are of one type on both.
 */
export interface Tables {
  assessments: {
    id: string;
    version: number;
    /** Random, so that an ETag never means two contents, also when an id is used again. */
    salt: string;
    document: string;
    /** Columns of the list, JSON. */
    summary: string;
    rubric_version: string | null;
    demo: string | null;
    created_at: string;
    changed_at: string;
    deleted_at: string | null;
  };
  changes: {
    assessment: string;
    version: number;
    id: string;
    at: string;
    by: string;
    device: string;
    component: string | null;
    change: string;
    undo: string;
    touches: string;
    list: string | null;
    undoes: string | null;
    undone_by: string | null;
  };
  photos: {
    assessment: string;
    id: string;
    file: string;
    mask: string | null;
    added_at: string;
    removed_at: string | null;
    /** The rest of the row, JSON. */
    about: string;
  };
  rubrics: { version: string; document: string };
  devices: { id: string; secret: string; name: string; role: string; paired_at: string; last_seen_at: string };
  settings: { key: string; value: string };
}

/** Steps that bring an older database to this version's tables. Never changed once released; new ones are added. */
const STEPS: Record<string, Migration> = {
  '0001-assessments': {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('assessments')
        .addColumn('id', 'text', (c) => c.primaryKey())
        .addColumn('version', 'integer', (c) => c.notNull())
        .addColumn('salt', 'text', (c) => c.notNull())
        .addColumn('document', 'text', (c) => c.notNull())
        .addColumn('summary', 'text', (c) => c.notNull())
        .addColumn('rubric_version', 'text')
        .addColumn('demo', 'text')
        .addColumn('created_at', 'text', (c) => c.notNull())
        .addColumn('changed_at', 'text', (c) => c.notNull())
        .addColumn('deleted_at', 'text')
        .execute();
      await db.schema
        .createTable('changes')
        .addColumn('assessment', 'text', (c) => c.notNull().references('assessments.id').onDelete('cascade'))
        .addColumn('version', 'integer', (c) => c.notNull())
        .addColumn('id', 'text', (c) => c.notNull())
        .addColumn('at', 'text', (c) => c.notNull())
        .addColumn('by', 'text', (c) => c.notNull())
        .addColumn('device', 'text', (c) => c.notNull())
        .addColumn('component', 'text')
        .addColumn('change', 'text', (c) => c.notNull())
        .addColumn('undo', 'text', (c) => c.notNull())
        .addColumn('touches', 'text', (c) => c.notNull())
        .addColumn('undoes', 'text')
        .addColumn('undone_by', 'text')
        .addPrimaryKeyConstraint('changes_key', ['assessment', 'version'])
        .addUniqueConstraint('changes_id', ['assessment', 'id'])
        .execute();
      await db.schema
        .createTable('photos')
        .addColumn('assessment', 'text', (c) => c.notNull().references('assessments.id').onDelete('cascade'))
        .addColumn('id', 'text', (c) => c.notNull())
        .addColumn('file', 'text', (c) => c.notNull())
        .addColumn('mask', 'text')
        .addColumn('added_at', 'text', (c) => c.notNull())
        .addColumn('removed_at', 'text')
        .addColumn('about', 'text', (c) => c.notNull())
        .addPrimaryKeyConstraint('photos_key', ['assessment', 'id'])
        .execute();
      await db.schema.createIndex('photos_file').on('photos').column('file').execute();
      await db.schema
        .createTable('rubrics')
        .addColumn('version', 'text', (c) => c.primaryKey())
        .addColumn('document', 'text', (c) => c.notNull())
        .execute();
      await db.schema
        .createTable('devices')
        .addColumn('id', 'text', (c) => c.primaryKey())
        .addColumn('secret', 'text', (c) => c.notNull().unique())
        .addColumn('name', 'text', (c) => c.notNull())
        .addColumn('role', 'text', (c) => c.notNull())
        .addColumn('paired_at', 'text', (c) => c.notNull())
        .addColumn('last_seen_at', 'text', (c) => c.notNull())
        .execute();
      await db.schema
        .createTable('settings')
        .addColumn('key', 'text', (c) => c.primaryKey())
        .addColumn('value', 'text', (c) => c.notNull())
        .execute();
    },
  },
  '0002-lists': {
    async up(db: Kysely<unknown>) {
      await db.schema.alterTable('changes').addColumn('list', 'text').execute();
      await db.schema.createIndex('changes_list').on('changes').columns(['assessment', 'list']).execute();
    },
  },
};

export const MIGRATIONS: MigrationProvider = { getMigrations: async () => STEPS };

/** Names of all steps this version knows. */
export const KNOWN_STEPS: readonly string[] = Object.keys(STEPS);
