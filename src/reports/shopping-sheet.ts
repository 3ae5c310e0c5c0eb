import type { PlanOut, ShoppingLine } from '../../shared/index.ts';
import { aligned, fold, heading, type Paint, span } from './lines.ts';

/** The shopping list at 80 columns, one group a seller. */
export function shoppingSheet(plan: PlanOut, paint: Paint): string[] {
  const { shopping, assessment } = plan;
  if (!shopping) return [];
  const { currency } = assessment;
  return [
    paint(`Shopping: ${assessment.name}`, 'bold'),
    ...fold('', `About ${span(shopping.money)} ${currency} if all of it is bought. Tick when it is in the house.`),
    ...shopping.groups.flatMap((group) => {
      const lead =
        group.leadDays === null
          ? ''
          : `, up to ${Math.round(group.leadDays.usual)} to ${Math.round(group.leadDays.high)} days`;
      return [
        ...heading(`${group.name}${lead}`, paint),
        ...(group.note === null ? [] : fold('', `${group.note}.`)),
        ...group.lines.flatMap((line) => lineOf(line, currency)),
        ...aligned('', `${span(group.money)} ${currency}`),
      ];
    }),
    ...(shopping.unobtainable.length > 0
      ? [
          ...heading('Nobody is known to sell', paint),
          ...shopping.unobtainable.flatMap((part) => [
            ...fold('[ ] ', `${part.count} x ${part.name}: ${part.because}`),
            ...part.waysOut.flatMap((way) => fold('      - ', way)),
          ]),
        ]
      : []),
    '',
    ...shopping.notes.flatMap((note) => fold('', note)),
  ];
}

function lineOf(line: ShoppingLine, currency: string): string[] {
  const size = [line.thread, line.class, line.lengthMm === null ? null : `x ${line.lengthMm} mm`, line.finish].filter(
    (w) => w !== null,
  );
  const amount = line.unit === 'piece' ? `${line.amount} x ` : `${line.amount} ${line.unit} `;
  const what = `[ ] ${amount}${line.what}${size.length > 0 ? `, ${size.join(' ')}` : ''}`;
  const days =
    line.isLongLead && line.leadDays !== null
      ? [`ORDER NOW: ${Math.round(line.leadDays.low)} to ${Math.round(line.leadDays.high)} days`]
      : [];
  const where =
    line.sort === 'hardware' || line.sort === 'boot-or-seal'
      ? [`for ${line.for.map((f) => `${f.name}${f.count > 1 ? ` (${f.count})` : ''}`).join('; ')}`]
      : [];
  const more = [
    ...days,
    ...(line.supply === null ? [] : [line.supply]),
    ...where,
    line.because,
    line.note,
    line.keepOld,
  ]
    .filter((text): text is string => text !== null)
    .map((text) => text.replace(/\.$/, ''));
  return [
    ...aligned(what, line.money === null ? '' : `${span(line.money)} ${currency}`),
    ...fold('      ', `${more.join('. ')}.`),
  ];
}
