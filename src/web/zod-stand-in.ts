/**
 * Stands in for zod in the page's build. The contracts are imported for their types and lists of words; what comes from
 * outside is checked by the server, so that the page need not carry 50 kB of schemas it never runs. Anything that
 * tried to run one fails loudly.
 */
const RUNS = new Set<PropertyKey>(['parse', 'safeParse', 'parseAsync', 'safeParseAsync', 'decode', 'encode']);

const schema: unknown = new Proxy(() => schema, {
  get(_, key) {
    if (RUNS.has(key))
      throw new TypeError(`Cannot run a schema in the page: wanted the server to check, found ${String(key)}`);
    if (key === Symbol.iterator) return () => [][Symbol.iterator]();
    return schema;
  },
  apply: () => schema,
});

export const z = schema;
