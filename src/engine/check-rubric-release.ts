import { type Fault, type Kind, type Near, showFound } from '../../shared/index.ts';
import { checkJoint, checkOrder, type JointIds, sayer } from './check-joints.ts';
import { joined, type Placed, type PlacedRubric } from './check-rubric.ts';

/** What a flame must keep away from, whatever else a rung says. */
const NEVER_NEAR_FLAME: readonly Near[] = ['rubber', 'fluid', 'spring', 'light-alloy', 'plastic', 'fuel'];

/** Release ladder, tools, consumables, suppliers, tickets and the joints of every kind: ids, order, and the rules of heat. */
export function checkReleaseRules(rubric: PlacedRubric): Fault[] {
  const faults: Fault[] = [];
  const { lists, charges } = rubric;
  const known = (entries: readonly Placed<unknown>[]) => new Set(entries.flatMap((entry) => entry.id ?? []));
  const ids = {
    'tools.yaml': known(lists.tools),
    'consumables.yaml': known(lists.consumables),
    'cautions.yaml': known(lists.cautions),
    'hardware.yaml': known(lists.hardware),
    'operations.yaml': known(lists.operations),
    'suppliers.yaml': known(lists.suppliers),
    'charges.yaml shared': known(charges.shared),
    'charges.yaml processes': known(charges.processes),
  };
  const need = (
    place: Placed<unknown>,
    path: string,
    sort: keyof typeof ids,
    list: readonly (string | undefined)[] | undefined,
  ) => {
    for (const [i, id] of (list ?? []).entries())
      if (id !== undefined && !ids[sort].has(id))
        faults.push({
          file: place.file,
          path: joined(place.path, path.replace('*', String(i))),
          wanted: `an id of ${sort}`,
          found: showFound(id),
        });
  };
  checkRelease(rubric, need, faults);
  for (const entry of lists.tools) need(entry, 'charges.*', 'charges.yaml shared', entry.value?.charges);
  for (const entry of lists.hardware) need(entry, 'supplier', 'suppliers.yaml', [entry.value?.supplier]);
  for (const entry of lists.consumables) {
    need(entry, 'supplier', 'suppliers.yaml', [entry.value?.supplier]);
    need(entry, 'fluid.caution', 'cautions.yaml', [entry.value?.fluid?.caution]);
    for (const [i, takes] of (entry.value?.takes ?? []).entries()) {
      need(entry, `takes.${i}.operations.*`, 'operations.yaml', takes.operations);
      need(entry, `takes.${i}.charges.*`, 'charges.yaml shared', takes.charges);
    }
  }
  for (const entry of lists.tickets) {
    need(entry, 'id', 'charges.yaml processes', [entry.id ?? undefined]);
    need(entry, 'cautions.*', 'cautions.yaml', entry.value?.cautions);
  }
  if (!lists.suppliers.some((entry) => entry.value?.hardware)) {
    const file = lists.suppliers[0]?.file ?? 'suppliers.yaml';
    faults.push({ file, path: '', wanted: 'a supplier of hardware', found: 'none' });
  }
  for (const kind of rubric.kinds) if (kind.value) checkKindJoints(kind, kind.value, rubric, faults);
  return faults;
}

type Need = (
  place: Placed<unknown>,
  path: string,
  sort: 'tools.yaml' | 'consumables.yaml' | 'cautions.yaml' | 'hardware.yaml' | 'charges.yaml shared',
  list: readonly string[] | undefined,
) => void;

function checkRelease({ release }: PlacedRubric, need: Need, faults: Fault[]): void {
  const { value } = release;
  if (!value) return;
  const say = sayer(faults, release.file, showFound);
  for (const part of ['rungs', 'lockings', 'partings', 'fixings', 'trouble', 'beforeDriving'] as const) {
    const seen = new Set<string>();
    for (const [i, { id }] of value[part].entries()) {
      if (seen.has(id)) say(`${part}.${i}.id`, 'an id used once', id);
      seen.add(id);
    }
  }
  value.rungs.forEach((rung, i) => {
    const before = value.rungs[i - 1]?.harshness ?? 1;
    if (rung.harshness < before)
      say(`rungs.${i}.harshness`, `at least ${before}: a gentler step never follows a harsher one`, rung.harshness);
    if (rung.heat !== 'none' && rung.heatC === undefined) say(`rungs.${i}.heatC`, 'how hot it gets', undefined);
    const barred = new Set(rung.barredBy.flatMap((rule) => rule.near));
    if (rung.heat === 'flame' && rung.destroys !== 'fastener' && !rung.barredForHardened)
      say(
        `rungs.${i}.barredForHardened`,
        'the bar for hardened bolts that are to be kept, since it is a flame',
        undefined,
      );
    for (const near of rung.id === 'weld-nut' ? [] : NEVER_NEAR_FLAME)
      if (rung.heat === 'flame' && !barred.has(near))
        say(`rungs.${i}.barredBy`, `${near} among what bars it, since it is a flame`, [...barred].join(', '));
    need(release, `rungs.${i}.tools.*`, 'tools.yaml', rung.tools);
    need(release, `rungs.${i}.consumables.*`, 'consumables.yaml', rung.consumables);
    need(release, `rungs.${i}.cautions.*`, 'cautions.yaml', rung.cautions);
  });
  value.lockings.forEach((locking, i) => {
    need(release, `lockings.${i}.hardware.*`, 'hardware.yaml', locking.hardware);
    need(release, `lockings.${i}.tools.*`, 'tools.yaml', locking.tools);
  });
  value.fixings.forEach((fixing, i) => {
    need(release, `fixings.${i}.tools.*`, 'tools.yaml', fixing.tools);
  });
  value.partings.forEach((parting, i) => {
    need(release, `partings.${i}.tools.*`, 'tools.yaml', parting.tools);
    need(release, `partings.${i}.consumables.*`, 'consumables.yaml', parting.consumables);
    need(release, `partings.${i}.cautions.*`, 'cautions.yaml', parting.cautions);
  });
  value.trouble.forEach((trouble, i) => {
    need(release, `trouble.${i}.tools.*`, 'tools.yaml', trouble.tools);
  });
  value.beforeDriving.forEach((check, i) => {
    need(release, `beforeDriving.${i}.whenCharges.*`, 'charges.yaml shared', check.whenCharges);
    need(release, `beforeDriving.${i}.whenCautions.*`, 'cautions.yaml', check.whenCautions);
  });
  need(release, 'cautions.*', 'cautions.yaml', value.cautions);
  need(release, 'notAtStrip.*', 'cautions.yaml', value.notAtStrip);
  need(release, 'notAtRefit.*', 'cautions.yaml', value.notAtRefit);
  need(release, 'spillTools.*', 'tools.yaml', value.spillTools);
  value.firstOfAll.forEach((line, i) => {
    need(release, `firstOfAll.${i}.whenCharges.*`, 'charges.yaml shared', line.whenCharges);
  });
  value.afterwards.forEach((after, i) => {
    need(release, `afterwards.${i}.charge`, 'charges.yaml shared', [after.charge]);
  });
  const rising = (path: string, numbers: readonly number[], last: number | null) => {
    if (numbers.some((n, i) => i > 0 && n <= numbers[i - 1]!)) say(path, 'figures that rise', numbers.join(', '));
    if (last !== null && numbers.at(-1) !== last) say(path, `${last} as the last figure`, numbers.at(-1));
  };
  rising(
    'seizing.words',
    value.seizing.words.map((row) => row.upTo),
    1,
  );
  rising(
    'seizing.size',
    value.seizing.size.map((row) => row.toMm),
    null,
  );
  rising(
    'undoing.breaks.byRatio',
    value.undoing.breaks.byRatio.map((row) => row.upTo),
    null,
  );
  rising('undoing.bars.lengthsMm', value.undoing.bars.lengthsMm, null);
}

function checkKindJoints(placed: Placed<Kind>, kind: Kind, { lists, release }: PlacedRubric, faults: Fault[]): void {
  const say = sayer(faults, placed.file, showFound);
  const ids: JointIds = {
    hardware: new Set(lists.hardware.flatMap((entry) => entry.id ?? [])),
    partings: new Set(release.value?.partings.map((parting) => parting.id) ?? []),
    fluids: new Map(lists.consumables.flatMap(({ value }) => (value?.fluid ? [[value.id, value.fluid] as const] : []))),
    fixings: release.value?.fixings.map((fixing) => fixing.word) ?? [],
    checks: new Set(kind.checks.map((check) => check.id)),
  };
  kind.joints.forEach((joint, j) => {
    checkJoint(joint, `joints.${j}`, ids, say);
  });
  checkOrder(kind.joints, 'joints', say);
  for (const field of ['rust', 'heads', 'heat'] as const)
    (kind.fastener?.[field] ?? []).forEach((id, i) => {
      if (!ids.checks.has(id)) say(`fastener.${field}.${i}`, `a check of ${kind.id}`, id);
    });
}
