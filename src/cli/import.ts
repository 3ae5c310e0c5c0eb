import { basename } from 'node:path';
import type { Command } from 'commander';
import { importBytes } from '../app/store-import.ts';
import { OWNER, type ServeCommandDeps } from './serve.ts';

/** `keepworthy import FILE`: an assessment or a parts list into what is kept. */
export function importCommand(program: Command, load: () => Promise<ServeCommandDeps>): void {
  program
    .command('import')
    .description('Take in an assessment (.zip, .json, .yaml) or a parts list (.csv) as a new assessment')
    .argument('<file>', 'file to take in')
    .option('--data <dir>', 'folder where assessments are kept')
    .option('--json', 'print what came in as JSON')
    .action(async (file: string, options: { data?: string; json?: boolean }) => {
      const deps = await load();
      const bytes = await deps.readBytes(file);
      const keeping = await deps.openKeeping(options.data ?? deps.defaultDataFolder(), {
        databaseUrl: deps.databaseUrl(),
      });
      const photos = await deps.openPhotos();
      try {
        const needs = {
          ...(await deps.judgement()),
          store: keeping.store,
          files: keeping.files,
          photos,
          now: () => new Date(),
        };
        const answer = await importBytes(bytes, basename(file), OWNER, needs);
        if (options.json) deps.out(JSON.stringify(answer));
        for (const note of answer.notes) deps.err(note);
        deps.err(`Took in ${answer.name} as ${answer.id}: ${answer.components} components, ${answer.photos} photos`);
      } finally {
        await photos.close();
        await keeping.close();
      }
    });
}
