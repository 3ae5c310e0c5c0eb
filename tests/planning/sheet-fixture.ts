import type { Assessment, Batch, Component, Joint, PlannedPart, Rubric } from '../../shared/index.ts';
import { type CarJoint, carJoints, type SheetInput } from '../../src/planning/joints.ts';
import { sheetInput, sheetsOf } from '../../src/planning/strip.ts';
import { assessmentOf, rubric } from '../engine/real.ts';

export type Decided = Partial<
  Pick<PlannedPart, 'action' | 'supply' | 'route' | 'ifClear' | 'spare' | 'pieces' | 'comesWith'>
>;

/** Parts of a plan as somebody decided them: reuse where nothing is said. */
export function partsOf(assessment: Assessment, decided: Record<string, Decided | Decided[]>): PlannedPart[] {
  return assessment.components.flatMap((component) =>
    [decided[component.id] ?? {}].flat().map((own, group): PlannedPart => {
      const pieces = own.pieces ?? component.count ?? 1;
      const range = (usual: number) => ({ low: usual, usual: usual * pieces, high: usual * pieces });
      return {
        component: component.id,
        group,
        name: component.name,
        kind: component.kind,
        pieces,
        count: component.count ?? 1,
        area: component.area ?? null,
        stage: component.stage,
        material: component.material ?? 'steel',
        colour: null,
        massKg: range(component.massKg ?? 0.1),
        areaDm2: range(component.areaDm2 ?? 1),
        safetyCritical: true,
        action: 'reuse',
        option: 'reuse',
        route: null,
        supply: null,
        firmness: 'settled',
        ifClear: null,
        chance: 1,
        spare: false,
        comesWith: null,
        batches: [],
        charges: [],
        ...own,
      };
    }),
  );
}

const NOTHING_SEEN = { components: [], alwaysNew: [], rustiness: [0.2, 0.2, 0.2, 0.2, 0.2] };

/** All four sheets of an assessment decided so. */
export function sheets(
  components: Component[],
  decided: Record<string, Decided | Decided[]>,
  { batches = [], rest = {}, own = rubric }: { batches?: Batch[]; rest?: Partial<Assessment>; own?: Rubric } = {},
) {
  const assessment = assessmentOf(components, rest);
  const parts = partsOf(assessment, decided);
  return sheetsOf({ rubric: own, assessment, score: NOTHING_SEEN, parts, batches, perBase: 1 });
}

/** What the parts of the sheets read. */
export function input(components: Component[], decided: Record<string, Decided | Decided[]> = {}): SheetInput {
  const assessment = assessmentOf(components);
  const parts = partsOf(assessment, decided);
  return sheetInput({ rubric, assessment, score: NOTHING_SEEN, parts, batches: [], perBase: 1 });
}

/** A set of bolts that is judged by itself, with its joint stated. */
export function bolts(id: string, joint: Partial<Joint>, rest: Partial<Component> = {}): Component {
  return {
    id,
    name: `Bolts ${id}`,
    kind: 'threaded-fastener',
    area: 'front',
    stage: 'fitted',
    joints: [{ id: 'own', name: `Bolts ${id}`, thread: 'M10', hand: 'right', locking: 'none', ...joint }],
    ...rest,
  };
}

/** The one joint of a set of bolts. */
export function jointOf(joint: Partial<Joint>, decided: Decided = {}): { joint: CarJoint; given: SheetInput } {
  const given = input([bolts('x', joint)], { x: decided });
  return { joint: carJoints(given)[0]!, given };
}
