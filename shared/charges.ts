import { z } from 'zod';
import { From } from './from.ts';
import { Amount, Currency, DateText, Id, Probability, Text, ThreePoint } from './units.ts';
import { Material } from './words.ts';

/** An outside process: what is paid, `max(minimum, quantity x rate) + handling`, and what it takes and refuses. */
export const Process = z.strictObject({
  id: Id,
  name: Text,
  minimum: ThreePoint,
  perKg: ThreePoint.optional(),
  perDm2: ThreePoint.optional(),
  perPiece: ThreePoint.optional(),
  setUpPerColour: ThreePoint.optional(),
  /** Own hours to pack, take there and fetch back, once a batch. */
  handlingHours: ThreePoint,
  leadDays: ThreePoint,
  takes: z.array(Material).min(1),
  refuses: Text,
  /** Chance that a small part is lost there. */
  lost: Probability,
  from: From,
});
export type Process = z.infer<typeof Process>;

/** What is paid once for several parts. */
export const SharedCharge = z.strictObject({
  id: Id,
  name: Text,
  /** Paid once a job, once for each area of the car in which it is needed, or once an order. */
  per: z.enum(['job', 'area', 'order']),
  hours: ThreePoint,
  money: ThreePoint,
  from: From,
});
export type SharedCharge = z.infer<typeof SharedCharge>;

/** Minutes that several looks share: wheel off, on stands, undertray off. */
export const Setup = z.strictObject({ id: Id, name: Text, minutes: z.number().min(0).max(600), from: From });
export type Setup = z.infer<typeof Setup>;

/** `charges.yaml` */
export const Charges = z.strictObject({
  processes: z.array(Process),
  shared: z.array(SharedCharge),
  setups: z.array(Setup),
});

/** `prices.yaml`: base currency, exchange and labour rates. */
export const Prices = z.strictObject({
  base: Currency,
  /** How much of each currency one unit of the base buys. */
  exchange: z.array(
    z.strictObject({ currency: Currency, perBase: z.number().positive(), from: From, checkedOn: DateText }),
  ),
  /** Workshop labour an hour, base currency. */
  shopRate: z.strictObject({ value: ThreePoint, from: From }),
  /** What an owner's own hour is put at when the assessment does not say. */
  ownRate: z.strictObject({ value: Amount, from: From }),
});
export type Prices = z.infer<typeof Prices>;
