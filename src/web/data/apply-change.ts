import type { Change } from '../../../shared/change.ts';
import type { Assessment, Component } from '../../../shared/index.ts';

/**
 * An assessment with one more change, for showing what waits to be sent. The server has the last word: whatever this
 * leaves out appears with the next fresh copy.
 */
export function applyChange(assessment: Assessment, change: Change): Assessment {
  switch (change.type) {
    case 'set-assessment':
      return without({ ...assessment, ...(change.set as Partial<Assessment>) }, change.clear);
    case 'add-component':
      if (assessment.components.some((component) => component.id === change.component.id)) return assessment;
      return { ...assessment, components: [...assessment.components, change.component] };
    case 'remove-component':
      return {
        ...assessment,
        components: assessment.components.filter((component) => component.id !== change.component),
      };
    case 'set-component':
      return onComponent(assessment, change.component, (c) =>
        without({ ...c, ...(change.set as Partial<Component>) }, change.clear),
      );
    case 'observe':
      return onComponent(assessment, change.component, (c) => {
        const id = change.observation.id ?? change.id;
        const others = c.observations ?? [];
        if (others.some((other) => other.id === id)) return c;
        return {
          ...c,
          observations: [...others, { ...change.observation, id, stage: change.observation.stage ?? c.stage }],
        };
      });
    case 'withdraw-observation':
      return onComponent(assessment, change.component, (c) => ({
        ...c,
        observations: (c.observations ?? []).filter((observation) => observation.id !== change.observation),
      }));
    case 'override':
      return onComponent(assessment, change.component, (c) => ({ ...c, override: change.override }));
    case 'lift-override':
      return onComponent(assessment, change.component, (c) => without(c, ['override']));
    default:
      return assessment;
  }
}

function onComponent(assessment: Assessment, id: string, change: (component: Component) => Component): Assessment {
  return {
    ...assessment,
    components: assessment.components.map((component) => (component.id === id ? change(component) : component)),
  };
}

function without<T extends object>(from: T, fields: readonly string[] | undefined): T {
  if (!fields || fields.length === 0) return from;
  return Object.fromEntries(Object.entries(from).filter(([key]) => !fields.includes(key))) as T;
}
