import type { Selectable } from 'kysely';
import type { Assessment } from '../../../shared/index.ts';
import type { Kept, KeptEntry, KeptSummary, PhotoRow } from '../../app/store-port.ts';
import type { Tables } from './tables.ts';

type AssessmentRecord = Selectable<Tables['assessments']>;

/** Columns of the list, from the document. */
export function summaryOf(assessment: Assessment): string {
  const graders = new Set<string>();
  let answered = 0;
  for (const component of assessment.components) {
    const checks = new Set<string>();
    for (const observation of component.observations ?? []) {
      checks.add(observation.check);
      if (observation.grader) graders.add(observation.grader);
    }
    answered += checks.size;
  }
  const { name, vehicle, date, purpose, wantedFinish, currency } = assessment;
  return JSON.stringify({
    name,
    vehicle: vehicle ?? null,
    date,
    purpose,
    wantedFinish,
    currency,
    components: assessment.components.length,
    answered,
    graders: [...graders].sort(),
  });
}

export function summaryFrom(row: Omit<AssessmentRecord, 'document' | 'salt'>, photos: number): KeptSummary {
  return {
    ...(JSON.parse(row.summary) as Omit<KeptSummary, 'id' | 'version' | 'photos'>),
    id: row.id,
    version: row.version,
    photos,
    rubricVersion: row.rubric_version,
    demo: row.demo,
    createdAt: row.created_at,
    changedAt: row.changed_at,
    deletedAt: row.deleted_at,
  };
}

/** @param at hand the parsed document, when it is known already */
export function keptFrom(row: AssessmentRecord, atHand?: Assessment): Kept {
  return {
    id: row.id,
    version: row.version,
    etag: etagOf(row.version, row.salt),
    assessment: atHand ?? (JSON.parse(row.document) as Assessment),
    text: row.document,
    rubricVersion: row.rubric_version,
    demo: row.demo,
    createdAt: row.created_at,
    changedAt: row.changed_at,
    deletedAt: row.deleted_at,
  };
}

export function etagOf(version: number, salt: string): string {
  return `"${version}-${salt}"`;
}

export function entryFrom(row: Selectable<Tables['changes']>): KeptEntry {
  return {
    id: row.id,
    version: row.version,
    at: row.at,
    by: row.by,
    device: row.device,
    change: JSON.parse(row.change),
    undo: JSON.parse(row.undo),
    touches: JSON.parse(row.touches),
    list: row.list,
    undoes: row.undoes,
    undoneBy: row.undone_by,
  };
}

export function recordOfEntry(assessment: string, entry: KeptEntry): Selectable<Tables['changes']> {
  return {
    assessment,
    version: entry.version,
    id: entry.id,
    at: entry.at,
    by: entry.by,
    device: entry.device,
    component: componentOf(entry.change),
    change: JSON.stringify(entry.change),
    undo: JSON.stringify(entry.undo),
    touches: JSON.stringify(entry.touches),
    list: entry.list,
    undoes: entry.undoes,
    undone_by: entry.undoneBy,
  };
}

/** Component that a change is about, or null. */
export function componentOf(change: KeptEntry['change']): string | null {
  if (!('component' in change)) return null;
  return typeof change.component === 'string' ? change.component : change.component.id;
}

export function photoFrom(row: Selectable<Tables['photos']>): PhotoRow {
  return {
    ...(JSON.parse(row.about) as PhotoRow),
    id: row.id,
    file: row.file,
    mask: row.mask,
    addedAt: row.added_at,
    removedAt: row.removed_at,
  };
}

export function recordOfPhoto(assessment: string, photo: PhotoRow): Selectable<Tables['photos']> {
  const { id, file, mask, addedAt, removedAt, ...about } = photo;
  return { assessment, id, file, mask, added_at: addedAt, removed_at: removedAt, about: JSON.stringify(about) };
}
