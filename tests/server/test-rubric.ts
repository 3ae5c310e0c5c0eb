import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { Rubric } from '../../shared/index.ts';

const read = (name: string): unknown =>
  parse(readFileSync(new URL(`../../rubric/${name}.yaml`, import.meta.url), 'utf8'));

/** The shipped rubric, read without its cross-checks. */
export function testRubric(): Rubric {
  const parts = {
    settings: read('settings'),
    sources: read('sources'),
    scales: read('scales'),
    reveal: read('reveal'),
    rustiness: read('rustiness'),
    operations: read('operations'),
    routes: read('routes'),
    charges: read('charges'),
    prices: read('prices'),
    hardware: read('hardware'),
    cautions: read('cautions'),
    assemblies: read('assemblies'),
    kinds: readdirSync(new URL('../../rubric/kinds/', import.meta.url))
      .sort()
      .map((name) => read(`kinds/${name.replace('.yaml', '')}`)),
  };
  const version = createHash('sha256').update(JSON.stringify(parts)).digest('hex').slice(0, 16);
  return Rubric.parse({ version, ...parts });
}
