import type { PlanOut } from '../../shared/index.ts';
import { fold, hundred, type Paint, span, times } from './lines.ts';

const MOST = 3;

/** A few lines on the four sheets of a plan: how much there is on each, what will not come, what must be ordered now. */
export function sheetSummary({ strip, shopping, tickets, refit, assessment }: PlanOut, paint: Paint): string[] {
  if (!strip || !shopping || !tickets || !refit) return [];
  const stuck = [...strip.steps]
    .filter((step) => step.does === 'undo' || step.where === 'on-wheels')
    .sort((a, b) => b.seized.chance.usual - a.seized.chance.usual)
    .filter((step, i, all) => all.findIndex((other) => other.id === step.id) === i)
    .slice(0, MOST)
    .map((step) => `${step.name} (${hundred(step.seized.chance.usual)} in 100)`);
  const lines = shopping.groups.flatMap((group) => group.lines);
  const early = lines.filter((line) => line.isLongLead).map((line) => line.what);
  const sum =
    strip.steps.length === 0
      ? 'nothing that is fitted comes off'
      : `${strip.steps.length} steps, ${times(strip.minutes)}`;
  const pieces = tickets.reduce((total, ticket) => total + ticket.total.pieces, 0);
  const missing = tickets.reduce(
    (total, ticket) => total + ticket.tally.missing.reduce((n, part) => n + part.count, 0),
    0,
  );
  const row = (name: string, text: string) => fold(`  ${name.padEnd(10)}`, text);
  return [
    paint('Sheets (print one with --sheet NAME)', 'bold'),
    ...row('strip', `${sum}${stuck.length > 0 ? `. Most likely seized: ${stuck.join(', ')}` : ''}`),
    ...row(
      'shopping',
      `${lines.length} lines at ${shopping.groups.length} sellers, ${span(shopping.money)} ${assessment.currency}${early.length > 0 ? `. Order now: ${early.join(', ')}` : ''}${shopping.unobtainable.length > 0 ? `. Nobody sells: ${shopping.unobtainable.map((part) => part.name).join(', ')}` : ''}`,
    ),
    ...row('tickets', `${tickets.length} with ${pieces} pieces${missing > 0 ? `, ${missing} MISSING` : ''}`),
    ...row('refit', `${refit.steps.length} steps, ${refit.atRideHeight.length} of them tightened at ride height`),
    '',
  ];
}
