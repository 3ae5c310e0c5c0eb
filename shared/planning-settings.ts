import { z } from 'zod';
import { From } from './from.ts';
import { Id, Probability, Text, ThreePoint } from './units.ts';

const Points = z.strictObject({ value: ThreePoint, because: Text, from: From });
const Figure = z.strictObject({ value: z.number().min(0), because: Text, from: From });

/** Something that costs hours and money without ending the job, by the rustiness of the car. */
export const JobEvent = z.strictObject({
  id: Id,
  text: Text,
  /** Chance for one component that is taken off, at each of the five steps of rustiness, 1 dry to 5 salted. */
  probability: z.array(Probability).length(5),
  hours: ThreePoint,
  money: ThreePoint,
  from: From,
});
export type JobEvent = z.infer<typeof JobEvent>;

/** How far an estimate can be trusted at a stage of knowledge; the first whose `knownFrom` is reached holds. */
export const EstimateClass = z.strictObject({
  id: Id,
  name: Text,
  /** Share of the checks that decide something, answered as fact, 0 to 1. */
  knownFrom: Probability,
  text: Text,
});

/** `planning` of `settings.yaml`: the numbers of the whole job. */
export const PlanningSettings = z.strictObject({
  /** Factor by which what is really spent differs from what was estimated: low, usual, high, before any entry of the owner's own. */
  optimism: z.strictObject({ hours: Points, money: Points }),
  /** Entries of what was really spent before they correct the optimism. */
  entriesNeeded: Figure,
  /** Own hours a week when the assessment names none. */
  hoursPerWeek: Figure,
  /** Mass of a piece, kg, up to which a shop can lose it. */
  smallPartKg: Figure,
  /** Parts off the car, with none finished, from which a warning is given. */
  manyOff: Figure,
  /** Processes that put on zinc whose life is its thickness over the rate of the air. */
  zincProcesses: z.strictObject({ value: z.array(Id), because: Text, from: From }),
  events: z.array(JobEvent),
  estimateClasses: z.strictObject({ value: z.array(EstimateClass).min(1), because: Text, from: From }),
});
export type PlanningSettings = z.infer<typeof PlanningSettings>;
