import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { Assessment, Component } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, rubric } from '../engine/real.ts';

interface Case {
  name: string;
  source: string;
  given: Partial<Assessment> & { component: Component; others?: Component[] };
  expect: {
    action?: string;
    firmness?: string;
    ifClear?: string | null;
    aloneAction?: string;
    fired?: string[];
    open?: string[];
    refusedRoutes?: string[];
    /** The cheapest route that is left. */
    route?: string;
    counts?: Record<string, number>;
    alwaysNew?: boolean;
  };
}

const folder = fileURLToPath(new URL('cases/', import.meta.url));

for (const file of readdirSync(folder).sort()) {
  const cases = valueRead(parseDocumentText(readFileSync(folder + file, 'utf8'), file)) as Case[];
  describe(`cases worked by hand: ${file.replace('.yaml', '')}`, () => {
    test.each(cases.map((c) => [c.name, c] as const))('%s', (_, { given, expect: wanted }) => {
      const { component, others = [], ...rest } = given;
      const out = score(rubric, assessmentOf([component, ...others], rest), { seed: 1 });
      const isAlwaysNew = out.alwaysNew.some((part) => part.id === component.id);
      if (wanted.alwaysNew !== undefined) expect(isAlwaysNew).toBe(wanted.alwaysNew);
      if (isAlwaysNew) return;
      const found = out.components.find((c) => c.id === component.id)!;
      const rules = (state: string) =>
        found.knockOuts
          .filter((k) => k.state === state)
          .map((k) => k.rule.split('.').slice(1).join('.'))
          .sort();
      const seen: Case['expect'] = {};
      if (wanted.action !== undefined) seen.action = found.verdict.action;
      if (wanted.firmness !== undefined) seen.firmness = found.verdict.firmness;
      if (wanted.ifClear !== undefined) seen.ifClear = found.verdict.ifClear;
      if (wanted.aloneAction !== undefined) seen.aloneAction = found.verdict.aloneAction;
      if (wanted.counts !== undefined) seen.counts = found.verdict.counts ?? {};
      if (wanted.fired !== undefined) seen.fired = rules('fired');
      if (wanted.open !== undefined) seen.open = rules('open');
      if (wanted.route !== undefined) {
        const left = found.options.filter((o) => o.route !== null && o.allowed !== 'no' && o.expectedCost !== null);
        seen.route = left.sort((a, b) => a.expectedCost! - b.expectedCost!)[0]?.route ?? 'none';
      }
      if (wanted.refusedRoutes !== undefined) {
        const refused = found.options.filter((o) => o.route !== null && o.allowed === 'no').map((o) => o.route!);
        seen.refusedRoutes = wanted.refusedRoutes.filter((route) => refused.includes(route));
      }
      expect(seen).toEqual({
        ...wanted,
        ...(wanted.fired ? { fired: [...wanted.fired].sort() } : {}),
        ...(wanted.open ? { open: [...wanted.open].sort() } : {}),
      });
    });
  });
}
