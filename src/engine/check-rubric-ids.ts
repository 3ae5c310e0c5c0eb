import { BASES, type Fault, type Kind, showFound } from '../../shared/index.ts';
import { joined, type Placed, type PlacedRubric } from './check-rubric.ts';

/** Every id that one entry of a rubric names must be the id of another; every `from` must say a source or a basis. */
export function checkIds(rubric: PlacedRubric): Fault[] {
  const faults: Fault[] = [];
  const { lists, charges } = rubric;
  const known = (entries: readonly Placed<unknown>[]) => new Set(entries.flatMap((entry) => entry.id ?? []));
  const ids = {
    sources: known(lists.sources),
    scales: known(lists.scales),
    reveal: known(lists.reveal),
    rustiness: known(lists.rustiness),
    operations: known(lists.operations),
    routes: known(lists.routes),
    hardware: known(lists.hardware),
    cautions: known(lists.cautions),
    assemblies: known(lists.assemblies),
    processes: known(charges.processes),
    charges: known(charges.shared),
    setups: known(charges.setups),
    kinds: known(rubric.kinds),
  };
  type Sort = keyof typeof ids;
  const need = (place: Placed<unknown>, path: string, sort: Sort, id: string | undefined) => {
    if (id !== undefined && !ids[sort].has(id)) {
      faults.push({
        file: place.file,
        path: joined(place.path, path),
        wanted: `an id of the rubric's ${sort}`,
        found: showFound(id),
      });
    }
  };
  const each = (place: Placed<unknown>, path: string, sort: Sort, all: readonly string[] | undefined) => {
    for (const [i, id] of (all ?? []).entries()) need(place, `${path}.${i}`, sort, id);
  };
  for (const entry of lists.operations) {
    need(entry, 'process', 'processes', entry.value?.process);
    each(entry, 'cautions', 'cautions', entry.value?.cautions);
  }
  for (const entry of lists.routes) {
    for (const [i, step] of (entry.value?.steps ?? []).entries())
      if ('do' in step) need(entry, `steps.${i}.do`, 'operations', step.do);
  }
  for (const entry of lists.assemblies) {
    each(entry, 'includes', 'assemblies', entry.value?.includes);
    for (const [i, part] of (entry.value?.components ?? []).entries())
      need(entry, `components.${i}.kind`, 'kinds', part.kind);
  }
  for (const entry of rubric.kinds) {
    const kind = entry.value;
    if (!kind) continue;
    each(entry, 'routes', 'routes', kind.routes);
    each(entry, 'charges', 'charges', kind.charges);
    each(entry, 'holds', 'kinds', kind.holds);
    each(entry, 'cautions', 'cautions', kind.cautions);
    for (const [i, mate] of (kind.mates ?? []).entries()) {
      need(entry, `mates.${i}.kind`, 'kinds', mate.kind);
      const other = rubric.kinds.find((k) => k.id === mate.kind)?.value;
      if (other && !other.checks.some((check) => check.id === mate.check)) {
        faults.push({
          file: entry.file,
          path: `mates.${i}.check`,
          wanted: `a check of ${mate.kind}`,
          found: showFound(mate.check),
        });
      }
    }
    for (const [i, check] of kind.checks.entries()) {
      need(entry, `checks.${i}.rustiness`, 'rustiness', check.rustiness);
      need(entry, `checks.${i}.reveal`, 'reveal', check.reveal);
      need(entry, `checks.${i}.setup`, 'setups', check.setup);
      if (check.answer.type === 'grade') need(entry, `checks.${i}.answer.scale`, 'scales', check.answer.scale);
    }
    for (const [i, joint] of kind.joints.entries()) each(entry, `joints.${i}.hardware`, 'hardware', joint.hardware);
    for (const [i, knockOut] of kind.knockOuts.entries())
      each(entry, `knockOuts.${i}.cautions`, 'cautions', knockOut.cautions);
    for (const [i, supply] of kind.supplies.entries()) each(entry, `supplies.${i}.includes`, 'kinds', supply.includes);
    faults.push(...checkOwnIds(entry, kind));
  }
  for (const entry of [
    ...Object.values(lists).flat(),
    ...Object.values(charges).flat(),
    ...rubric.kinds,
    rubric.settings,
    rubric.prices,
    rubric.release,
  ]) {
    checkFroms(entry, entry.value, '', ids.sources, faults);
  }
  return faults;
}

/** Ids inside one kind: unique, and each that a rule names is there. */
function checkOwnIds(entry: Placed<Kind>, kind: Kind): Fault[] {
  const faults: Fault[] = [];
  const add = (path: string, wanted: string, found: unknown) =>
    faults.push({ file: entry.file, path, wanted, found: showFound(found) });
  const checks = new Set(kind.checks.map((check) => check.id));
  const zones = new Set(kind.zones.map((zone) => zone.id));
  for (const part of ['zones', 'checks', 'knockOuts', 'supplies', 'joints', 'symptoms'] as const) {
    const seen = new Set<string>();
    for (const [i, { id }] of kind[part].entries()) {
      if (seen.has(id)) add(`${part}.${i}.id`, 'an id used once', id);
      seen.add(id);
    }
  }
  for (const [i, check] of kind.checks.entries())
    if (!zones.has(check.zone)) add(`checks.${i}.zone`, `a zone of ${kind.id}`, check.zone);
  for (const [i, weak] of kind.weakPoints.entries())
    if (!zones.has(weak.zone)) add(`weakPoints.${i}.zone`, `a zone of ${kind.id}`, weak.zone);
  for (const [i, symptom] of kind.symptoms.entries()) {
    for (const [k, id] of symptom.checks.entries())
      if (!checks.has(id)) add(`symptoms.${i}.checks.${k}`, `a check of ${kind.id}`, id);
  }
  for (const part of ['derived', 'growth'] as const) {
    for (const [i, { check }] of (kind[part] ?? []).entries())
      if (!checks.has(check)) add(`${part}.${i}.check`, `a check of ${kind.id}`, check);
  }
  return faults;
}

function checkFroms(
  entry: Placed<unknown>,
  value: unknown,
  path: string,
  sources: ReadonlySet<string>,
  faults: Fault[],
): void {
  if (value === null || typeof value !== 'object') return;
  for (const [key, inner] of Object.entries(value)) {
    const here = joined(path, key);
    if ((key === 'from' || key.endsWith('From')) && typeof inner === 'string') {
      const first = inner.trim().split(/[\s,:;]/)[0]!;
      if (!(BASES as readonly string[]).includes(first) && !sources.has(first)) {
        faults.push({
          file: entry.file,
          path: joined(entry.path, here),
          wanted: `an id of sources.yaml, or ${BASES.join(', ')}`,
          found: showFound(inner),
        });
      }
    } else checkFroms(entry, inner, here, sources, faults);
  }
}
