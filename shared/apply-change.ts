import type { Assessment, Component, PhotoRecord } from './assessment.ts';
import type { KeptChange } from './change.ts';
import { type Fault, showFound } from './faults.ts';

/** A change without its id and time: what undoes another. */
export type Undoing = KeptChange extends infer Each
  ? Each extends KeptChange
    ? Omit<Each, 'id' | 'at'>
    : never
  : never;

/** What a change did, or why it cannot be done. */
export type Applied =
  | {
      assessment: Assessment;
      /** Changes that, made in this order, put everything back. */
      undo: Undoing[];
      /** Places it wrote to, `components/arm-left/stage`. Two changes clash when they share one. */
      touches: string[];
      refused?: undefined;
    }
  | { refused: Fault };

export interface ApplyOptions {
  /** Record of a stored photo that no component has yet. */
  photo?: (id: string) => PhotoRecord | undefined;
  /** Today's date, `2026-11-25`, for struck photos. */
  today?: string;
  /** Who does it. */
  by?: string;
}

/**
 * Makes one change to an assessment, without altering it. The server keeps changes with this, and the page uses it to show
 * those that still wait for the network.
 *
 * Checks only that the change fits the assessment's own shape (the component exists, the id is new); whether an answer is
 * one that the rubric knows is another step.
 *
 * @returns the changed assessment (sharing what did not change) and how to undo it, or the one thing that is wrong
 */
export function applyChange(assessment: Assessment, change: KeptChange | Undoing, options: ApplyOptions = {}): Applied {
  const at = (id: string) => assessment.components.findIndex((component) => component.id === id);
  const refuse = (path: string, wanted: string, found: unknown): Applied => ({
    refused: { file: '', path, wanted, found: typeof found === 'string' ? showFound(found) : String(found) },
  });
  const noComponent = (id: string) => refuse('component', 'a component of this assessment', id);

  /** Replaces one component. */
  const put = (index: number, next: Component, touches: string[], undo: Undoing[]): Applied => ({
    assessment: { ...assessment, components: assessment.components.with(index, next) },
    touches,
    undo,
  });
  const place = (component: string, field: string) => `components/${component}/${field}`;

  switch (change.type) {
    case 'set-assessment': {
      const { next, before } = replaceFields(assessment, change.set ?? {}, change.clear ?? []);
      return {
        assessment: next,
        touches: fieldsOf(change).map((field) => `assessment/${field}`),
        undo: [{ type: 'set-assessment', ...before }],
      };
    }

    case 'set-component': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const { next, before } = replaceFields(assessment.components[index]!, change.set ?? {}, change.clear ?? []);
      const touches = fieldsOf(change).map((field) => place(change.component, field));
      return put(index, next, touches, [{ type: 'set-component', component: change.component, ...before }]);
    }

    case 'add-component': {
      const { component } = change;
      if (at(component.id) >= 0) return refuse('component.id', 'an id that no component has yet', component.id);
      const components = [...assessment.components];
      components.splice(change.place ?? components.length, 0, component);
      return {
        assessment: { ...assessment, components },
        touches: [`components/${component.id}`],
        undo: [{ type: 'remove-component', component: component.id }],
      };
    }

    case 'remove-component': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      if (assessment.components.length === 1) return refuse('component', 'one component left at least', 'the last one');
      return removeComponent(assessment, index);
    }

    case 'observe': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const component = assessment.components[index]!;
      const id = change.observation.id ?? ('id' in change ? (change.id as string) : undefined);
      if (id === undefined) return refuse('observation.id', 'an id', 'nothing');
      const observations = [...(component.observations ?? [])];
      if (observations.some((other) => other.id === id)) {
        return refuse('observation.id', 'an id that no answer of this component has yet', id);
      }
      observations.splice(change.place ?? observations.length, 0, { ...change.observation, id });
      // Touches only itself: answers merge, whoever gives them.
      return put(
        index,
        { ...component, observations },
        [place(change.component, `observations/${id}`)],
        [{ type: 'withdraw-observation', component: change.component, observation: id }],
      );
    }

    case 'withdraw-observation': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const component = assessment.components[index]!;
      const where = (component.observations ?? []).findIndex((other) => other.id === change.observation);
      if (where < 0) return refuse('observation', 'an answer of this component', change.observation);
      const observation = component.observations![where]!;
      return put(
        index,
        withList(component, 'observations', component.observations!.toSpliced(where, 1)),
        [place(change.component, `observations/${change.observation}`)],
        [{ type: 'observe', component: change.component, observation, place: where }],
      );
    }

    case 'add-cover': {
      const covers = assessment.covers ?? [];
      let { id } = change.cover;
      for (let n = 2; covers.some((cover) => cover.id === id); n++) id = `${change.cover.id}-${n}`;
      return {
        assessment: { ...assessment, covers: [...covers, { ...change.cover, id }] },
        touches: [`assessment/covers/${id}`],
        undo: [{ type: 'drop-cover', cover: id }],
      };
    }

    case 'drop-cover': {
      const cover = assessment.covers?.find((other) => other.id === change.cover);
      if (!cover) return refuse('cover', 'a cover of this assessment', change.cover);
      const covers = assessment.covers!.filter((other) => other !== cover);
      const { covers: _before, ...rest } = assessment;
      return {
        assessment: covers.length === 0 ? rest : { ...rest, covers },
        touches: [`assessment/covers/${cover.id}`],
        undo: [{ type: 'add-cover', cover }],
      };
    }

    case 'override':
    case 'lift-override': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const { override: before, ...rest } = assessment.components[index]!;
      if (change.type === 'lift-override' && !before)
        return refuse('component', 'a component with an override', change.component);
      return put(
        index,
        change.type === 'override' ? { ...rest, override: change.override } : rest,
        [place(change.component, 'override')],
        [
          before
            ? { type: 'override', component: change.component, override: before }
            : { type: 'lift-override', component: change.component },
        ],
      );
    }

    case 'record-position': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const component = assessment.components[index]!;
      const positions = [...(component.positions ?? [])];
      const where = positions.findIndex((other) => other.id === change.position.id);
      const before = positions[where];
      positions.splice(where < 0 ? positions.length : where, where < 0 ? 0 : 1, change.position);
      return put(
        index,
        { ...component, positions },
        [place(change.component, `positions/${change.position.id}`)],
        [
          before
            ? { type: 'record-position', component: change.component, position: before }
            : { type: 'drop-position', component: change.component, position: change.position.id },
        ],
      );
    }

    case 'drop-position': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const component = assessment.components[index]!;
      const position = component.positions?.find((other) => other.id === change.position);
      if (!position) return refuse('position', 'a position of this component', change.position);
      return put(
        index,
        withList(
          component,
          'positions',
          component.positions!.filter((other) => other !== position),
        ),
        [place(change.component, `positions/${change.position}`)],
        [{ type: 'record-position', component: change.component, position }],
      );
    }

    case 'add-actual': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const component = assessment.components[index]!;
      const actuals = [...(component.actuals ?? []), change.actual];
      return put(
        index,
        { ...component, actuals },
        [place(change.component, `actuals/${actuals.length - 1}`)],
        [{ type: 'drop-actual', component: change.component, place: actuals.length - 1 }],
      );
    }

    case 'drop-actual': {
      const index = at(change.component);
      if (index < 0) return noComponent(change.component);
      const component = assessment.components[index]!;
      const actual = component.actuals?.[change.place];
      if (!actual) return refuse('place', 'an entry of this component', change.place);
      return put(
        index,
        withList(component, 'actuals', component.actuals!.toSpliced(change.place, 1)),
        [place(change.component, `actuals/${change.place}`)],
        [{ type: 'add-actual', component: change.component, actual }],
      );
    }

    case 'assign-photo': {
      const owner = ownerOf(assessment, change.photo);
      const found = owner?.record ?? options.photo?.(change.photo);
      if (!found) return refuse('photo', 'a photo of this assessment', change.photo);
      if (at(change.component) < 0) return noComponent(change.component);
      const { check: _check, stage: _stage, ...kept } = found;
      const record = {
        ...kept,
        ...(change.check === undefined ? {} : { check: change.check }),
        ...(change.stage === undefined ? {} : { stage: change.stage }),
      };
      return movePhoto(assessment, change.photo, change.component, record);
    }

    case 'put-photo':
      if (at(change.component) < 0) return noComponent(change.component);
      return movePhoto(assessment, change.photo.id, change.component, change.photo, change.place);

    case 'unassign-photo':
      if (!ownerOf(assessment, change.photo)) return refuse('photo', 'a photo that a component has', change.photo);
      return movePhoto(assessment, change.photo, null);

    case 'strike-photo': {
      const owner = ownerOf(assessment, change.photo);
      if (!owner) return refuse('photo', 'a photo that a component has', change.photo);
      const struck = { reason: change.reason, by: options.by ?? 'unknown', date: options.today ?? owner.record.date };
      return movePhoto(assessment, change.photo, owner.component.id, { ...owner.record, struck });
    }

    case 'use-current-rubric':
    case 'use-rubric':
      // Which rubric judges is kept beside the assessment, not in it.
      return { assessment, touches: ['rubric'], undo: [] };
  }
}

function fieldsOf(change: { set?: object | undefined; clear?: string[] | undefined }): string[] {
  return [...new Set([...Object.keys(change.set ?? {}), ...(change.clear ?? [])])];
}

/** Sets and clears fields; `before` sets and clears them back. */
function replaceFields<T extends object>(thing: T, set: object, clear: readonly string[]) {
  const next = { ...thing } as Record<string, unknown>;
  const before: { set: Record<string, unknown>; clear: string[] } = { set: {}, clear: [] };
  for (const field of new Set([...clear, ...Object.keys(set)])) {
    if (Object.hasOwn(next, field)) before.set[field] = next[field];
    else before.clear.push(field);
    delete next[field];
  }
  for (const [field, value] of Object.entries(set)) if (value !== undefined) next[field] = value;
  return { next: next as T, before };
}

/** The component with this list; without the field when the list is empty, so that undo leaves no trace. */
function withList<Field extends 'observations' | 'positions' | 'actuals' | 'photos'>(
  component: Component,
  field: Field,
  list: NonNullable<Component[Field]>,
): Component {
  const { [field]: _before, ...rest } = component;
  return (list.length === 0 ? rest : { ...rest, [field]: list }) as Component;
}

function ownerOf(
  assessment: Assessment,
  photo: string,
): { component: Component; record: PhotoRecord; place: number } | undefined {
  for (const component of assessment.components) {
    const place = component.photos?.findIndex((record) => record.id === photo) ?? -1;
    if (place >= 0) return { component, record: component.photos![place]!, place };
  }
  return undefined;
}

/** Takes a photo's record from where it is and puts `record` on a component, or nowhere. */
function movePhoto(
  assessment: Assessment,
  photo: string,
  to: string | null,
  record?: PhotoRecord,
  where?: number,
): Applied {
  const owner = ownerOf(assessment, photo);
  const stays = owner !== undefined && owner.component.id === to;
  const components = assessment.components.map((component) => {
    if (component.id !== owner?.component.id && component.id !== to) return component;
    const photos = (component.photos ?? []).filter((other) => other.id !== photo);
    if (component.id === to && record) photos.splice(where ?? (stays ? owner.place : photos.length), 0, record);
    return withList(component, 'photos', photos);
  });
  return {
    assessment: { ...assessment, components },
    touches: [`photos/${photo}`],
    undo: [
      owner
        ? { type: 'put-photo', component: owner.component.id, photo: owner.record, place: owner.place }
        : { type: 'unassign-photo', photo },
    ],
  };
}

/** Takes one component out, and every reference to it. */
function removeComponent(assessment: Assessment, index: number): Applied {
  const gone = assessment.components[index]!;
  const undo: Undoing[] = [{ type: 'add-component', component: gone, place: index }];
  const touches = [`components/${gone.id}`];
  const components = assessment.components.toSpliced(index, 1).map((component) => {
    const set: Partial<Component> = {};
    const clear: ('sitsIn' | 'takenOut' | 'pair')[] = [];
    if (component.sitsIn === gone.id) clear.push('sitsIn', 'takenOut');
    if (component.pair === gone.id) clear.push('pair');
    if (component.mates?.includes(gone.id)) set.mates = component.mates.filter((mate) => mate !== gone.id);
    const joints = component.joints?.map(({ undoBefore, ...joint }) =>
      undoBefore ? { ...joint, undoBefore: undoBefore.filter((other) => !other.startsWith(`${gone.id}.`)) } : joint,
    );
    if (component.joints?.some((joint) => joint.undoBefore?.some((other) => other.startsWith(`${gone.id}.`)))) {
      set.joints = joints;
    }
    if (clear.length === 0 && Object.keys(set).length === 0) return component;
    const { next, before } = replaceFields(component, set, clear);
    undo.push({ type: 'set-component', component: component.id, ...before });
    touches.push(...fieldsOf({ set, clear }).map((field) => `components/${component.id}/${field}`));
    return next;
  });
  const next = { ...assessment, components };
  const pointsHere = (hidden: string) => hidden === gone.id || hidden.startsWith(`${gone.id}.`);
  if (assessment.covers?.some((cover) => cover.hides?.some(pointsHere))) {
    next.covers = assessment.covers.map((cover) =>
      cover.hides ? { ...cover, hides: cover.hides.filter((hidden) => !pointsHere(hidden)) } : cover,
    );
    undo.push({ type: 'set-assessment', set: { covers: assessment.covers }, clear: [] });
    touches.push('assessment/covers');
  }
  return { assessment: next, undo, touches };
}
