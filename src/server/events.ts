import type { Context } from 'hono';
import { streamSSE } from 'hono/streaming';
import type { EventData } from '../../shared/index.ts';
import type { Store } from '../app/store-port.ts';

/** Silence after which a line is sent to show that the server lives, ms: routers drop connections that say nothing. */
const BEAT_MS = 20_000;
/** Most open pages. */
const MOST = 500;

/** Tells open pages what changed. */
export function eventDesk(store: Store, hello: Extract<EventData, { event: 'hello' }>) {
  const open = new Map<(event: EventData) => void, { device: string; close: () => void }>();
  store.onChange((change) => {
    const event: EventData =
      change.what === 'assessment'
        ? {
            event: 'changed',
            assessment: change.id,
            version: change.version,
            by: change.by,
            device: change.device,
            changes: change.changes,
            components: change.components,
          }
        : { event: change.what };
    for (const send of open.keys()) send(event);
    if (change.what === 'devices') void shutOut();
  });

  /** Ends the streams of devices that were revoked. */
  const shutOut = async () => {
    const allowed = new Set((await store.devices()).map((device) => device.id));
    for (const { device, close } of open.values()) if (device !== 'here' && !allowed.has(device)) close();
  };

  return {
    /** Devices with an open page. */
    here: () => new Set([...open.values()].map(({ device }) => device)),
    stream(c: Context, device: string): Response {
      c.header('Cache-Control', 'no-store');
      c.header('X-Accel-Buffering', 'no');
      return streamSSE(c, async (stream) => {
        const waiting: EventData[] = [hello];
        let wake = () => {};
        let isOpen = open.size < MOST;
        const send = (event: EventData) => {
          // A page that does not read is told to start again instead of filling the memory.
          if (waiting.length > 1000) isOpen = false;
          else waiting.push(event);
          wake();
        };
        const close = () => {
          isOpen = false;
          wake();
        };
        open.set(send, { device, close });
        stream.onAbort(close);
        try {
          while (isOpen) {
            for (let event = waiting.shift(); event; event = waiting.shift()) {
              await stream.writeSSE({ event: event.event, data: JSON.stringify(event), retry: 2000 });
            }
            if (!isOpen) break;
            const isQuiet = await new Promise<boolean>((resolve) => {
              const timer = setTimeout(() => resolve(true), BEAT_MS);
              wake = () => {
                clearTimeout(timer);
                resolve(false);
              };
            });
            if (isQuiet) await stream.write(': here\n\n');
          }
        } finally {
          open.delete(send);
        }
      });
    },
    /** Ends all streams, so that the server can stop. */
    close() {
      for (const { close } of open.values()) close();
    },
  };
}

export type EventDesk = ReturnType<typeof eventDesk>;
