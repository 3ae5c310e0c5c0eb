import type { Component, Near, Rung, RungRule, Said } from '../../shared/index.ts';
import { propertyClass } from '../standards/index.ts';
import type { CarJoint, SheetInput } from './joints.ts';
import { round } from './quantiles.ts';
import { said } from './seizing.ts';

/** Something beside a joint that heat or blows would hurt. */
export interface Neighbour {
  near: Near;
  /** `joint`: at the joint itself, in what sits in it, in what it sits in; `area`: elsewhere in the same corner, still fitted. */
  level: 'joint' | 'area';
  who: string;
}

/** What a ladder is made for. */
export interface LadderCase {
  joint: CarJoint;
  neighbours: readonly Neighbour[];
  /** Chance that it does not come with a spanner alone. */
  seized: number;
  boltClass: string | null;
  /** The part that the joint belongs to is scrap. */
  isScrapPart: boolean;
}

/** The car at one step: what is still on it. Looked up by component and area, since a whole car has hundreds of joints. */
export interface Scene {
  jointsOf: (component: Component) => readonly CarJoint[];
  /** Parts of an area, and those that sit in a part or that it sits in, whether still on the car or not. */
  inArea: (area: string | undefined) => readonly Component[];
  inside: (component: Component) => readonly Component[];
  isOn: (component: Component) => boolean;
  isClosed: (joint: CarJoint) => boolean;
}

/** What stands in the way of heat and blows at a joint: what is named there, and what is still fitted near it. */
export function neighboursOf(joint: CarJoint, scene: Scene, input: SheetInput): Neighbour[] {
  const { release } = input.rubric;
  const out: Neighbour[] = [];
  const add = (near: Near, level: Neighbour['level'], who: string) => {
    if (!out.some((o) => o.near === near && o.level === level)) out.push({ near, level, who });
  };
  const ofMaterial = (component: Component) => {
    const material = component.material ?? input.kindOf(component).material;
    return release.materialNear.filter((row) => row.material === material).map((row) => row.near);
  };
  const addPart = (other: Component, level: Neighbour['level']) => {
    for (const near of ofMaterial(other)) add(near, level, other.name);
    for (const two of scene.jointsOf(other))
      if (scene.isClosed(two)) for (const near of two.joint.near ?? []) add(near, level, other.name);
  };
  const self = joint.component;
  for (const near of joint.joint.near ?? []) add(near, 'joint', 'at the joint');
  for (const near of ofMaterial(self)) add(near, 'joint', self.name);
  if (joint.joint.into === 'light-alloy') add('light-alloy', 'joint', 'what it is screwed into');
  for (const other of scene.inside(self)) if (scene.isOn(other)) addPart(other, 'joint');
  // Where nobody has said what lies beside a joint, everything in its corner counts as beside it.
  const level = joint.joint.near === undefined ? 'joint' : 'area';
  if (self.area !== undefined)
    for (const other of scene.inArea(self.area)) if (other !== self && scene.isOn(other)) addPart(other, level);
  return out;
}

/** The ladder for one joint, gentlest rung first, each with the chance that the work gets as far and why it is barred. */
export function ladderOf(c: LadderCase, input: SheetInput): Rung[] {
  const { release } = input.rubric;
  const { joint } = c;
  if (!joint.thread && joint.fixing) {
    const { id, word, undo, minutes, from } = joint.fixing;
    const text = said(input.rubric, `release.fixing.${id}`, undo, from).text;
    return [{ id, short: word, text, harshness: 1, heat: 'none', reached: 1, barred: [], minutes: spread(minutes) }];
  }
  const rungs = release.rungs.filter((rung) => suits(rung, joint));
  // A joint that has seized has, by that word, not come with the spanner; before that rung the work goes up in any case.
  const spannerAt = rungs.find((rung) => /spanner/.test(rung.id))?.harshness ?? 0;
  let stuck = c.seized;
  return rungs.map((rung): Rung => {
    const barred = barsOf(rung, c, input);
    const isOrdinary = rung.harshness <= spannerAt && (rung.waitHours === undefined || c.seized >= soakFrom(input));
    const reached = barred.length > 0 ? 0 : isOrdinary ? 1 : stuck;
    if (barred.length === 0) stuck *= 1 - rung.frees;
    return {
      id: rung.id,
      short: rung.short,
      text: textOf(rung, c),
      harshness: rung.harshness,
      heat: rung.heat,
      reached: round(reached, 2),
      barred,
      minutes: spread(rung.minutes),
    };
  });
}

/** Chance of having seized from which a joint is soaked beforehand: past `hardly`. */
export function soakFrom(input: SheetInput): number {
  return input.rubric.release.seizing.words[0]!.upTo;
}

/** Harshest rung that is reached with the chance from which it is to be expected. */
export function expectedRung(ladder: readonly Rung[], input: SheetInput): string {
  const from = input.rubric.release.expectFrom.value;
  return (ladder.findLast((rung) => rung.reached >= from) ?? ladder[0])?.id ?? '';
}

function suits(rung: RungRule, { joint, thread, hole }: CarJoint): boolean {
  const has = <T>(list: readonly T[] | undefined, value: T) => list?.includes(value) ?? false;
  if (rung.onlyLocking && !has(rung.onlyLocking, joint.locking)) return false;
  if (has(rung.notLocking, joint.locking)) return false;
  // What the thread runs in is not always known; then only what suits any is shown, and both ways of giving it up.
  if (
    rung.onlyHole &&
    (hole === null ? rung.destroys !== 'fastener' || rung.needsScrapPart : !has(rung.onlyHole, hole))
  )
    return false;
  if (hole !== null && has(rung.notHole, hole)) return false;
  const size = thread?.diameterMm ?? 10;
  return size >= (rung.fromMm ?? 0) && size <= (rung.toMm ?? Number.POSITIVE_INFINITY);
}

function barsOf(rung: RungRule, { joint, neighbours, boltClass, isScrapPart }: LadderCase, input: SheetInput): Said[] {
  const { rubric } = input;
  const rule = `release.rung.${rung.id}`;
  const out: Said[] = [];
  const at = (near: readonly Near[], level: Neighbour['level']) =>
    neighbours.filter((n) => near.includes(n.near) && n.level === level);
  for (const bar of rung.barredBy) {
    for (const { who, near } of at(bar.near, 'joint'))
      out.push(
        said(
          rubric,
          rule,
          `${nearWord(near)}${who === 'at the joint' ? ' at the joint' : ` (${who})`}: ${lower(bar.because)}`,
          bar.from,
        ),
      );
  }
  for (const bar of rung.barredByArea ?? []) {
    const found = at(bar.near, 'area');
    const first = found[0];
    if (!first) continue;
    const all = found.map((n) => `${nearWord(n.near).toLowerCase()} (${n.who})`).join(', ');
    out.push(said(rubric, rule, `${upper(all)} ${bar.because}`, bar.from));
  }
  if (rung.heat !== 'none' && joint.joint.near === undefined)
    out.push(said(rubric, 'release.unstated', rubric.release.unstated.because, rubric.release.unstated.from));
  const hardened = rung.barredForHardened;
  if (hardened && !joint.isBoltNew && !isSoft(boltClass, joint, input))
    out.push(said(rubric, rule, hardened.because, hardened.from));
  const limit = boltClass === null ? null : (propertyClass(boltClass, 10, { old: true })?.temperMinC ?? null);
  if (
    rung.heat === 'local' &&
    !joint.isBoltNew &&
    limit !== null &&
    rung.heatC !== undefined &&
    limit - rung.heatC < HEAT_DOUBT_K
  )
    out.push(
      said(rubric, rule, `Class ${boltClass} that is to be kept: lost above ${limit} degC`, 'iso-898-1 Table 2'),
    );
  if (rung.needsScrapPart && !isScrapPart)
    out.push(said(rubric, rule, `${joint.component.name} is to be kept: this cuts it`, rung.from));
  return out;
}

// A colour seen on the metal tells its heat within 30 K either way (temper-colour charts); a little more for a hand on a coil.
const HEAT_DOUBT_K = 50;

function isSoft(boltClass: string | null, { joint }: CarJoint, { rubric }: SheetInput): boolean {
  const isStated = joint.class !== undefined;
  return isStated && boltClass !== null && rubric.release.soft.classes.includes(boltClass);
}

function textOf(rung: RungRule, { joint }: LadderCase): string {
  if (rung.destroys === 'nothing' || rung.needsScrapPart) return rung.text;
  const isNut = rung.destroys === 'nut';
  const isNew = joint.isBoltNew || (isNut && joint.isNutNew);
  if (isNew)
    return rung.quick
      ? `${rung.text} It is bought new anyway: do not lose an hour before you come to this.`
      : rung.text;
  return isNut
    ? `${rung.text} The nut is lost with it and goes on the shopping list.`
    : `${rung.text} Only when everything gentler has failed: it was to be kept, so it goes on the shopping list.`;
}

const NEAR_WORDS: Readonly<Record<Near, string>> = {
  rubber: 'Rubber',
  fluid: 'Brake fluid or other fluid',
  spring: 'Spring',
  'light-alloy': 'Light alloy',
  plastic: 'Plastic',
  fuel: 'Fuel',
  bearing: 'Bearing',
  paint: 'Paint, wax or sealer',
  wiring: 'Wiring',
};

function nearWord(near: Near): string {
  return NEAR_WORDS[near];
}

function spread([low, usual, high]: readonly [number, number, number]): Rung['minutes'] {
  return { low, usual, high };
}

function lower(text: string): string {
  return text[0]!.toLowerCase() + text.slice(1);
}

function upper(text: string): string {
  return text[0]!.toUpperCase() + text.slice(1);
}
