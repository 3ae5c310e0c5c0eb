// The knock-outs of three kinds as a programmer would write them straight into TypeScript, for the benchmark: one function
// a kind, three-valued, over plain answers. What it must agree with is checked before anything is timed.

/** Answers by check: a grade or a figure, the word of a choice, or null when not known. Sizes and class beside them. */
export interface PlainPart {
  kind: 'pressed-steel-arm' | 'brake-pipe' | 'threaded-fastener';
  grade: Record<string, number | null>;
  word: Record<string, string | null>;
  wallMm: number | null;
  stressDiameterMm: number | null;
  class: string | null;
  duty: string | null;
}

export type State = 'fired' | 'open' | 'clear';
type Truth = boolean | null;

/** States of the knock-outs of a part, in the order of its kind's file. */
export function handWritten(part: PlainPart): State[] {
  switch (part.kind) {
    case 'pressed-steel-arm':
      return armRules(part);
    case 'brake-pipe':
      return pipeRules(part);
    case 'threaded-fastener':
      return fastenerRules(part);
  }
}

function armRules({ grade, word, wallMm }: PlainPart): State[] {
  const loss = grade['web-loss']!;
  const share = loss === null ? null : loss / (wallMm ?? 3);
  return [
    state(isOneOf(word.holed!, 'gives', 'through')),
    state(is(word['weld-crack']!, 'crack')),
    state(is(word['weld-crack']!, 'doubtful')),
    state(share === null ? null : share >= 0.2),
    state(share === null ? null : share > 0.1),
    state(above(grade.straightness!, 2)),
    state(is(word['earlier-repair']!, 'patched')),
  ];
}

function pipeRules({ grade, word, wallMm }: PlainPart): State[] {
  const loss = grade['wall-gone']!;
  return [
    state(loss === null ? null : loss / (wallMm ?? 0.71) >= 0.3333),
    state(or(atLeast(grade['outside-rust']!, 4), atLeast(grade['clip-rust']!, 4))),
    state(isOneOf(word.weep!, 'damp', 'drips')),
    state(is(word['flare-face']!, 'split')),
    state(is(word.shape!, 'kinked')),
    state(is(word['old-joints']!, 'ferrule')),
  ];
}

function fastenerRules(part: PlainPart): State[] {
  const { grade, word, stressDiameterMm: diameter } = part;
  const loss = grade['thread-loss']!;
  const colour = word['heat-colour']!;
  const blue = is(colour, 'blue');
  const carries = isOneOf(part.duty, 'brake', 'steering', 'suspension');
  return [
    state(atLeast(grade['thread-state']!, 4)),
    state(loss === null || diameter === null ? null : ((diameter - 2 * loss) / diameter) ** 2 < 0.9),
    state(above(grade.necking!, 0.1)),
    state(is(colour, 'grey')),
    state(and(blue, isOneOf(part.class, '12.9', 'X', 'Y'))),
    state(and(and(blue, isOneOf(part.class, '10.9', '8', '8.2', 'V')), carries)),
    state(and(isOneOf(colour, 'blue', 'grey'), above(grade['hardness-drop']!, 20))),
    state(
      and(
        atLeast(grade['under-head-pits']!, 3),
        isOneOf(part.class, '8.8', '9.8', '10.9', '12.9', '5', '8', 'S', 'T', 'V'),
      ),
    ),
    state(atLeast(grade.hexagon!, 4)),
    state(is(word.bow!, 'bowed')),
    state(and(is(word['head-mark']!, 'unknown'), carries)),
  ];
}

function state(truth: Truth): State {
  return truth === null ? 'open' : truth ? 'fired' : 'clear';
}

function atLeast(figure: number | null, least: number): Truth {
  return figure === null ? null : figure >= least;
}

function above(figure: number | null, most: number): Truth {
  return figure === null ? null : figure > most;
}

function is(word: string | null, wanted: string): Truth {
  return word === null ? null : word === wanted;
}

function isOneOf(word: string | null, ...wanted: string[]): Truth {
  return word === null ? null : wanted.includes(word);
}

function and(a: Truth, b: Truth): Truth {
  if (a === false || b === false) return false;
  return a === null || b === null ? null : true;
}

function or(a: Truth, b: Truth): Truth {
  if (a === true || b === true) return true;
  return a === null || b === null ? null : false;
}
