import { z } from 'zod';
import { Action, Finding, Firmness, Stage } from './words.ts';

/** A range of money (assessment's currency) or hours. */
export const Range = z.object({ low: z.number(), usual: z.number(), high: z.number() });
export type Range = z.infer<typeof Range>;

/** One step of the reason: which rule said it, in words, and where the rule comes from. */
export const Because = z.object({
  /** `kind.rule` or `method.rule`. */
  rule: z.string(),
  text: z.string(),
  /** Title and clause of the published source, or null. */
  source: z.string().nullable(),
  /** `published`, `common-practice`, `from-memory` or `own-judgement`. */
  basis: z.string(),
});
export type Because = z.infer<typeof Because>;

/** The value at which another action wins. */
export const Flip = z.object({
  /** `price`, `labour rate`, `own time`, `chance of failing`, `wanted finish`. */
  what: z.string(),
  at: z.union([z.number(), z.string()]),
  unit: z.string(),
  from: Action,
  to: Action,
});
export type Flip = z.infer<typeof Flip>;

export const Odds = z.object({ reuse: z.number(), refinish: z.number(), replace: z.number() });
export type Odds = z.infer<typeof Odds>;

export const Verdict = z.object({
  action: Action,
  /** What holds when the open knock-outs turn out clear, where it differs. */
  ifClear: Action.nullable(),
  firmness: Firmness,
  /** Shares of draws in which each action would be cheapest if all were known. */
  odds: Odds,
  /** True when the verdict, taken for its expected cost, is not the action with the best odds. What an open knock-out holds back is no hedge. */
  hedge: z.boolean(),
  /** Name of the hold point where the deciding look lies, or null. */
  holdPoint: z.string().nullable(),
  because: z.array(Because),
  flips: z.array(Flip),
  /** What would be chosen if the outside minimum were paid for this part alone. */
  aloneAction: Action,
  /** Counted sets: pieces by action. */
  counts: z.object({ reuse: z.number(), refinish: z.number(), replace: z.number() }).optional(),
  /** Replaced only because its mate is: keep the old one as a spare. */
  spare: z.boolean(),
  /** Set when a person decided otherwise; both are always shown. */
  override: z
    .object({ action: Action, reason: z.string(), by: z.string(), date: z.string(), overKnockOut: z.boolean() })
    .nullable(),
});
export type Verdict = z.infer<typeof Verdict>;

export const OptionOut = z.object({
  id: z.string(),
  action: Action,
  /** Route id, for refinish. */
  route: z.string().nullable(),
  /** Supply id, for replace. */
  supply: z.string().nullable(),
  name: z.string(),
  /** `open`: not known yet whether it is allowed. */
  allowed: z.enum(['yes', 'open', 'no']),
  /** Why it is refused: rule, words, source; empty when allowed. */
  refused: z.array(Because),
  /** Money plus own time at the owner's figure, over the missing answers. */
  expectedCost: z.number(),
  costAlone: z.number(),
  costShared: z.number(),
  hours: Range,
  money: Range,
  leadDays: Range,
  /** Chance that it fails at a hold point or turns out barred. */
  failChance: z.number(),
});
export type OptionOut = z.infer<typeof OptionOut>;

export const IndexOut = z.object({ low: z.number(), high: z.number(), likelyLow: z.number(), likelyHigh: z.number() });
export type IndexOut = z.infer<typeof IndexOut>;

export const KnockOutOut = z.object({
  rule: z.string(),
  state: z.enum(['fired', 'open', 'clear']),
  bars: z.string(),
  text: z.string(),
  source: z.string().nullable(),
  basis: z.string(),
});
export type KnockOutOut = z.infer<typeof KnockOutOut>;

/** An unanswered check worth doing next. */
export const Look = z.object({
  check: z.string(),
  component: z.string(),
  ask: z.string(),
  minutes: z.number(),
  /** Expected saving from knowing the answer, money, before the minutes are paid. */
  value: z.number(),
  compulsory: z.boolean(),
  why: z.string(),
  /** Stage at which it can be done: the component's own. */
  stage: Stage,
  /** Shared set-up it needs, or null. */
  setup: z.string().nullable(),
});
export type Look = z.infer<typeof Look>;

/** One check as it stands, with its history. */
export const FactOut = z.object({
  check: z.string(),
  /** `final`, `evidence` (an answer from an earlier stage), `unknown`, `not-applicable`. */
  state: z.enum(['final', 'evidence', 'unknown', 'not-applicable']),
  /** Values still possible, best first. */
  possible: z.array(z.union([z.number(), z.string()])),
  /** Grades of the best and worst possible value. */
  gradeLow: z.number(),
  gradeHigh: z.number(),
  /** Words about changes between stages, graders who differ, photos that lift it. */
  notes: z.array(z.string()),
});
export type FactOut = z.infer<typeof FactOut>;

export const RoadworthinessOut = z.object({
  book: z.string(),
  clause: z.string(),
  finding: Finding,
  text: z.string(),
  source: z.string().nullable(),
});

export const CautionOut = z.object({
  id: z.string(),
  text: z.string(),
  source: z.string().nullable(),
  basis: z.string(),
});

/** Years until the limit is reached if the part is left as it is. */
export const YearsLeft = z.object({ low: z.number(), high: z.number(), because: z.string(), check: z.string() });
export type YearsLeft = z.infer<typeof YearsLeft>;

export const ComponentOut = z.object({
  id: z.string(),
  name: z.string(),
  kind: z.string(),
  kindName: z.string(),
  count: z.number(),
  position: z.string().nullable(),
  area: z.string().nullable(),
  stage: Stage,
  safetyCritical: z.boolean(),
  verdict: Verdict,
  index: IndexOut.nullable(),
  options: z.array(OptionOut),
  knockOuts: z.array(KnockOutOut),
  looks: z.array(Look),
  cautions: z.array(CautionOut),
  facts: z.array(FactOut),
  roadworthiness: z.array(RoadworthinessOut),
  yearsLeft: YearsLeft.nullable(),
  /** Difference between the best and the second-best action, money. */
  atStake: z.number(),
  /** Positions recorded that are not to be trusted, in words. */
  distrusted: z.array(z.string()),
});
export type ComponentOut = z.infer<typeof ComponentOut>;

export const AlwaysNewOut = z.object({
  id: z.string(),
  component: z.string(),
  name: z.string(),
  kind: z.string().nullable(),
  count: z.number(),
  thread: z.string().nullable(),
  because: z.string(),
  source: z.string().nullable(),
  basis: z.string(),
  money: Range,
});
export type AlwaysNewOut = z.infer<typeof AlwaysNewOut>;

/** The document that `score --json` prints. Components are in rank order. */
export const ScoreOut = z.object({
  rubricVersion: z.string(),
  seed: z.number(),
  assessment: z.object({
    id: z.string(),
    name: z.string(),
    currency: z.string(),
    wantedFinish: z.string(),
    date: z.string(),
  }),
  components: z.array(ComponentOut),
  alwaysNew: z.array(AlwaysNewOut),
  /** The best looks of the whole job that fit the minutes asked for (all that pay, when none were given). */
  nextLooks: z.array(Look),
  /** Compulsory looks that did not fit. */
  looksLeft: z.array(Look),
  totals: z.object({ money: Range, hours: Range }),
  /** Rustiness 1 to 5 of the car: chance of each step after all answers. */
  rustiness: z.array(z.number()),
  notes: z.array(z.string()),
});
export type ScoreOut = z.infer<typeof ScoreOut>;
