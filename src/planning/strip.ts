import type {
  Assessment,
  Batch,
  PlannedPart,
  RefitOut,
  Rubric,
  ScoreOut,
  ShoppingOut,
  StripOut,
  Ticket,
} from '../../shared/index.ts';
import { carJoints, type GradeSpan, type SheetInput } from './joints.ts';
import { refitOf } from './refit.ts';
import { shoppingOf } from './shopping.ts';
import { stripDown } from './strip-down.ts';
import { ticketsOf } from './tickets.ts';

/** What the sheets are made from: a plan's parts and batches, and the score they came from. */
export interface SheetsFrom {
  rubric: Rubric;
  assessment: Assessment;
  score: Pick<ScoreOut, 'components' | 'alwaysNew' | 'rustiness'>;
  parts: readonly PlannedPart[];
  batches: readonly Batch[];
  /** Units of the assessment's currency for one of the rubric's base currency. */
  perBase: number;
}

/** The four sheets of a plan. */
export interface Sheets {
  strip: StripOut;
  shopping: ShoppingOut;
  tickets: Ticket[];
  refit: RefitOut;
}

/**
 * Strip-down sheet, shopping list, workshop tickets and re-fit order of a plan.
 *
 * Pure: the same plan gives the same sheets. Rubric and assessment must have been checked.
 */
export function sheetsOf(from: SheetsFrom): Sheets {
  const input = sheetInput(from);
  const joints = carJoints(input);
  const strip = stripDown(joints, input);
  const undone = new Set(strip.steps.filter((step) => step.does === 'undo').map((step) => step.id));
  return {
    strip,
    shopping: shoppingOf(
      joints.filter(({ id }) => undone.has(id)),
      joints.filter(({ component }) => component.stage !== 'fitted'),
      input,
    ),
    tickets: ticketsOf(from.batches, input),
    refit: refitOf(joints, strip, input),
  };
}

/** Lays out what the sheets read, with the grades of every check at hand. */
export function sheetInput({ rubric, assessment, score, parts, perBase }: SheetsFrom): SheetInput {
  const facts = new Map(score.components.map((c) => [c.id, new Map(c.facts.map((fact) => [fact.check, fact]))]));
  const components = new Map(assessment.components.map((c) => [c.id, c]));
  const kinds = new Map(rubric.kinds.map((kind) => [kind.id, kind]));
  const gradeOf = (component: string, check: string): GradeSpan | null => {
    const seen = (components.get(component)?.observations ?? []).filter((o) => o.check === check);
    const last = seen.findLast((o) => o.value !== undefined || o.split !== undefined);
    const fact = facts.get(component)?.get(check);
    const values = last?.split?.map((share) => share.value) ?? (last?.value === undefined ? [] : [last.value]);
    const numbers = values.filter((value): value is number => typeof value === 'number');
    const isGrade = kinds
      .get(components.get(component)?.kind ?? '')
      ?.checks.some((c) => c.id === check && c.answer.type === 'grade');
    const told = isGrade && numbers.length > 0 ? Math.max(...numbers) : null;
    if (fact && fact.state !== 'unknown' && fact.state !== 'not-applicable') {
      const middle = told ?? (fact.gradeLow + fact.gradeHigh) / 2;
      return { low: Math.min(fact.gradeLow, middle), usual: middle, high: Math.max(fact.gradeHigh, middle) };
    }
    return told === null ? null : { low: told, usual: told, high: told };
  };
  const groups = new Map<string, PlannedPart[]>();
  for (const part of parts) groups.set(part.component, [...(groups.get(part.component) ?? []), part]);
  return {
    rubric,
    assessment,
    parts,
    kindOf: (component) => kinds.get(component.kind)!,
    planned: (component) => groups.get(component) ?? [],
    alwaysNew: new Map(score.alwaysNew.filter((a) => a.kind !== null).map((a) => [a.component, a.because])),
    gradeOf,
    rustiness: score.rustiness,
    perBase,
  };
}
