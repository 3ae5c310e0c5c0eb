import { CommanderError } from 'commander';
import { describeFault, InputError, StoreError, UsageError, visible } from '../../shared/index.ts';
import { wire } from '../wire.ts';
import { programOf } from './program.ts';

// Exit codes: 0, 1 the input is at fault, 2 wrong usage, 3 we are at fault.
let exitCode: 0 | 1 | 2 | 3 = 0;
const setExitCode = (code: 0 | 1 | 2 | 3) => {
  exitCode = code;
};

// A reader that has seen enough (`| head`) is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(exitCode);
});

try {
  const { cli, photos, serving } = wire(setExitCode);
  await programOf(cli, photos, serving).parseAsync(process.argv);
} catch (error) {
  exitCode = told(error);
}
process.exitCode = exitCode;

function told(error: unknown): 0 | 1 | 2 | 3 {
  const say = (text: string) => process.stderr.write(`${text}\n`);
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
  if (error instanceof InputError) {
    for (const fault of error.faults) say(visible(describeFault(fault)));
    return 1;
  }
  if (error instanceof UsageError) {
    say(visible(error.message));
    return 2;
  }
  if (error instanceof StoreError) {
    say(visible(error.message));
    return 1;
  }
  say(visible(`Something is wrong on our side: ${error instanceof Error ? error.message : String(error)}`));
  return 3;
}
