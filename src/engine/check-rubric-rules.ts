import type { Check, Condition, Derived, Fault, Kind, KnockOut } from '../../shared/index.ts';
import { STAGES, showFound, WANTED_FINISHES } from '../../shared/index.ts';
import { compares } from './bounds.ts';
import type { Placed } from './check-rubric.ts';
import { derivedValue } from './derived.ts';
import { gradeOfMeasure } from './variables.ts';

/** Most combinations of values that a rule is tried on; a rule over more is taken on trust. */
const MOST_COMBINATIONS = 300_000;

/** The scale whose grades are shares of the face, as `leastRustGrade` reads them off a photo. */
const AREA_SCALE = 'rust-area';

type Leaf = Extract<Condition, { check: string } | { derived: string } | { property: string }>;
type Say = (path: string, wanted: string, found: string) => void;
const OPERATORS = ['atLeast', 'atMost', 'above', 'below'] as const;

/** The rules of a kind over its own checks: units, order of breakpoints, limits that bite, conditions that can fire. */
export function checkKindRules(placed: Placed<Kind>): Fault[] {
  const kind = placed.value;
  if (!kind) return [];
  const faults: Fault[] = [];
  const say: Say = (path, wanted, found) => {
    faults.push({ file: placed.file, path: placed.path === '' ? path : `${placed.path}.${path}`, wanted, found });
  };
  kind.checks.forEach((check, i) => {
    checkAnswer(check, `checks.${i}`, say);
  });
  (kind.derived ?? []).forEach((derived, i) => {
    checkDerived(derived, kind, `derived.${i}`, say);
  });
  kind.knockOuts.forEach((rule: KnockOut, i) => {
    checkCondition(rule.when, kind, `knockOuts.${i}.when`, say);
  });
  if (kind.alwaysNew && kind.alwaysNew.when !== true) checkCondition(kind.alwaysNew.when, kind, 'alwaysNew.when', say);
  kind.mustNotMeet.forEach((harm, i) => {
    if (harm.when) checkCondition(harm.when, kind, `mustNotMeet.${i}.when`, say);
    if (harm.aboveC !== undefined && harm.harm !== 'heat')
      say(`mustNotMeet.${i}.aboveC`, 'no temperature, or harm: heat', harm.harm);
  });
  (kind.roadworthiness ?? []).forEach((note, i) => {
    checkCondition(note.when, kind, `roadworthiness.${i}.when`, say);
  });
  (kind.growth ?? []).forEach((growth, i) => {
    if (growth.when) checkCondition(growth.when, kind, `growth.${i}.when`, say);
    const unit = kind.checks.find((check) => check.id === growth.check)?.answer;
    if (unit && !growth.lossUm && !(unit.type === 'measure' && (unit.unit === 'mm' || unit.unit === 'um'))) {
      say(`growth.${i}.lossUm`, 'the loss each grade stands for, since the check is not measured in mm', 'nothing');
    }
    if (growth.lossUm && !isRising(growth.lossUm, false))
      say(`growth.${i}.lossUm`, 'losses that never fall', showFound(growth.lossUm));
    if (growth.factor[0] > growth.factor[1]) say(`growth.${i}.factor`, 'low before high', showFound(growth.factor));
  });
  return faults;
}

function checkAnswer(check: Check, path: string, say: Say): void {
  const { answer } = check;
  if (answer.type === 'grade' && (answer.scale === undefined) === (answer.words === undefined)) {
    say(`${path}.answer`, 'exactly one of scale and words', answer.scale === undefined ? 'neither' : 'both');
  }
  if (check.photo && !(answer.type === 'grade' && answer.scale === AREA_SCALE)) {
    const found = answer.type === 'grade' ? (answer.scale ?? 'words of its own') : `a ${answer.type}`;
    say(
      `${path}.photo`,
      `no photo, or a grade on the scale ${AREA_SCALE}: a photo tells how much is rusted only`,
      found,
    );
  }
  if (answer.type === 'measure') {
    const [low, high] = answer.range;
    if (low >= high) say(`${path}.answer.range`, 'low before high', showFound(answer.range));
    const rising = answer.grades[4]! >= answer.grades[0]!;
    const turned = (numbers: readonly number[]) => (rising ? numbers : numbers.map((n) => -n));
    if (!isRising(turned(answer.grades), true)) {
      say(
        `${path}.answer.grades`,
        'breakpoints in the order in which things get worse, none twice',
        showFound(answer.grades),
      );
    }
    if (!isRising(turned(answer.points), true)) {
      say(`${path}.answer.points`, 'values best first, in the direction of the breakpoints', showFound(answer.points));
    }
    answer.points.forEach((point, i) => {
      if (point < low || point > high)
        say(`${path}.answer.points.${i}`, `a value within ${low} to ${high} ${answer.unit}`, showFound(point));
    });
  }
  if (answer.type === 'choice') {
    const ids = answer.options.map((option) => option.id);
    ids.forEach((id, i) => {
      if (ids.indexOf(id) !== i) say(`${path}.answer.options.${i}.id`, 'an id used once', showFound(id));
    });
    if (
      !isRising(
        answer.options.map((option) => option.grade),
        false,
      )
    ) {
      say(
        `${path}.answer.options`,
        'choices best first, their grades never falling',
        showFound(answer.options.map((o) => o.grade)),
      );
    }
  }
  const isEarly = STAGES.indexOf(check.earliestStage) < STAGES.indexOf(check.finalStage);
  if (STAGES.indexOf(check.earliestStage) > STAGES.indexOf(check.finalStage)) {
    say(`${path}.finalStage`, `${check.earliestStage} or later`, check.finalStage);
  }
  if (isEarly && check.reveal === undefined) {
    say(`${path}.reveal`, 'a reveal table, since the check can be answered before its final stage', 'nothing');
  }
  checkLimit(check, path, say);
}

function checkLimit(check: Check, path: string, say: Say): void {
  const { limit } = check;
  if (limit === undefined) return;
  const limits = typeof limit === 'number' ? [limit] : WANTED_FINISHES.map((finish) => limit[finish]);
  if (
    !isRising(
      limits.map((most) => -most),
      false,
    )
  ) {
    say(`${path}.limit`, 'limits that never rise from serviceable to smart to show', showFound(limits));
  }
  const grades = gradesOf(check);
  if (!grades.some((grade) => limits.some((most) => grade > most))) {
    say(
      `${path}.limit`,
      `a limit that some answer passes (grades ${[...new Set(grades)].join(', ')})`,
      `${showFound(limits)}: a rule that can never fire`,
    );
  }
  limits.forEach((most) => {
    if (!grades.some((grade) => grade <= most))
      say(`${path}.limit`, 'a limit that the best answer meets', showFound(most));
  });
}

function gradesOf(check: Check): number[] {
  const { answer } = check;
  if (answer.type === 'grade') return [0, 1, 2, 3, 4, 5];
  if (answer.type === 'choice') return answer.options.map((option) => option.grade);
  return answer.points.map((point) => gradeOfMeasure(answer.grades, point));
}

function checkDerived(derived: Derived, kind: Kind, path: string, say: Say): void {
  const answer = kind.checks.find((check) => check.id === derived.check)?.answer;
  if (answer && !(answer.type === 'measure' && answer.unit === 'mm')) {
    say(
      `${path}.check`,
      'a check measured in mm',
      answer.type === 'measure' ? `${derived.check} in ${answer.unit}` : `${derived.check}, a ${answer.type}`,
    );
  }
  if ((derived.formula === 'thread-left') !== (derived.shape === 'thread')) {
    say(`${path}.shape`, derived.formula === 'thread-left' ? 'thread' : 'a shape that is not a thread', derived.shape);
  }
}

function checkCondition(condition: Condition, kind: Kind, path: string, say: Say): void {
  let isSound = true;
  const report: Say = (at, wanted, found) => {
    isSound = false;
    say(at, wanted, found);
  };
  for (const { leaf, at } of leavesWithPaths(condition, path)) checkLeaf(leaf, kind, at, report);
  // A rule with a broken comparison says nothing about the whole.
  if (!isSound) return;
  const outcomes = outcomesOf(condition, kind);
  if (outcomes === null) return;
  if (!outcomes.has(true) && !outcomes.has(null))
    say(path, 'a condition that can hold', 'one that no set of answers meets: a rule that can never fire');
  else if (!outcomes.has(false) && !outcomes.has(null))
    say(path, 'a condition that can fail', 'one that every set of answers meets');
}

function checkLeaf(leaf: Leaf, kind: Kind, path: string, say: Say): void {
  const operators = OPERATORS.filter((operator) => leaf[operator] !== undefined);
  const hasIs = 'is' in leaf && leaf.is !== undefined;
  if (operators.length === 0 && !hasIs) say(path, 'a comparison (atLeast, atMost, above, below or is)', 'none');
  if ('property' in leaf) {
    if (!(leaf.property in (kind.properties ?? {}))) {
      say(
        `${path}.property`,
        `a property listed in the kind (${Object.keys(kind.properties ?? {}).join(', ') || 'there is none'})`,
        showFound(leaf.property),
      );
    }
    return;
  }
  if ('derived' in leaf) {
    const derived = kind.derived?.find((entry) => entry.id === leaf.derived);
    if (!derived) {
      say(
        `${path}.derived`,
        `a derived fact of the kind (${(kind.derived ?? []).map((d) => d.id).join(', ') || 'there is none'})`,
        showFound(leaf.derived),
      );
      return;
    }
    for (const operator of operators) {
      const figure = leaf[operator]!;
      if (figure < 0 || figure > 1) say(`${path}.${operator}`, 'a fraction from 0 to 1', showFound(figure));
    }
  } else {
    const check = kind.checks.find((entry) => entry.id === leaf.check);
    if (!check) {
      say(`${path}.check`, `a check of the kind (${kind.checks.map((c) => c.id).join(', ')})`, showFound(leaf.check));
      return;
    }
    const { answer } = check;
    if (answer.type === 'choice') {
      for (const operator of operators) say(`${path}.${operator}`, `is, since ${check.id} is a choice`, operator);
      const options = answer.options.map((option) => option.id);
      for (const id of hasIs ? [leaf.is!].flat() : []) {
        if (!options.includes(id)) say(`${path}.is`, `one of ${options.join(', ')}`, showFound(id));
      }
    } else {
      if (hasIs) say(`${path}.is`, `atLeast, atMost, above or below, since ${check.id} is a ${answer.type}`, 'is');
      const [low, high] = answer.type === 'measure' ? answer.range : [0, 5];
      const unit = answer.type === 'measure' ? ` ${answer.unit}` : '';
      for (const operator of operators) {
        const figure = leaf[operator]!;
        if (figure < low || figure > high)
          say(
            `${path}.${operator}`,
            `a value within ${low} to ${high}${unit}, which ${check.id} can have`,
            showFound(figure),
          );
      }
    }
  }
  const outcomes = outcomesOf(leaf, kind);
  if (outcomes === null || outcomes.has(null) || outcomes.size === 2) return;
  const values = 'check' in leaf ? valuesText(kind, leaf.check) : '';
  say(
    path,
    `a comparison that some value${values} meets and some does not`,
    `one that ${outcomes.has(true) ? 'every' : 'no'} value meets: a rule that can never ${outcomes.has(true) ? 'fail' : 'fire'}`,
  );
}

function valuesText(kind: Kind, id: string): string {
  const answer = kind.checks.find((check) => check.id === id)?.answer;
  return answer?.type === 'measure' ? ` of the points ${answer.points.join(', ')}` : '';
}

function leavesWithPaths(condition: Condition, path: string): { leaf: Leaf; at: string }[] {
  if ('all' in condition) return condition.all.flatMap((part, i) => leavesWithPaths(part, `${path}.all.${i}`));
  if ('any' in condition) return condition.any.flatMap((part, i) => leavesWithPaths(part, `${path}.any.${i}`));
  if ('not' in condition) return leavesWithPaths(condition.not, `${path}.not`);
  return [{ leaf: condition, at: path }];
}

type Values = ReadonlyMap<string, number | string>;

// Every outcome over all combinations of listed values: true, false, or null where a size of the very part decides.
// Null instead of a set: too many combinations to try, or a comparison that names something unknown.
function outcomesOf(condition: Condition, kind: Kind): Set<boolean | null> | null {
  const domains = domainsOf(condition, kind);
  if (domains === null) return null;
  const names = [...domains.keys()];
  if (names.reduce((product, name) => product * domains.get(name)!.length, 1) > MOST_COMBINATIONS) return null;
  const outcomes = new Set<boolean | null>();
  const values = new Map<string, number | string>();
  const tryFrom = (i: number): void => {
    if (outcomes.size === 3) return;
    if (i === names.length) {
      outcomes.add(truth(condition, kind, values));
      return;
    }
    for (const value of domains.get(names[i]!)!) {
      values.set(names[i]!, value);
      tryFrom(i + 1);
    }
  };
  tryFrom(0);
  return outcomes;
}

function domainsOf(condition: Condition, kind: Kind): Map<string, (number | string)[]> | null {
  const domains = new Map<string, (number | string)[]>();
  for (const { leaf } of leavesWithPaths(condition, '')) {
    if ('property' in leaf) {
      const name = `property ${leaf.property}`;
      const own = domains.get(name) ?? ['another value'];
      for (const value of leaf.is === undefined ? [] : [leaf.is].flat()) own.push(value);
      // One value below, at and above each threshold shows every side of it.
      for (const operator of OPERATORS) {
        const figure = leaf[operator];
        if (figure !== undefined) own.push(figure - 1e-6, figure, figure + 1e-6);
      }
      domains.set(name, [...new Set(own)]);
      continue;
    }
    const id = 'check' in leaf ? leaf.check : kind.derived?.find((entry) => entry.id === leaf.derived)?.check;
    const answer = kind.checks.find((check) => check.id === id)?.answer;
    if (id === undefined || !answer) return null;
    if (answer.type === 'grade') domains.set(id, [0, 1, 2, 3, 4, 5]);
    else domains.set(id, answer.type === 'measure' ? answer.points : answer.options.map((option) => option.id));
  }
  return domains;
}

function truth(condition: Condition, kind: Kind, values: Values): boolean | null {
  if ('all' in condition)
    return kleene(
      condition.all.map((part) => truth(part, kind, values)),
      false,
    );
  if ('any' in condition)
    return kleene(
      condition.any.map((part) => truth(part, kind, values)),
      true,
    );
  if ('not' in condition) {
    const inner = truth(condition.not, kind, values);
    return inner === null ? null : !inner;
  }
  if ('derived' in condition) {
    const derived = kind.derived!.find((entry) => entry.id === condition.derived)!;
    const value = derivedValue(derived, Number(values.get(derived.check)), {});
    return value === null ? null : compares(condition, value);
  }
  const value = values.get('property' in condition ? `property ${condition.property}` : condition.check)!;
  if (
    condition.is !== undefined &&
    !([condition.is].flat() as (string | number)[]).some((id) => String(id) === String(value))
  )
    return false;
  return compares(condition, Number(value));
}

function kleene(parts: readonly (boolean | null)[], decisive: boolean): boolean | null {
  if (parts.includes(decisive)) return decisive;
  return parts.includes(null) ? null : !decisive;
}

function isRising(numbers: readonly number[], strictly: boolean): boolean {
  return numbers.slice(1).every((n, i) => (strictly ? n > numbers[i]! : n >= numbers[i]!));
}
