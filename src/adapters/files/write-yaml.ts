import { Document, isCollection, isPair } from 'yaml';

/**
 * YAML of plain data, with comments above some of its entries.
 *
 * @param comments comment for a path of keys and indices, or undefined
 */
export function toYaml(value: unknown, comments: (path: readonly (string | number)[]) => string | undefined): string {
  const document = new Document(value);
  const walk = (path: (string | number)[], node: unknown): void => {
    if (!isCollection(node)) return;
    for (const [i, item] of node.items.entries()) {
      const key = isPair(item) ? String(item.key) : i;
      const here = [...path, key];
      const inner = isPair(item) ? item.value : item;
      const comment = comments(here);
      if (comment !== undefined && isPair(item)) (item.key as { commentBefore?: string }).commentBefore = comment;
      walk(here, inner);
    }
  };
  walk([], document.contents);
  return document.toString({ lineWidth: 0 });
}
