import { createContext, useContext, useSyncExternalStore } from 'react';
import { Outbox, type Waiting } from './outbox.ts';

export const outbox = new Outbox();

/** Everything that waits to be sent. */
export function useWaiting(): readonly Waiting[] {
  return useSyncExternalStore(outbox.subscribe, () => outbox.items);
}

/** Whether the server answers, as far as is known. */
export interface Connection {
  isOnline: boolean;
}

let connection: Connection = { isOnline: navigator.onLine };
const listeners = new Set<() => void>();

/** The client reports each success and failure here. */
export function setOnline(isOnline: boolean): void {
  if (connection.isOnline === isOnline) return;
  connection = { isOnline };
  for (const listener of listeners) listener();
  if (isOnline) outbox.flushNow();
}

addEventListener('offline', () => setOnline(false));
addEventListener('online', () => setOnline(true));

export function useConnection(): Connection {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => connection,
  );
}

/** Name of the person who grades on this device, kept for next time. */
export const GraderContext = createContext('');
export function useGrader(): string {
  return useContext(GraderContext);
}
