import { parseThread, type Thread } from '../../src/standards/index.ts';

/** The thread of a designation that a test relies on. */
export function knownThread(designation: string): Thread {
  const found = parseThread(designation);
  if (found === null) throw new Error(`The test wants a known thread, found ${designation}`);
  return found;
}
