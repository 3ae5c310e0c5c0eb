import { useSyncExternalStore } from 'react';
import { queries } from '../data/queries.ts';

/**
 * Whether this device keeps the page for a reload with the network down: `kept`; `refused`, most often since the browser
 * does not trust the certificate; `none` where the browser never does, as over plain http.
 */
export type Keeping = 'asking' | 'kept' | 'refused' | 'none';

let keeping: Keeping = 'asking';
const listeners = new Set<() => void>();

function tell(now: Keeping): void {
  keeping = now;
  for (const listener of listeners) listener();
}

export function useKeeping(): Keeping {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => keeping,
  );
}

/** Lets the page reload with the network down, where the browser allows it: over https that it trusts, and on this computer. */
export function registerOffline(): void {
  if (!('serviceWorker' in navigator)) {
    tell('none');
    return;
  }
  const { serviceWorker } = navigator;
  const isFirst = serviceWorker.controller === null;
  serviceWorker.addEventListener('controllerchange', () => {
    // What was read before anybody kept it is read once more.
    if (isFirst) void queries.refetchQueries({ type: 'active' });
  });
  addEventListener('load', () => {
    serviceWorker
      .register('/sw.js')
      .then(() => serviceWorker.ready)
      .then(
        () => tell('kept'),
        () => tell('refused'),
      );
  });
}
