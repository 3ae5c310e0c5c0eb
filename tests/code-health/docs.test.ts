import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const FOLDER = fileURLToPath(new URL('../../src/standards/', import.meta.url));

/** What the docstring of one exported function lacks; empty when it is complete. */
function gaps(declaration: ts.FunctionDeclaration, source: ts.SourceFile): string[] {
  const docs = ts.getJSDocCommentsAndTags(declaration).filter(ts.isJSDoc);
  const text = docs.map((doc) => doc.getText(source)).join('\n');
  if (text === '') return ['a docstring'];
  const named = ts.getJSDocTags(declaration).filter(ts.isJSDocParameterTag);
  const documented = named.map((tag) => tag.name.getText(source));
  const wanted = declaration.parameters.map((parameter) => parameter.name.getText(source));
  const missing = wanted.filter((name) => !documented.includes(name)).map((name) => `@param ${name}`);
  const stray = documented.filter((name) => !wanted.includes(name)).map((name) => `no parameter called ${name}`);
  const empty = named
    .filter((tag) => (ts.getTextOfJSDocComment(tag.comment) ?? '').trim() === '')
    .map((tag) => `words after @param ${tag.name.getText(source)}`);
  if (!/@returns \S/.test(text)) missing.push('@returns');
  if (!/Source: \S/.test(text)) missing.push('Source:');
  if (/\bRangeError\(/.test(declaration.getText(source)) && !text.includes('@throws {RangeError}')) {
    missing.push('@throws {RangeError}');
  }
  return [...missing, ...stray, ...empty];
}

function isExported(node: ts.Node): boolean {
  return ts.canHaveModifiers(node) && (ts.getModifiers(node) ?? []).some((m) => m.kind === ts.SyntaxKind.ExportKeyword);
}

function parse(name: string, text: string): ts.SourceFile {
  return ts.createSourceFile(name, text, ts.ScriptTarget.Latest, true);
}

describe('docstrings of src/standards', () => {
  const files = readdirSync(FOLDER).filter((name) => name.endsWith('.ts'));
  const sources = files.map((name) => parse(name, readFileSync(`${FOLDER}${name}`, 'utf8')));

  it.each(sources.map((source) => [source.fileName, source] as const))('%s', (_name, source) => {
    const found: string[] = [];
    for (const statement of source.statements) {
      if (!isExported(statement)) continue;
      if (ts.isFunctionDeclaration(statement)) {
        for (const gap of gaps(statement, source)) found.push(`${statement.name?.text}(): wanted ${gap}`);
      } else if (ts.getJSDocCommentsAndTags(statement).length === 0) {
        found.push(`${statement.getText(source).slice(0, 60)}: wanted a docstring`);
      }
    }
    expect(found).toEqual([]);
  });

  it('looks at more than sixty functions', () => {
    const functions = sources.flatMap((source) =>
      source.statements.filter((s) => ts.isFunctionDeclaration(s) && isExported(s)),
    );
    expect(functions.length).toBeGreaterThan(60);
  });

  it('finds a parameter that the docstring forgets, one that is gone, and a missing source', () => {
    const bad = parse(
      'bad.ts',
      '/** Says.\n * @param gone nothing\n * @returns it\n */\nexport function f(here: number) { return here; }',
    );
    const declaration = bad.statements.find(ts.isFunctionDeclaration);
    if (declaration === undefined) throw new Error('The sample must hold a function');
    expect(gaps(declaration, bad)).toEqual(['@param here', 'Source:', 'no parameter called gone']);
  });

  it('hands every file of the folder out through its doorway, but the guard', () => {
    const doorway = readFileSync(`${FOLDER}index.ts`, 'utf8');
    const missing = files.filter(
      (name) => name !== 'index.ts' && name !== 'range.ts' && !doorway.includes(`'./${name}'`),
    );
    expect(missing).toEqual([]);
  });
});
