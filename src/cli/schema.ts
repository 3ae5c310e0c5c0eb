import type { Command } from 'commander';
import { InputError, showFound } from '../../shared/index.ts';
import { CONTRACTS, type ContractName, jsonSchemaOf } from '../../shared/json-schema.ts';

/** `keepworthy schema NAME`: the JSON Schema of a contract, for editors and other programs. */
export function schemaCommand(program: Command, { out }: { out: (line: string) => void }): void {
  const names = Object.keys(CONTRACTS) as ContractName[];
  program
    .command('schema')
    .description(`Print the JSON Schema of ${names.join(', ')}`)
    .argument('<name>', 'contract')
    .action((wanted: string) => {
      const name = names.find((one) => one === wanted);
      if (!name) {
        throw new InputError([
          { file: '', path: 'schema', wanted: `one of ${names.join(', ')}`, found: showFound(wanted) },
        ]);
      }
      out(JSON.stringify(jsonSchemaOf(name), null, 2));
    });
}
