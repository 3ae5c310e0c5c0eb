import type { z } from 'zod';
import type { Because, Component, HoldStep, Kind, Operation, Route } from '../../shared/index.ts';
import { STAGES } from '../../shared/index.ts';
import { hydrogenRule, parseThread, platingFits, propertyClass } from '../standards/index.ts';
import type { CompiledKind } from './compiled-kind.ts';
import { ask, FALSE, type Knowledge, TRUE, UNKNOWN } from './program.ts';
import { because, methodBecause } from './reasons.ts';
import type { Tables } from './tables.ts';

/** A component sitting in another, with its kind. */
export interface Inside {
  component: Component;
  kind: CompiledKind;
}

export type Step = { do: string } | z.infer<typeof HoldStep>;

/**
 * The steps of a route that are still to be done: what lies before a hold point that the part has passed is left out.
 */
export function stepsLeft(route: Route, component: Component): Step[] {
  const stage = STAGES.indexOf(component.stage);
  if (stage < STAGES.indexOf('bare') || component.stage === 'finished') return route.steps;
  let from = 0;
  route.steps.forEach((step, i) => {
    if ('hold' in step && STAGES.indexOf(step.hold) < stage) from = i + 1;
    // The look at the present stage is still owed.
    if ('hold' in step && step.hold === component.stage && from === 0) from = i;
  });
  return route.steps.slice(from);
}

/**
 * Why a route would harm this part, each with its source; empty when it would not.
 */
export function refusalsOf(
  route: Route,
  component: Component,
  compiled: CompiledKind,
  knowledge: Knowledge,
  insides: readonly Inside[],
  tables: Tables,
): Because[] {
  const { kind } = compiled;
  const refusals: Because[] = [];
  const operations = stepsLeft(route, component).flatMap((step) => ('do' in step ? [tables.operation(step.do)] : []));
  let sitting = insides.filter((inside) => !inside.component.takenOut);
  operations.forEach((operation, i) => {
    if (operation.takesOutInsides) sitting = [];
    refusals.push(...materialRefusals(route, operation, component, kind, tables));
    refusals.push(...harmRefusals(operation, compiled, knowledge, tables, null));
    refusals.push(...fastenerRefusals(operation, operations.slice(i + 1), component));
    for (const inside of sitting) {
      const own = {
        possible: inside.kind.variables.map(() => 0),
        exact: null,
        properties: inside.component.properties ?? {},
      };
      inside.kind.variables.forEach((variable, v) => {
        own.possible[v] = (1 << variable.size) - 1;
      });
      refusals.push(...harmRefusals(operation, inside.kind, own, tables, inside.component.name));
    }
  });
  const seen = new Set<string>();
  return refusals.filter(({ rule, text }) => {
    const key = `${rule}|${text}`;
    return seen.has(key) ? false : seen.add(key);
  });
}

function materialRefusals(
  route: Route,
  operation: Operation,
  component: Component,
  kind: Kind,
  tables: Tables,
): Because[] {
  const material = component.material ?? kind.material;
  if (operation.takes && !operation.takes.includes(material)) {
    return [
      because(
        tables.rubric,
        `operation.${operation.id}.takes`,
        `${operation.name} is for ${operation.takes.join(', ')}, and this is ${material}`,
        operation.from,
      ),
    ];
  }
  if (operation.process) {
    const process = tables.process(operation.process);
    if (!process.takes.includes(material)) {
      return [
        because(
          tables.rubric,
          `process.${process.id}.takes`,
          `${process.name} (${route.name}) does not take ${material}: ${process.refuses}`,
          process.from,
        ),
      ];
    }
  }
  return [];
}

function harmRefusals(
  operation: Operation,
  compiled: CompiledKind,
  knowledge: Knowledge,
  tables: Tables,
  inside: string | null,
): Because[] {
  return compiled.kind.mustNotMeet.flatMap((harm, i) => {
    if (!operation.meets.includes(harm.harm)) return [];
    if (
      harm.harm === 'heat' &&
      harm.aboveC !== undefined &&
      (operation.heatC ?? Number.POSITIVE_INFINITY) <= harm.aboveC
    )
      return [];
    const truth = compiled.mustNotMeet[i] ? ask(compiled.mustNotMeet[i], knowledge) : TRUE;
    if (truth === FALSE) return [];
    const heat = harm.harm === 'heat' && operation.heatC !== undefined ? ` (${operation.heatC} degC)` : '';
    const where = inside === null ? '' : `${inside} still sits in it. `;
    const unknown = truth === UNKNOWN ? ' It is not stated whether this part is one of those, so it counts as one' : '';
    return [
      because(
        tables.rubric,
        `${compiled.kind.id}.must-not-meet.${harm.harm}`,
        `${operation.name}${heat}: ${where}${harm.because}${unknown}`,
        harm.from,
      ),
    ];
  });
}

/** What could not be checked of a route's coats on this thread: no figure is known, so a person tries the nut. */
export function uncheckedFits(route: Route, component: Component, tables: Tables): Because[] {
  const { thread } = component.properties ?? {};
  if (typeof thread !== 'string') return [];
  const parsed = parseThread(thread);
  return stepsLeft(route, component).flatMap((step): Because[] => {
    if (!('do' in step)) return [];
    const operation = tables.operation(step.do);
    if (operation.addsUm === undefined || !operation.meets.includes('thickness')) return [];
    if (parsed && platingFits(parsed, operation.addsUm, 'g', lengthOf(component)).fits !== null) return [];
    const text = `${operation.name} adds ${operation.addsUm} um to each flank, and what room ${parsed?.designation ?? thread} has was not checked: no figure is known for it. Try one with its nut before the rest go`;
    return [{ rule: 'method.thread-fit-unchecked', text, source: null, basis: 'own-judgement' }];
  });
}

function lengthOf(component: Component): number | undefined {
  const { lengthMm } = component.properties ?? {};
  return typeof lengthMm === 'number' ? lengthMm : undefined;
}

/** What the fastener standards say of heat, hydrogen and plating on this very thread and class. */
function fastenerRefusals(operation: Operation, later: readonly Operation[], component: Component): Because[] {
  const { thread, class: propertyClassId, hardnessHV } = component.properties ?? {};
  const parsed = typeof thread === 'string' ? parseThread(thread) : null;
  const classId = propertyClassId === undefined ? undefined : String(propertyClassId);
  const out: Because[] = [];
  if (classId !== undefined && operation.meets.includes('heat') && operation.heatC !== undefined) {
    const limit = propertyClass(classId, parsed?.diameterMm ?? 10, { old: true })?.temperMinC ?? null;
    if (limit !== null && operation.heatC > limit) {
      out.push(
        methodBecause(
          'tempering-limit',
          `${operation.name} reaches ${operation.heatC} degC; class ${classId} is lost above ${limit} degC`,
          'ISO 898-1, Table 2; SAE J429',
        ),
      );
    }
  }
  if (operation.meets.includes('hydrogen') && (classId !== undefined || typeof hardnessHV === 'number')) {
    const rule = hydrogenRule({
      ...(classId === undefined ? {} : { classId }),
      ...(typeof hardnessHV === 'number' ? { hardnessHV } : {}),
    });
    const hours = rule?.b850?.hours ?? 4;
    const isBaked = later.some(
      (next) => (next.heatC ?? 0) >= 190 && (next.heatC ?? 0) <= 220 && (next.heatMinutes ?? 0) >= hours * 60,
    );
    if (rule && (rule.refuse || (rule.isBakeAdvised && !isBaked))) {
      out.push(methodBecause('hydrogen', `${operation.name}: ${rule.because}`, rule.source));
    }
  }
  if (parsed && operation.addsUm !== undefined && operation.meets.includes('thickness')) {
    const fit = platingFits(parsed, operation.addsUm, 'g', lengthOf(component));
    if (fit.fits === false) {
      out.push(
        methodBecause(
          'thread-fit',
          `${operation.name} adds ${operation.addsUm} um; ${parsed.designation} has room for ${fit.maxUm} um`,
          fit.source,
        ),
      );
    }
  }
  return out;
}
