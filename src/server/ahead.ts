import type { ServerDeps } from './deps.ts';
import type { VerdictDesk } from './verdicts.ts';

/** What a start itself has to do goes first, ms. */
const START_MS = 300;
/** Quiet after a change before it is judged, ms: whoever goes round a car answers check after check. */
const REST_MS = 400;
/** A change waits no longer than this, however many follow, ms. */
const LONGEST_MS = 5000;
/** Assessments looked after at a start, those that changed last. */
const MOST = 12;

/**
 * Judges what somebody is likely to open next before it is asked for: at the start what changed last, afterwards whatever
 * changes. One at a time, so that whoever asks for something else waits for at most one.
 */
export function judgeAhead(
  { store, verdicts, log }: Pick<ServerDeps, 'store' | 'verdicts' | 'log'>,
  desk: VerdictDesk,
) {
  const wanted = new Set<string>();
  let isRunning = false;
  let isClosed = false;
  let starting: NodeJS.Timeout | undefined;
  let timer: NodeJS.Timeout | undefined;
  let oldest: number | null = null;

  const run = async () => {
    oldest = null;
    if (isRunning) return;
    isRunning = true;
    try {
      for (const id of wanted) {
        if (isClosed) break;
        wanted.delete(id);
        const kept = store.peek(id) ?? (await store.read(id));
        // What cannot be judged is told to whoever asks for it.
        if (kept && kept.deletedAt === null) await desk.ahead(kept).catch(() => undefined);
      }
    } finally {
      isRunning = false;
    }
  };
  const runAndLog = () => void run().catch((error) => isClosed || log('Cannot judge ahead', error));

  const lookRound = async () => {
    const rows = await store.list(false);
    const binned = await store.list(true);
    await verdicts.keepOnly(new Set([...rows, ...binned].map(({ id }) => id)));
    rows.sort((a, b) => b.changedAt.localeCompare(a.changedAt));
    for (const { id } of rows.slice(0, MOST)) wanted.add(id);
    await run();
  };
  const lookRoundAndLog = () => void lookRound().catch((error) => isClosed || log('Cannot judge ahead', error));

  return {
    /** Starts; to be called once the server listens. */
    begin() {
      const stop = store.onChange((change) => {
        if (isClosed) stop();
        else if (change.what === 'list') lookRoundAndLog();
        else if (change.what === 'assessment') {
          wanted.add(change.id);
          oldest ??= Date.now();
          clearTimeout(timer);
          timer = setTimeout(runAndLog, Math.max(0, Math.min(REST_MS, oldest + LONGEST_MS - Date.now()))).unref();
        }
      });
      starting = setTimeout(lookRoundAndLog, START_MS).unref();
    },
    close() {
      isClosed = true;
      clearTimeout(starting);
      clearTimeout(timer);
    },
  };
}
