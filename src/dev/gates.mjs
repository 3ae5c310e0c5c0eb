import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { ROOT } from './install.mjs';

const REPORT = new URL('.build/test-report.json', ROOT);

/**
 * Style, types, then the tests; the last line counts them.
 *
 * @param command `test` for everything, `check` for style, types and the health of the code only
 * @param args Handed on to vitest
 * @returns Exit code: 0 when nothing failed
 */
export function runGates(command, args) {
  const failedGates = [
    ['style', '@biomejs/biome/bin/biome', ['check', '--colors=off']],
    ['types', 'typescript/bin/tsc', ['--noEmit', '-p', '.']],
  ].filter(([, program, options]) => node(program, options) !== 0);
  const counts = runTests(command === 'check' ? ['tests/code-health', ...args] : args);
  // Stated apart, and counted, so that the last line never looks better than the exit code.
  for (const [name] of failedGates) process.stdout.write(`Failed: ${name}\n`);
  const failed = counts.failed + failedGates.length;
  const skipsFail = process.env.KEEPWORTHY_SKIPS_FAIL === '1' && counts.skipped > 0;
  if (skipsFail) process.stdout.write('Failed: skipped tests are not allowed here\n');
  process.stdout.write(`${counts.passed} passed, ${failed} failed, ${counts.skipped} skipped\n`);
  return failed > 0 || counts.broken || skipsFail ? 1 : 0;
}

function runTests(args) {
  mkdirSync(new URL('.build/', ROOT), { recursive: true });
  rmSync(REPORT, { force: true });
  const file = fileURLToPath(REPORT);
  const status = node('vitest/vitest.mjs', [
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${file}`,
    ...args,
  ]);
  if (!existsSync(REPORT)) return { passed: 0, failed: 1, skipped: 0, broken: true };
  const report = JSON.parse(readFileSync(REPORT, 'utf8'));
  // A file that could not even be loaded has no tests to count; it counts as one failure.
  const unloaded = report.testResults.filter(
    (suite) => suite.status === 'failed' && suite.assertionResults.length === 0,
  );
  return {
    passed: report.numPassedTests,
    failed: report.numFailedTests + unloaded.length,
    skipped: report.numPendingTests + report.numTodoTests,
    broken: status !== 0,
  };
}

function node(program, args) {
  const path = fileURLToPath(new URL(`node_modules/${program}`, ROOT));
  return spawnSync(process.execPath, [path, ...args], { cwd: fileURLToPath(ROOT), stdio: 'inherit' }).status;
}
