import type { KeptChange } from '../../shared/index.ts';

/** One change in words, for the history. */
export function wordsOf(change: KeptChange, isUndo: boolean): string {
  const words = plainWords(change);
  return isUndo ? `Undone: ${words.charAt(0).toLowerCase()}${words.slice(1)}` : words;
}

function plainWords(change: KeptChange): string {
  switch (change.type) {
    case 'set-assessment':
      return `Changed ${fields(change)}`;
    case 'set-component':
      return `Changed ${fields(change)} of ${change.component}`;
    case 'add-component':
      return `Added ${change.component.name}`;
    case 'remove-component':
      return `Took ${change.component} away`;
    case 'observe': {
      const { check, value, split, none } = change.observation;
      const answer = none ?? (split ? split.map((share) => `${share.count} at ${share.value}`).join(', ') : value);
      return `Answered ${check} of ${change.component}: ${String(answer).replaceAll('-', ' ')}`;
    }
    case 'withdraw-observation':
      return `Took an answer of ${change.component} back`;
    case 'add-cover':
      return `Named what hides ${change.cover.hides?.length ?? 0} checks: ${change.cover.name}`;
    case 'drop-cover':
      return `Took the cover ${change.cover} back`;
    case 'override':
      return `Decided on ${change.override.action} for ${change.component}: ${change.override.reason}`;
    case 'lift-override':
      return `Took the override of ${change.component} back`;
    case 'record-position':
      return `Wrote down ${change.position.what} of ${change.component}: ${change.position.found}`;
    case 'drop-position':
      return `Took a position of ${change.component} back`;
    case 'add-actual':
      return `Wrote down what ${change.actual.on} of ${change.component} took`;
    case 'drop-actual':
      return `Took an entry of ${change.component} back`;
    case 'assign-photo':
      return `Gave a photo to ${change.component}`;
    case 'unassign-photo':
      return 'Took a photo off its part';
    case 'put-photo':
      return `${change.photo.rustAreaPercent ? 'Measured' : 'Put'} a photo of ${change.component}`;
    case 'strike-photo':
      return `Struck a photo's measurement: ${change.reason}`;
    case 'use-current-rubric':
      return 'Judged by the rubric of this computer';
    case 'use-rubric':
      return 'Judged by the rubric it came with';
  }
}

function fields(change: { set?: object | undefined; clear?: string[] | undefined }): string {
  return [...Object.keys(change.set ?? {}), ...(change.clear ?? [])].join(', ') || 'nothing';
}
