import { z } from 'zod';
import { Id, Text } from './units.ts';

const AssemblyPart = z.strictObject({
  id: Id,
  name: Text,
  kind: Id,
  count: z.number().int().min(1).max(500).optional(),
  area: Id,
  position: Text.optional(),
  sitsIn: Id.optional(),
  pair: Id.optional(),
  mates: z.array(Id).optional(),
});

/** A blank list to start from: `keepworthy new ASSEMBLY`. */
export const Assembly = z.strictObject({
  id: Id,
  name: Text,
  about: Text,
  /** Whole vehicles are made of other assemblies. */
  includes: z.array(Id).optional(),
  areas: z.array(z.strictObject({ id: Id, name: Text })),
  components: z.array(AssemblyPart),
});
export type Assembly = z.infer<typeof Assembly>;
