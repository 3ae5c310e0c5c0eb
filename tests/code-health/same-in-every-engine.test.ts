import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const FOLDER = fileURLToPath(new URL('../../src/standards/', import.meta.url));

// The language leaves the last digit of every other Math function, and of **, to the engine.
const EXACT = new Set([
  'PI',
  'LN10',
  'SQRT1_2',
  'abs',
  'ceil',
  'floor',
  'max',
  'min',
  'round',
  'sign',
  'sqrt',
  'trunc',
]);

/** Places where the text uses a function whose last digit may differ between engines. */
function inexactUses(text: string): string[] {
  const source = ts.createSourceFile('file.ts', text, ts.ScriptTarget.Latest, true);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (
      ts.isPropertyAccessExpression(node) &&
      node.expression.getText(source) === 'Math' &&
      !EXACT.has(node.name.text)
    ) {
      found.push(node.getText(source));
    }
    const isPower =
      node.kind === ts.SyntaxKind.AsteriskAsteriskToken || node.kind === ts.SyntaxKind.AsteriskAsteriskEqualsToken;
    if (isPower) found.push('**');
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

describe('src/standards gives the same digits in every engine', () => {
  it.each(readdirSync(FOLDER).filter((name) => name.endsWith('.ts')))('%s uses exact arithmetic only', (name) => {
    expect(inexactUses(readFileSync(`${FOLDER}${name}`, 'utf8'))).toEqual([]);
  });

  it('finds what it looks for', () => {
    expect(inexactUses('const a = Math.exp(1) + Math.sqrt(2); let b = a ** 2; b **= 3;')).toEqual([
      'Math.exp',
      '**',
      '**',
    ]);
  });
});
