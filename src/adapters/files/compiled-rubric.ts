import { createHash } from 'node:crypto';
import { readFile, rename, writeFile } from 'node:fs/promises';
import type { Rubric } from '../../../shared/index.ts';

/** A checked rubric kept as JSON, since reading and checking forty files of YAML takes longer than a demo's score. */
export interface CompiledRubric {
  /** The rubric that was checked from exactly these files, or null. */
  find: (files: readonly FileText[]) => Promise<Rubric | null>;
  /** Keeps it for the next time; a folder that cannot be written costs only that time. */
  keep: (files: readonly FileText[], rubric: Rubric) => Promise<void>;
}

export interface FileText {
  file: string;
  text: string;
}

/**
 * @param path file in which it is kept
 * @param program text that changes whenever the code that checks does
 */
export function compiledRubric(path: string, program: string): CompiledRubric {
  const keyOf = (files: readonly FileText[]) => {
    const hash = createHash('sha256').update(program);
    for (const { file, text } of files) hash.update(`\0${file}\0${text}`);
    return hash.digest('hex');
  };
  return {
    find: async (files) => {
      try {
        const kept = JSON.parse(await readFile(path, 'utf8')) as { key: string; rubric: Rubric };
        return kept.key === keyOf(files) ? kept.rubric : null;
      } catch {
        return null;
      }
    },
    keep: async (files, rubric) => {
      const part = `${path}.${process.pid}.part`;
      try {
        await writeFile(part, JSON.stringify({ key: keyOf(files), rubric }));
        await rename(part, path);
      } catch {
        // Read again from its files next time.
      }
    },
  };
}
