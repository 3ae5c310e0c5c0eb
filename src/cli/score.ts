import type { Command } from 'commander';
import { UsageError } from '../../shared/index.ts';
import { type ScoreDeps, scoreFile } from '../app/score-file.ts';
import { minutesOf, whole } from './flags.ts';
import { scoreTable } from './table.ts';

/** What the commands of the command line need from outside. */
export interface CliDeps extends ScoreDeps {
  /** Invented jobs that `demo` scores, the first when none is named. */
  demos: readonly { id: string; name: string; about: string; file: string }[];
  today: () => string;
  version: string;
  out: (line: string) => void;
  err: (line: string) => void;
  /** Makes text bold or dim on a terminal, and leaves it alone elsewhere. */
  paint: (text: string, style: 'bold' | 'dim') => string;
  toYaml: (value: unknown, comments: (path: readonly (string | number)[]) => string | undefined) => string;
}

interface ScoreFlags {
  seed?: string;
  minutes?: string;
  folder?: string;
  json?: boolean;
}

/** `keepworthy score FILE` and `keepworthy demo`. */
export function scoreCommand(program: Command, deps: CliDeps): void {
  const options = (command: Command) =>
    command
      .option('--seed <n>', 'whole number that names the draws', '1')
      .option('--minutes <n>', 'minutes there are for the next looks')
      .option('--folder <dir>', 'a folder of your own with more kinds or other numbers')
      .option('--json', 'one JSON document on standard output');
  options(
    program
      .command('score')
      .description('Rank every component of an assessment, say why, and price it')
      .argument('<file>', 'assessment, JSON or YAML'),
  ).action((file: string, flags: ScoreFlags) => run(file, flags, deps));
  const [first] = deps.demos;
  options(
    program
      .command('demo')
      .description('Score an invented job')
      .argument('[name]', deps.demos.map(({ id }) => id).join(' or '), first?.id),
  ).action((name: string, flags: ScoreFlags) => {
    const demo = deps.demos.find(({ id }) => id === name);
    if (!demo)
      throw new UsageError(`There is no demo ${name}: wanted one of ${deps.demos.map(({ id }) => id).join(', ')}`);
    return run(demo.file, flags, deps);
  });
}

async function run(file: string, flags: ScoreFlags, deps: CliDeps): Promise<void> {
  const seed = whole(flags.seed ?? '1', '--seed');
  const minutes = flags.minutes === undefined ? undefined : minutesOf(flags.minutes, '--minutes');
  const { score } = await scoreFile(
    file,
    {
      seed,
      ...(minutes === undefined ? {} : { minutes }),
      ...(flags.folder === undefined ? {} : { folder: flags.folder }),
    },
    deps,
  );
  if (flags.json) deps.out(JSON.stringify(score, null, 2));
  else for (const line of scoreTable(score, deps.paint)) deps.out(line);
}
