import type { Material } from '../../shared/index.ts';
import type { Prepared, PreparedJob } from '../engine/index.ts';

const METALS: Partial<Record<Material, string>> = {
  steel: 'iron and steel',
  'spring-steel': 'iron and steel',
  'forged-steel': 'iron and steel',
  'cast-iron': 'iron and steel',
  stainless: 'stainless',
  'light-alloy': 'light alloy',
  'copper-alloy': 'copper alloy',
};

/** Sort of metal by which a shop keeps batches apart: grit and baths that have met one must not meet another. */
export function metalOf({ component, c }: Prepared): string {
  return METALS[component.material ?? c.compiled.kind.material] ?? 'other';
}

/** Colour by which a process keeps batches apart; null where it has no colours. */
export function colourOf(job: PreparedJob, process: string, component: Prepared['component']): string | null {
  return job.tables.process(process).setUpPerColour ? (component.colour ?? 'any colour') : null;
}

/** Id of the batch a group goes with: process, colour and metal (`powder.satin-black.light-alloy`). */
export function batchOf(job: PreparedJob, process: string, prepared: Prepared): string {
  const metal = metalOf(prepared);
  return [process, colourOf(job, process, prepared.component), metal === 'iron and steel' ? null : metal]
    .flatMap((word) => (word === null ? [] : [slug(word)]))
    .join('.');
}

function slug(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
}
