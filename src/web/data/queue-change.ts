import type { Change } from '../../../shared/change.ts';
import { outbox } from './use-outbox.ts';

/** Keeps a change on this device and sends it as soon as the server answers. */
export function queueChange(assessment: string, change: Change): void {
  void outbox.put({
    id: change.id,
    assessment,
    at: Date.now(),
    held: false,
    what: { kind: 'change', change: { ...change, at: new Date().toISOString() } },
  });
}
