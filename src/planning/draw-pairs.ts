import type { PreparedJob } from '../engine/index.ts';
import type { ChosenJob } from './decide-job.ts';
import type { Dice } from './dice.ts';
import type { DrawnParts } from './draw-parts.ts';
import { at, figureOf } from './figure.ts';
import { fallbackOf } from './shared-costs.ts';

/** Buys for the members of a pair or set that would be kept in the draws in which another one is replaced after all. */
export function drawPairs(chosen: ChosenJob, job: PreparedJob, { outcomes, lines }: DrawnParts, dice: Dice): void {
  const { draws, moneyFactor, normal } = dice;
  for (const { parts } of job.together) {
    const members = chosen.units.flatMap((unit, u) => (parts.some((p) => job.parts[p] === unit.part) ? [u] : []));
    if (members.length < 2) continue;
    const replaced = members.map((u) => {
      const { list, ofEffect } = outcomes[u]!;
      const { effectOf } = chosen.units[u]!.prepared.drawn;
      return Uint8Array.from(effectOf, (effect) => Number(list[ofEffect[effect]!]!.replaced));
    });
    members.forEach((u, m) => {
      const unit = chosen.units[u]!;
      const after = fallbackOf(unit.ways)?.afterRemoval;
      const isSplit = (d: number) => replaced[m]![d] === 0 && replaced.some((other) => other[d] === 1);
      if (!after || !replaced[m]!.some((_, d) => isSplit(d))) return;
      const figure = figureOf(after.price);
      const scores = normal(`${unit.key}|pair`);
      const { money } = lines[u]!;
      for (let d = 0; d < draws; d++) if (isSplit(d)) money[d]! += moneyFactor[d]! * at(figure, scores[d]!);
    });
  }
}
