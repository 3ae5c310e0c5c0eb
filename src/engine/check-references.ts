import type { Assessment, Component, Kind, Rubric } from '../../shared/index.ts';

/** Takes one fault: path, what was wanted, what was found. */
export type Add = (path: string, wanted: string, found: unknown) => void;

/** Ids used once, dates not in the future, people who sign named, and ids of the rubric known, for every component. */
export function checkReferences(
  list: readonly Partial<Component>[],
  whole: Partial<Assessment>,
  rubric: Rubric,
  today: string,
  add: Add,
): void {
  const kinds = new Map<unknown, Kind>(rubric.kinds.map((kind) => [kind.id, kind]));
  const charges = new Set(rubric.charges.shared.map((charge) => charge.id));
  checkIds(array(whole.areas), 'areas', add);
  checkIds(array(whole.covers), 'covers', add);
  array(whole.chargesPaid).forEach((id, i) => {
    if (!charges.has(id)) add(`chargesPaid.${i}`, `one of ${[...charges].join(', ')}`, id);
  });
  const byId = new Map<unknown, Partial<Component>>(list.map((component) => [component.id, component]));
  array(whole.covers).forEach((cover, i) => {
    array(cover?.hides).forEach((hidden, j) => {
      if (byId.has(hidden)) return;
      // Ids may hold points themselves, so the part before a point is tried at each.
      const isHere = [...String(hidden).matchAll(/\./g)].some(({ index }) => {
        const kind = kinds.get(byId.get(String(hidden).slice(0, index))?.kind);
        return kind?.checks.some((check) => check.id === String(hidden).slice(index + 1));
      });
      if (!isHere) add(`covers.${i}.hides.${j}`, 'a component, or component.check', hidden);
    });
  });
  list.forEach((component, c) => {
    const path = `components.${c}`;
    for (const field of ['joints', 'supplies', 'positions', 'photos'] as const) {
      checkIds(array<{ id?: unknown }>(component[field]), `${path}.${field}`, add);
    }
    const dated = [
      ...(['positions', 'photos', 'actuals'] as const).flatMap((field) =>
        array<{ date?: unknown }>(component[field]).map((entry, i) => ({ entry, at: `${path}.${field}.${i}` })),
      ),
      { entry: component.override, at: `${path}.override` },
      ...array(component.photos).map((photo, i) => ({ entry: photo?.struck, at: `${path}.photos.${i}.struck` })),
    ];
    for (const { entry, at } of dated) {
      if (typeof entry?.date === 'string' && entry.date > today)
        add(`${at}.date`, `a date not after ${today}`, entry.date);
      for (const field of ['by', 'reason'] as const) {
        const text = (entry as Record<string, unknown> | undefined)?.[field];
        if (typeof text === 'string' && text.trim() === '') add(`${at}.${field}`, 'a few words, not only blanks', text);
      }
    }
    array(component.supplies).forEach((supply, s) => {
      array(supply?.includes).forEach((id, k) => {
        if (!kinds.has(id)) add(`${path}.supplies.${s}.includes.${k}`, 'a kind of the rubric', id);
      });
    });
    const symptoms = kinds.get(component.kind)?.symptoms.map((symptom) => symptom.id);
    array(component.symptoms).forEach((id, i) => {
      if (symptoms && !symptoms.includes(id)) add(`${path}.symptoms.${i}`, `one of ${symptoms.join(', ')}`, id);
    });
  });
}

/** The list, or an empty one when it is none: what is wrong with its form is told elsewhere. */
export function array<T>(value: readonly T[] | undefined): readonly T[] {
  return Array.isArray(value) ? (value as readonly T[]) : [];
}

/** Ids used once in a list. */
export function checkIds(list: readonly ({ id?: unknown } | null)[], path: string, add: Add): void {
  const first = new Map<string, number>();
  list.forEach((entry, i) => {
    const id = entry?.id;
    if (typeof id !== 'string') return;
    const before = first.get(id);
    if (before === undefined) first.set(id, i);
    else add(`${path}.${i}.id`, `an id that ${path}.${before} does not have`, id);
  });
}
