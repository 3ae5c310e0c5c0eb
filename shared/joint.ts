import { z } from 'zod';
import { Locking, Near, ThreadHole } from './joint-words.ts';
import { Id, Text, ThreePoint } from './units.ts';
import { Material } from './words.ts';

/** A fastener with what it clamps. Thread as stamped (`M12x1.5`, `3/8-24 UNF`), or the word of a fixing without one (`band clip`). */
export const Joint = z.strictObject({
  id: Id,
  name: Text,
  thread: z.string().min(1).max(40),
  /** Property class or grade: `8.8`, `10.9`, `S` ... */
  class: z.string().min(1).max(20).optional(),
  hand: z.enum(['right', 'left']),
  locking: Locking,
  /** Threads and faces as they are when tightened. */
  lubrication: z.enum(['dry', 'oiled']).optional(),
  count: z.number().int().min(1).max(200).optional(),
  /** Length under the head, mm. */
  lengthMm: z.number().positive().max(1000).optional(),
  /** Tightening torque by the maker's data, Nm; left out when not known. */
  torqueNm: z.number().positive().max(2000).optional(),
  /** Joints (ids of the same component or `component.joint`) that must be undone before this one. */
  undoBefore: z.array(z.string().min(1).max(160)).optional(),
  /** Always-new hardware (an id of `hardware.yaml`) this joint takes each time. */
  hardware: z.array(Id).optional(),
  /** Tightened only with the car standing at ride height. */
  atRideHeight: z.boolean().optional(),
  /** What it holds, when not obvious. */
  clamps: Text.optional(),
  /** What loosens with it and must be hung up or caught: `caliper`, `gearbox oil` ... */
  catches: z.array(Text).optional(),
  /** Rubber, fluid, spring, light alloy ... next to it: no flame there. */
  near: z.array(Near).optional(),
  /** What the fastener goes into, for seizing. */
  into: Material.optional(),
  /** What its thread runs in; a nut when left out and the joint takes a new one. */
  hole: ThreadHole.optional(),
  /** Width across flats, mm, where it is not the usual one of its thread (a pipe union, a flanged or small head). */
  headMm: z.number().positive().max(120).optional(),
  /** What turns with it and how it is held: `hold the stud by a 5 mm hexagon key`. */
  counterhold: Text.optional(),
  /** Slackened while the car still stands on its wheels. */
  onWheels: z.boolean().optional(),
  /** What runs out, how many litres, and how it goes back. */
  spills: z.array(z.strictObject({ fluid: Id, litres: ThreePoint, refill: Text })).optional(),
  /** How the parts come asunder once the thread is free (`partings` of release.yaml): taper, pinch, splines ... */
  parting: Id.optional(),
  /** The same joint as another part has it: `KIND.joint` in the same area, or `component.joint`. It is undone once. */
  sameAs: z.array(z.string().min(3).max(170)).min(1).optional(),
  /** Boots, seals and the like that are lost in undoing it, beside its hardware (ids of `hardware.yaml`). */
  loses: z.array(Id).optional(),
  /** Checks of its own kind that tell how rusty the fastener is. */
  rust: z.array(Id).min(1).optional(),
  /** What to write down and to photograph before this joint moves. */
  record: z.array(Text).optional(),
  photograph: z.array(Text).optional(),
  /** Said when it goes back: order of tightening, stage by stage, thread clean ... */
  refit: z.array(Text).optional(),
});
export type Joint = z.infer<typeof Joint>;
