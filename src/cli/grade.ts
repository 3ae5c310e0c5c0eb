import type { Command } from 'commander';
import { InputError, showFound } from '../../shared/index.ts';
import { gradePercent } from '../app/grade.ts';
import type { CliDeps } from './score.ts';

/** `keepworthy grade PERCENT`: the rust grades of a rusted share of a surface. */
export function gradeCommand(program: Command, deps: CliDeps): void {
  program
    .command('grade')
    .description('Rust grades of a rusted area in per cent: ISO 4628-3, ASTM D610, ISO 10289')
    .argument('<percent>', 'rusted share of the surface, 0 to 100')
    .option('--json', 'one JSON document on standard output')
    .action((text: string, flags: { json?: boolean }) => {
      const percent = text.trim() === '' ? Number.NaN : Number(text.replace(',', '.').replace(/ ?%$/, ''));
      if (!(percent >= 0 && percent <= 100))
        throw new InputError([{ file: '', path: 'percent', wanted: 'a number from 0 to 100', found: showFound(text) }]);
      const grades = gradePercent(percent);
      if (flags.json) {
        deps.out(JSON.stringify(grades));
        return;
      }
      deps.out(`${percent} % of the surface rusted`);
      deps.out(
        `  ISO 4628-3   ${grades.iso4628_3.length === 1 ? grades.iso4628_3[0] : `between ${grades.iso4628_3.join(' and ')}`}`,
      );
      deps.out(`  ASTM D610    ${grades.astmD610}`);
      deps.out(`  ISO 10289    ${grades.iso10289}`);
    });
}
