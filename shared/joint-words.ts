import { z } from 'zod';

/** How a fastener is kept from coming loose. */
export const Locking = z.enum([
  'none',
  'nylon',
  'all-metal',
  'split-pin',
  'tab-washer',
  'staked',
  'adhesive',
  'spring-washer',
  'lock-wire',
  'flare',
]);
export type Locking = z.infer<typeof Locking>;

/** What lies next to a joint and may be hurt by heat. */
export const Near = z.enum([
  'rubber',
  'fluid',
  'spring',
  'light-alloy',
  'plastic',
  'fuel',
  'bearing',
  'paint',
  'wiring',
]);
export type Near = z.infer<typeof Near>;

/**
 * What the thread runs in: a loose `nut`, a tapped hole that goes `through`, a `blind` one, a `captive` nut in a closed
 * section, or a `stud` that may come out with its nut.
 */
export const ThreadHole = z.enum(['nut', 'through', 'blind', 'captive', 'stud']);
export type ThreadHole = z.infer<typeof ThreadHole>;

/** What an earlier hand left behind. */
export const FoundFastener = z.enum(['sheared', 'missing', 'rounded', 'wrong', 'cross-threaded']);
export type FoundFastener = z.infer<typeof FoundFastener>;
