import { z } from 'zod';

/** How the part was when it was looked at, in the order in which a strip-down passes through them. */
export const STAGES = ['fitted', 'off', 'cleaned', 'bare', 'finished'] as const;
export const Stage = z.enum(STAGES);
export type Stage = z.infer<typeof Stage>;

/** How an answer was found, weakest first. */
export const METHODS = ['seen', 'felt', 'measured', 'crack-test'] as const;
export const Method = z.enum(METHODS);
export type Method = z.infer<typeof Method>;

/** What the owner is after; asked first. */
export const WANTED_FINISHES = ['serviceable', 'smart', 'show'] as const;
export const WantedFinish = z.enum(WANTED_FINISHES);
export type WantedFinish = z.infer<typeof WantedFinish>;

/** What can be done with a component, the most of the old part kept first. */
export const ACTIONS = ['reuse', 'refinish', 'replace'] as const;
export const Action = z.enum(ACTIONS);
export type Action = z.infer<typeof Action>;

/** How sure a verdict is. `settled`: every completion of the missing answers agrees. `open`: it is not decided yet. */
export const Firmness = z.enum(['settled', 'leaning', 'open']);
export type Firmness = z.infer<typeof Firmness>;

/** Rule book whose roadworthiness findings are noted beside the verdict. */
export const RuleBook = z.enum(['uk', 'eu', 'nz', 'none']);
export type RuleBook = z.infer<typeof RuleBook>;

/** ISO 9223 corrosivity category of the air the vehicle lives in. */
export const Atmosphere = z.enum(['C1', 'C2', 'C3', 'C4', 'C5', 'CX']);
export type Atmosphere = z.infer<typeof Atmosphere>;

/** What a part is mainly made of. */
export const Material = z.enum([
  'steel',
  'spring-steel',
  'forged-steel',
  'stainless',
  'cast-iron',
  'light-alloy',
  'copper-alloy',
  'rubber',
  'plastic',
  'friction',
]);
export type Material = z.infer<typeof Material>;

/** What can harm a part on the way through a workshop. */
export const Harm = z.enum(['heat', 'acid', 'alkali', 'hydrogen', 'grit', 'solvent', 'thickness']);
export type Harm = z.infer<typeof Harm>;

/** How a part is replaced: alone, with its mate across the axle, or with its whole set. */
export const ReplaceAs = z.enum(['single', 'axle-pair', 'set']);
export type ReplaceAs = z.infer<typeof ReplaceAs>;

/** Where a replacement comes from. */
export const SupplyType = z.enum(['new', 'pattern', 'used', 'made', 'substitute']);
export type SupplyType = z.infer<typeof SupplyType>;

/** What a finding in a roadworthiness document means there; the documents' own words. */
export const Finding = z.enum(['dangerous', 'major', 'minor', 'advisory', 'refer']);
export type Finding = z.infer<typeof Finding>;
