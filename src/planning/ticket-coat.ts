import type { Component, Operation, Said } from '../../shared/index.ts';
import { hydrogenRule, parseThread, platingFits, propertyClass } from '../standards/index.ts';
import type { SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { said } from './seizing.ts';

/** What is known of a part's hardness, in words; null when nothing is. */
export function hardnessOf({ properties }: Component): string | null {
  const { class: classId, hardnessHV, thread } = properties ?? {};
  if (typeof hardnessHV === 'number') return `${hardnessHV} HV, measured`;
  if (classId === undefined) return null;
  const parsed = typeof thread === 'string' ? parseThread(thread) : null;
  const most = propertyClass(String(classId), parsed?.diameterMm ?? 10)?.hardnessMaxHV ?? null;
  return most === null ? null : `${most} HV at most (class ${classId}, ISO 898-1)`;
}

/** Whether the thread still takes its nut after the coat. */
export function threadFitOf(
  thread: string | number | undefined,
  classId: string | number | undefined,
  lengthMm: string | number | undefined,
  operation: Operation,
  { rubric }: SheetInput,
): Said | null {
  const parsed = typeof thread === 'string' ? parseThread(thread) : null;
  const um = operation.addsUm;
  if (!parsed || um === undefined || !operation.meets.includes('thickness')) return null;
  const rule = `method.thread-fit`;
  if (/^nut /.test(String(classId ?? ''))) {
    const text = `Nut: a tapped thread (6H) has no room of its own; ${um} um inside uses the room of its bolt. Coat one of the two inside, or have the nut chased, and try it on its bolt`;
    return said(rubric, rule, text, 'from-memory ISO 965-1: H leaves no allowance');
  }
  const fit = platingFits(parsed, um, 'g', typeof lengthMm === 'number' ? lengthMm : undefined);
  const room = fit.maxUm === null ? '' : `room for ${round(fit.maxUm, 1)} um`;
  const text =
    fit.fits === null
      ? `${parsed.designation}: no published room for a coat is known; try it on a scrap bolt first`
      : fit.fits
        ? `${parsed.designation} has ${room} in position g: ${um} um fits. Position h has none: try a nut on each before it goes`
        : `${parsed.designation} has ${room} only: ${um} um does not fit. Ask for a thinner film`;
  return { rule, text, source: fit.source, basis: 'published' };
}

/** Bake or none, in the words to write on the ticket. */
export function hydrogenOf({ properties }: Component, operation: Operation, { rubric }: SheetInput): Said | null {
  if (!operation.meets.includes('hydrogen')) return null;
  const { class: classId, hardnessHV } = properties ?? {};
  const id = classId === undefined || /^nut /.test(String(classId)) ? undefined : String(classId);
  if (id === undefined && typeof hardnessHV !== 'number') {
    if (classId !== undefined)
      return said(
        rubric,
        'method.hydrogen',
        `${classId}: no bake asked for, nuts are not stressed in tension`,
        'iso-4042 4.4',
      );
    return said(
      rubric,
      'method.hydrogen',
      'Hardness not stated: test it, or treat it as hard and do not plate it',
      'own-judgement',
    );
  }
  const rule = hydrogenRule({
    ...(id === undefined ? {} : { classId: id }),
    ...(typeof hardnessHV === 'number' ? { hardnessHV } : {}),
  });
  if (!rule) return null;
  const hours = rule.b850 ? `${rule.b850.hours} h at ${rule.b850.tempC[0]} to ${rule.b850.tempC[1]} degC` : null;
  const bake = rule.refuse
    ? 'DO NOT PLATE. '
    : rule.isBakeAdvised
      ? `BAKE ${hours ?? '4 h at 190 to 220 degC'}, begun within 4 h of plating and before the passivate, in writing. `
      : 'No bake. ';
  return { rule: 'method.hydrogen', text: `${bake}${rule.because}`, source: rule.source, basis: 'published' };
}
