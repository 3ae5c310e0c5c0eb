import type { Command } from 'commander';
import { type Check, InputError, type Rubric, showFound } from '../../shared/index.ts';
import { newChecklist } from '../app/new-checklist.ts';
import type { CliDeps } from './score.ts';

/** `keepworthy new ASSEMBLY`: a blank checklist. */
export function newCommand(program: Command, deps: CliDeps): void {
  program
    .command('new')
    .description('Print a blank checklist of an assembly')
    .argument('<assembly>', 'assembly of the rubric')
    .option('--yaml', 'YAML that says how to look and what each grade means')
    .option('--folder <dir>', 'a folder of your own laid over the rubric')
    .action(async (id: string, flags: { yaml?: boolean; folder?: string }) => {
      const rubric = await deps.readRubric(flags.folder);
      const blank = newChecklist(rubric, id, deps.today());
      if (!blank)
        throw new InputError([
          {
            file: '',
            path: 'assembly',
            wanted: `one of ${rubric.assemblies.map((a) => a.id).join(', ')}`,
            found: showFound(id),
          },
        ]);
      if (!flags.yaml) {
        deps.out(JSON.stringify(blank, null, 2));
        return;
      }
      deps.out(
        deps.toYaml(blank, (path) => {
          if (path.length !== 3 || path[0] !== 'components' || path[2] !== 'observations') return undefined;
          return checklist(rubric, blank.components[Number(path[1])]!.kind);
        }),
      );
    });
}

/** How to look and what the grades mean, as the comment above a component's answers. */
function checklist(rubric: Rubric, kindId: string): string {
  const kind = rubric.kinds.find((k) => k.id === kindId)!;
  const example = '{ check: ID, value: VALUE, date: 2026-01-31 }, or none: not-seen | not-possible | not-applicable';
  return [
    ` Answers: ${example}`,
    ...kind.checks.flatMap((check) => [
      ` ${check.id}: ${check.ask} ${check.how}`,
      ...valueWords(check, rubric).map((words) => `   ${words}`),
    ]),
  ].join('\n');
}

function valueWords(check: Check, rubric: Rubric): string[] {
  const { answer } = check;
  if (answer.type === 'choice') return answer.options.map((option) => `${option.id}: ${option.words}`);
  if (answer.type === 'measure') return [`a figure from ${answer.range[0]} to ${answer.range[1]} ${answer.unit}`];
  const words = answer.words ?? rubric.scales.find((scale) => scale.id === answer.scale)?.words ?? [];
  return words.map((word, grade) => `${grade}: ${word}`);
}
