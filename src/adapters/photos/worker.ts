import { boundWasmMemory } from './heic.ts';
import type { Job, Reply, WorkerSettings } from './messages.ts';
import { PhotoError } from './photo-error.ts';
import { jobRunner, NeedsHeic } from './run-job.ts';

/*
 * A photo process: decoding and inference happen here, where a crash takes nothing else down. It takes one job at a time
 * from the process that started it and ends with it.
 */

let run: ((job: Job) => Promise<unknown>) | undefined;

process.on('message', (message: { start?: WorkerSettings; id?: number; job?: Job }) => {
  if (message.start !== undefined) {
    boundWasmMemory(message.start.settings.intake.heicMemoryBytesTo);
    run = jobRunner(message.start);
    return;
  }
  if (run === undefined || message.id === undefined || message.job === undefined) return;
  const { id } = message;
  run(message.job).then(
    (result) => reply({ id, ok: true, result, rssBytes: process.memoryUsage.rss() }),
    (error: unknown) => {
      if (error instanceof NeedsHeic) reply({ id, ok: false, code: 'needs-heic', message: '' });
      else if (error instanceof PhotoError) reply({ id, ok: false, code: error.code, message: error.message });
      else reply({ id, ok: false, code: 'crashed', message: error instanceof Error ? error.message : String(error) });
    },
  );
});

process.on('disconnect', () => process.exit(0));

function reply(message: Reply): void {
  process.send?.(message);
}
