import type { Assessment, Component } from '../../shared/index.ts';

/** The demo's car grown to so many components: whole copies of it beside each other, each with areas of its own. */
export function grown(demo: Assessment, components: number): Assessment {
  const out: Component[] = [];
  const areas: Assessment['areas'] = [];
  for (let copy = 0; out.length < components; copy++) {
    const own = (id: string) => `${id}-${copy}`;
    areas.push(...demo.areas.map((area) => ({ id: own(area.id), name: `${area.name} ${copy}` })));
    for (const component of demo.components) {
      if (out.length === components) break;
      const { pair, mates, sitsIn, area, ...rest } = component;
      out.push({
        ...rest,
        id: own(component.id),
        ...(area === undefined ? {} : { area: own(area) }),
        ...(mates === undefined ? {} : { mates: mates.map(own) }),
      });
    }
  }
  const ids = new Set(out.map(({ id }) => id));
  const kept = out.map(({ mates, ...rest }) => ({
    ...rest,
    ...(mates ? { mates: mates.filter((id) => ids.has(id)) } : {}),
  }));
  const { covers: _, batchesGoing: _goes, ...whole } = demo;
  return { ...whole, areas, components: kept };
}
