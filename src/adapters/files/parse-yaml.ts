import { Composer, type CST, type Document, Lexer, LineCounter, Parser, type Tags, visit } from 'yaml';
import type { Fault } from '../../../shared/index.ts';
import { DEEPEST } from './parse-json.ts';
import type { Read } from './read-text.ts';

/** Most places at which an anchored value may be repeated. */
export const MOST_ALIASES = 100;
const MOST_FAULTS = 50;
/** Longest YAML that is read, characters: some seconds of work. A longer assessment comes as JSON, which reads far faster. */
export const LONGEST_YAML = 5_000_000;

const OPTIONS = {
  version: '1.2',
  schema: 'core',
  customTags: [] as Tags,
  merge: false,
  strict: true,
  uniqueKeys: true,
  stringKeys: true,
} as const;

/**
 * Reads one YAML 1.2 document in the core schema: no custom tags, no merge keys, keys once, dates stay strings.
 *
 * @param file name for the faults
 */
export function parseYaml(text: string, file: string): Read<unknown> {
  const fault = (wanted: string, found: string): Fault => ({ file, path: '', wanted, found });
  if (text.length > LONGEST_YAML) {
    return {
      faults: [fault(`at most ${LONGEST_YAML / 1e6} million characters of YAML, or JSON instead`, `${text.length}`)],
    };
  }
  const lines = new LineCounter();
  const tokens = tokensOf(text, lines);
  if (tokens === null) {
    return { faults: [fault(`at most ${DEEPEST} lists and mappings inside each other`, 'a deeper nesting')] };
  }
  const [document, second] = [...new Composer(OPTIONS).compose(tokens, true, text.length)];
  const at = (offset: number | undefined) => {
    const { line, col } = lines.linePos(offset ?? 0);
    return `(line ${line}, column ${col})`;
  };
  if (second) return { faults: [fault('one document', `a second one ${at(second.range[0])}`)] };
  if (!document?.contents) return { faults: [fault('something in the file', 'only comments or markers')] };
  const faults = [
    ...[...document.errors, ...document.warnings].map((problem) => {
      const { wanted, found } = wordsFor(problem.code, problem.message);
      return fault(wanted, `${found} ${at(problem.pos[0])}`);
    }),
    ...foreignParts(document).map((part) => fault(part.wanted, `${part.found} ${at(part.offset)}`)),
  ];
  // A tag that nothing knows is reported twice, as a warning and by its node.
  const distinct = new Map(faults.map((f) => [f.found, f] as const));
  if (distinct.size > 0) return { faults: [...distinct.values()].slice(0, MOST_FAULTS) };
  try {
    return { value: document.toJS({ maxAliasCount: MOST_ALIASES }) };
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error;
    return {
      faults: [fault(`an anchored value repeated at most ${MOST_ALIASES} times`, 'aliases of aliases, or more')],
    };
  }
}

// The composer calls itself for each level and can take the whole process down with it; the parser keeps its own
// stack, so the depth is known, and bounded, before anything is composed.
function tokensOf(text: string, lines: LineCounter): CST.Token[] | null {
  const parser = new Parser(lines.addNewLine);
  lines.addNewLine(0);
  const tokens: CST.Token[] = [];
  for (const lexeme of new Lexer().lex(text)) {
    for (const token of parser.next(lexeme)) tokens.push(token);
    if (parser.stack.length > DEEPEST + 2) return null;
  }
  for (const token of parser.end()) tokens.push(token);
  return tokens;
}

const CORE_TAG = /^tag:yaml\.org,2002:(?:str|int|float|bool|null|map|seq)$/;

// Tags outside the core schema, and aliases of anchors that do not exist.
function foreignParts(document: Document): { wanted: string; found: string; offset: number | undefined }[] {
  const parts: ReturnType<typeof foreignParts> = [];
  visit(document, {
    Node: (_key, node) => {
      if (node.tag === undefined || CORE_TAG.test(node.tag)) return;
      parts.push({ wanted: 'no tags', found: `the tag ${node.tag}`, offset: node.range?.[0] });
    },
    Alias: (_key, node) => {
      if (node.resolve(document) !== undefined) return;
      parts.push({ wanted: 'an anchor of that name', found: `*${node.source}`, offset: node.range?.[0] });
    },
  });
  return parts;
}

function wordsFor(code: string, message: string): { wanted: string; found: string } {
  switch (code) {
    case 'DUPLICATE_KEY':
      return { wanted: 'each key once', found: 'a key a second time' };
    case 'TAG_RESOLVE_FAILED':
      return { wanted: 'no tags', found: message.replace(/^Unresolved tag: /, 'the tag ') };
    case 'NON_STRING_KEY':
      return { wanted: 'keys that are text', found: 'another sort of key' };
    default:
      return { wanted: 'YAML 1.2', found: message.split('\n')[0]! };
  }
}
