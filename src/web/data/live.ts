import type { EventData } from '../../../shared/api.ts';
import { call } from './client.ts';
import { queries } from './queries.ts';
import { setOnline } from './use-outbox.ts';

/** Listens to what other devices change, and fetches it. Tells at once when the server is gone and when it is back. */
export function listen(): () => void {
  const source = new EventSource('/api/events');
  const on = (name: EventData['event'], react: (data: EventData) => void) =>
    source.addEventListener(name, (event) => react(JSON.parse((event as MessageEvent<string>).data) as EventData));
  source.addEventListener('open', () => setOnline(true));
  source.addEventListener('error', () => {
    // The stream may end for other reasons; whether the server is there a plain call tells.
    if (source.readyState !== EventSource.OPEN) call('me').catch(() => undefined);
  });
  let isFirst = true;
  on('hello', () => {
    // After a gap anything may have changed.
    if (!isFirst) void queries.invalidateQueries();
    isFirst = false;
  });
  on('changed', (data) => {
    const { assessment } = data as Extract<EventData, { event: 'changed' }>;
    void queries.invalidateQueries({ queryKey: ['assessment', assessment] });
    void queries.invalidateQueries({ queryKey: ['photos', assessment] });
    void queries.invalidateQueries({ queryKey: ['list'] });
  });
  on('list', () => void queries.invalidateQueries({ queryKey: ['list'] }));
  on('devices', () => void queries.invalidateQueries({ queryKey: ['devices'] }));
  return () => source.close();
}
