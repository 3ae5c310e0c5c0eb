import type { Command } from 'commander';
import { InputError } from '../../shared/index.ts';
import { partsToCsv } from '../app/store-parts.ts';
import { exportZip } from '../app/store-travel.ts';
import type { ServeCommandDeps } from './serve.ts';

interface ExportOptions {
  data?: string;
  out?: string;
  format: 'zip' | 'json' | 'csv';
}

/** `keepworthy export ID`: one assessment as a file. */
export function exportCommand(program: Command, load: () => Promise<ServeCommandDeps>): void {
  program
    .command('export')
    .description('Write an assessment as one .zip with its rubric and photos, as JSON, or its parts list as CSV')
    .argument('<id>', 'id of the assessment')
    .option('--data <dir>', 'folder where assessments are kept')
    .option('--out <file>', 'file to write; ID.zip here when left out')
    .option('--format <format>', 'zip, json or csv', 'zip')
    .action(async (id: string, options: ExportOptions) => {
      if (!['zip', 'json', 'csv'].includes(options.format)) {
        throw new InputError([{ file: '', path: '--format', wanted: 'zip, json or csv', found: options.format }]);
      }
      const deps = await load();
      const keeping = await deps.openKeeping(options.data ?? deps.defaultDataFolder(), {
        databaseUrl: deps.databaseUrl(),
      });
      try {
        const kept = await keeping.store.read(id);
        if (!kept) {
          const ids = (await keeping.store.list(false)).map((row) => row.id);
          throw new InputError([{ file: '', path: 'id', wanted: `one of ${ids.join(', ') || 'none yet'}`, found: id }]);
        }
        const file = options.out ?? `${kept.id}.${options.format}`;
        const chunks = async (): Promise<AsyncIterable<Uint8Array>> => {
          const text = (content: string) => new Blob([content]).stream() as unknown as AsyncIterable<Uint8Array>;
          if (options.format === 'csv') return text(partsToCsv(kept.assessment));
          if (options.format === 'json') return text(`${JSON.stringify(kept.assessment, null, 2)}\n`);
          const foreign = kept.rubricVersion === null ? undefined : await keeping.store.rubric(kept.rubricVersion);
          const rubric = foreign ?? (await deps.judgement()).rubric;
          const photos = await keeping.store.photos(id);
          return exportZip(kept, JSON.stringify(rubric), photos, keeping.files) as unknown as AsyncIterable<Uint8Array>;
        };
        await deps.writeBytes(file, await chunks());
        deps.err(`Wrote ${file}`);
      } finally {
        await keeping.close();
      }
    });
}
