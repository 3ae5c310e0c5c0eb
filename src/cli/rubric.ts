import type { Command } from 'commander';
import { InputError, type Kind, type Rubric, showFound } from '../../shared/index.ts';
import { sourcesSummary } from '../app/show-rubric.ts';
import type { CliDeps } from './score.ts';
import { wrap } from './table.ts';

interface Flags {
  folder?: string;
  sources?: boolean;
  json?: boolean;
}

/** `keepworthy rubric [KIND]`: prints and checks the rubric. */
export function rubricCommand(program: Command, deps: CliDeps): void {
  program
    .command('rubric')
    .description('Print and check the rubric, or one kind of component')
    .argument('[kind]', 'kind to print')
    .option('--folder <dir>', 'a folder of your own, checked and laid over it')
    .option('--sources', 'every number by source and basis')
    .option('--json', 'one JSON document on standard output')
    .action(async (id: string | undefined, flags: Flags) => {
      const rubric = await deps.readRubric(flags.folder);
      if (flags.sources) showSources(rubric, flags, deps);
      else if (id === undefined) showRubric(rubric, flags, deps);
      else {
        const kind = rubric.kinds.find((k) => k.id === id);
        if (!kind)
          throw new InputError([
            {
              file: '',
              path: 'kind',
              wanted: `one of ${rubric.kinds.map((k) => k.id).join(', ')}`,
              found: showFound(id),
            },
          ]);
        if (flags.json) deps.out(JSON.stringify(kind, null, 2));
        else for (const line of kindLines(kind)) deps.out(line);
      }
    });
}

function showRubric(rubric: Rubric, flags: Flags, deps: CliDeps): void {
  if (flags.json) {
    deps.out(JSON.stringify(rubric, null, 2));
    return;
  }
  deps.out(`${rubric.settings.name}, version ${rubric.version}: no fault found`);
  for (const kind of rubric.kinds)
    deps.out(`  ${kind.id.padEnd(22)} ${kind.name}: ${kind.checks.length} checks, ${kind.knockOuts.length} knock-outs`);
  deps.out(`Assemblies: ${rubric.assemblies.map((a) => a.id).join(', ')}`);
}

function showSources(rubric: Rubric, flags: Flags, deps: CliDeps): void {
  const summary = sourcesSummary(rubric, deps.today());
  if (flags.json) {
    deps.out(JSON.stringify(summary, null, 2));
    return;
  }
  for (const line of sourcesLines(summary)) deps.out(line);
}

/** The sources page: counts first, then every number under its source or basis. */
function sourcesLines({
  total,
  judged,
  knockOuts,
  bases,
  sources,
  entries,
}: ReturnType<typeof sourcesSummary>): string[] {
  const lines = [
    `${total} numbers and rules; ${judged} of them rest on judgement, ${total - judged} on a published source`,
    `${knockOuts.published} of ${knockOuts.total} knock-outs carry a published source; in ${knockOuts.ownFigure} of these the figure is our own`,
  ];
  const old = sources.filter((source) => source.isOld).map((source) => source.id);
  lines.push(
    old.length === 0
      ? 'No source was last checked over two years ago'
      : `Last checked over two years ago: ${old.join(', ')}`,
  );
  lines.push('', 'On judgement:', ...bases.map(({ basis, count }) => `  ${String(count).padStart(5)}  ${basis}`));
  lines.push('', 'On a published source:');
  for (const source of sources) {
    const edition = source.edition ? `, ${source.edition}` : '';
    const age = source.isOld ? ', over two years ago' : '';
    lines.push(
      ...wrap(
        `  ${String(source.count).padStart(5)}  ${source.id}: ${source.title}${edition} (${source.seen}, checked ${source.checkedOn}${age})`,
      ),
    );
  }
  for (const origin of [...sources.map((source) => source.id), ...bases.map((basis) => basis.basis)]) {
    const own = entries.filter((entry) => entry.origin === origin);
    if (own.length === 0) continue;
    lines.push('', origin, ...own.map(({ place, from }) => (from === origin ? `  ${place}` : `  ${place}: ${from}`)));
  }
  return lines;
}

function kindLines(kind: Kind): string[] {
  const lines = [`${kind.name} (${kind.id})`, ...wrap(`  ${kind.about}`), '', 'Zones'];
  for (const zone of kind.zones) lines.push(`  ${zone.name}${zone.loadPath ? ' (carries load)' : ''}`);
  lines.push('', 'Checks');
  for (const check of kind.checks) {
    lines.push(
      ...wrap(
        `  ${check.id}: ${check.ask} ${check.how} (${check.minutes} min, from ${check.earliestStage}, fact once ${check.finalStage}; ${check.from})`,
      ),
    );
  }
  lines.push('', 'Knock-outs');
  for (const rule of kind.knockOuts)
    lines.push(...wrap(`  ${rule.id} bars ${rule.bars}: ${rule.because} (${rule.from})`));
  lines.push('', 'Weak points');
  for (const weak of kind.weakPoints) lines.push(...wrap(`  ${weak.text} (${weak.from})`));
  lines.push(
    '',
    'Write down before it moves',
    ...kind.record.flatMap((text) => wrap(`  ${text}`)),
    'Photograph',
    ...kind.photograph.flatMap((text) => wrap(`  ${text}`)),
  );
  return lines;
}
