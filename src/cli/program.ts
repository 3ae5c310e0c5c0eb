import { Command } from 'commander';
import { exportCommand } from './export.ts';
import { gradeCommand } from './grade.ts';
import { importCommand } from './import.ts';
import { newCommand } from './new.ts';
import { type PhotoCommandDeps, photoCommand } from './photo.ts';
import { planCommand } from './plan.ts';
import { rubricCommand } from './rubric.ts';
import { schemaCommand } from './schema.ts';
import { type CliDeps, scoreCommand } from './score.ts';
import { type ServeCommandDeps, serveCommand } from './serve.ts';

/** The whole command line. A new command is one line here. */
export function programOf(deps: CliDeps, photos: PhotoCommandDeps, serving: () => Promise<ServeCommandDeps>): Command {
  const program = new Command('keepworthy')
    .description('Ranks every component of a rusty assembly reuse, refinish or replace, says why, and prices the job')
    .version(deps.version)
    .exitOverride()
    .showHelpAfterError(false);
  scoreCommand(program, deps);
  planCommand(program, deps);
  newCommand(program, deps);
  gradeCommand(program, deps);
  rubricCommand(program, deps);
  schemaCommand(program, deps);
  photoCommand(program, photos);
  serveCommand(program, serving, deps.err);
  importCommand(program, serving);
  exportCommand(program, serving);
  for (const command of program.commands) command.exitOverride();
  return program;
}
