import type { Command } from 'commander';
import { UsageError } from '../../shared/index.ts';
import { planFile } from '../app/plan-file.ts';
import { refitSheet, shoppingSheet, stripSheet, ticketSheet } from '../reports/index.ts';
import { whole } from './flags.ts';
import { planText } from './plan-text.ts';
import type { CliDeps } from './score.ts';

/** Sheets that can be printed alone. */
const SHEETS = {
  strip: stripSheet,
  shopping: shoppingSheet,
  tickets: ticketSheet,
  refit: refitSheet,
} as const;

interface PlanFlags {
  seed?: string;
  folder?: string;
  json?: boolean;
  sheet?: string;
}

/** `keepworthy plan FILE`. */
export function planCommand(program: Command, deps: CliDeps): void {
  program
    .command('plan')
    .description('Plan the whole job: money to set aside, days, batches, the offer, and what to do next')
    .argument('<file>', 'assessment, JSON or YAML')
    .option('--seed <n>', 'whole number that names the draws', '1')
    .option('--folder <dir>', 'a folder of your own with more kinds or other numbers')
    .option('--sheet <name>', `one sheet alone, to print: ${Object.keys(SHEETS).join(', ')}`)
    .option('--json', 'one JSON document on standard output')
    .action(async (file: string, flags: PlanFlags) => {
      const seed = whole(flags.seed ?? '1', '--seed');
      const { sheet } = flags;
      if (sheet !== undefined && !isSheet(sheet))
        throw new UsageError(`Cannot use --sheet ${sheet}: wanted one of ${Object.keys(SHEETS).join(', ')}`);
      const { plan } = await planFile(
        file,
        { seed, ...(flags.folder === undefined ? {} : { folder: flags.folder }) },
        deps,
      );
      if (flags.json) deps.out(JSON.stringify(sheet === undefined ? plan : plan[sheet], null, 2));
      else if (sheet !== undefined) for (const line of SHEETS[sheet](plan, deps.paint)) deps.out(line);
      else for (const line of planText(plan, deps.paint)) deps.out(line);
    });
}

function isSheet(name: string): name is keyof typeof SHEETS {
  return Object.hasOwn(SHEETS, name);
}
