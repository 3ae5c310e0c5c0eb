import {
  ASSESSMENT_FORMAT,
  type Assembly,
  type Assessment,
  type Component,
  InputError,
  type NewAssessment,
  type Rubric,
} from '../../shared/index.ts';

/** A lower-case id made from a name: `Front end, left` gives `front-end-left`. */
export function idFrom(name: string): string {
  const id = name
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 60)
    .replace(/-+$/, '');
  return id === '' ? 'assessment' : id;
}

/** What an assessment begins with when nothing else was said. Common practice, no source: a tidy road car, kept a few years. */
export function blankFields(rubric: Rubric, today: string, currency: string = rubric.prices.base) {
  const { base, exchange, ownRate } = rubric.prices;
  const perBase = currency === base ? 1 : exchange.find((rate) => rate.currency === currency)?.perBase;
  return {
    date: today,
    purpose: 'scope',
    wantedFinish: 'smart',
    horizonYears: 5,
    atmosphere: 'C3',
    ruleBook: 'none',
    units: 'mm',
    currency,
    // Written out, so that they get changed.
    rates: { ...(perBase === undefined ? {} : { own: Math.round(ownRate.value * perBase) }), labour: 'own' },
    areas: [],
  } satisfies Omit<Assessment, 'id' | 'name' | 'format' | 'components'>;
}

/**
 * A blank assessment from an assembly of the rubric, or with one part of a kind.
 *
 * @throws {InputError} when the rubric has no such assembly or kind
 */
export function newAssessment(wanted: NewAssessment, rubric: Rubric, today: string): Assessment {
  const { areas, components } =
    wanted.assembly !== undefined ? partsOf(wanted.assembly, rubric) : onePart(wanted.kind, rubric);
  return {
    format: ASSESSMENT_FORMAT,
    id: wanted.id ?? idFrom(wanted.name),
    name: wanted.name,
    ...blankFields(rubric, today, wanted.fields?.currency),
    ...withoutUndefined(wanted.fields ?? {}),
    areas: wanted.fields?.areas ?? areas,
    components,
  };
}

type Said<T> = { [Key in keyof T]?: Exclude<T[Key], undefined> };

function withoutUndefined<T extends object>(fields: T): Said<T> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as Said<T>;
}

function onePart(kindId: string | undefined, rubric: Rubric): Pick<Assessment, 'areas' | 'components'> {
  const kind = rubric.kinds.find((other) => other.id === kindId);
  if (!kind) {
    throw new InputError([
      kindId === undefined
        ? { file: '', path: 'assembly', wanted: 'an assembly, or a kind', found: 'neither' }
        : { file: '', path: 'kind', wanted: 'a kind of the rubric', found: kindId },
    ]);
  }
  return { areas: [], components: [{ id: kind.id, name: kind.name, kind: kind.id, stage: 'off' }] };
}

function partsOf(id: string, rubric: Rubric): Pick<Assessment, 'areas' | 'components'> {
  const areas = new Map<string, Assembly['areas'][number]>();
  const components = new Map<string, Component>();
  const seen = new Set<string>();
  const add = (assemblyId: string): void => {
    if (seen.has(assemblyId)) return;
    seen.add(assemblyId);
    const assembly = rubric.assemblies.find((other) => other.id === assemblyId);
    if (!assembly) {
      throw new InputError([{ file: '', path: 'assembly', wanted: 'an assembly of the rubric', found: assemblyId }]);
    }
    for (const part of assembly.includes ?? []) add(part);
    for (const area of assembly.areas) areas.set(area.id, area);
    for (const part of assembly.components) components.set(part.id, { ...part, stage: 'fitted' });
  };
  add(id);
  return { areas: [...areas.values()], components: [...components.values()] };
}
